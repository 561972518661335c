import { describe, expect, it } from 'vitest';
import set from './data/isotherm-323k.json';
import { deviationOf } from './equilibrium-set';

describe('Isotherm 323.15 K (very likely Kurihara et al. 1995)', () => {
  const deviation = deviationOf(set);

  it('is complete: 35 points', () => {
    expect(set.points).toHaveLength(35);
  });

  it('is met in boiling temperature: 0.058 K root mean square, 0.22 K at worst', () => {
    expect(deviation.tempRmseK).toBeLessThanOrEqual(0.0585);
    expect(deviation.tempMaxK).toBeLessThanOrEqual(0.22);
  });

  it('is met in vapour composition: 0.0025 root mean square, 0.0054 at worst', () => {
    expect(deviation.yRmse).toBeLessThanOrEqual(0.00255);
    expect(deviation.yMax).toBeLessThanOrEqual(0.0054);
  });
});
