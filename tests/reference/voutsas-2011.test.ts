import { describe, expect, it } from 'vitest';
import set from './data/voutsas-2011.json';
import { deviationOf } from './equilibrium-set';

describe('Voutsas et al. 2011, 32.86 kPa', () => {
  const deviation = deviationOf(set);

  it('is complete: 14 points', () => {
    expect(set.points).toHaveLength(14);
  });

  it('is met in boiling temperature: 0.202 K root mean square, 0.38 K at worst', () => {
    expect(deviation.tempRmseK).toBeLessThanOrEqual(0.2025);
    expect(deviation.tempMaxK).toBeLessThanOrEqual(0.38);
  });

  it('is met in vapour composition: 0.0101 root mean square, 0.022 at worst', () => {
    expect(deviation.yRmse).toBeLessThanOrEqual(0.01015);
    expect(deviation.yMax).toBeLessThanOrEqual(0.022);
  });
});
