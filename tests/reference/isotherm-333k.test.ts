import { describe, expect, it } from 'vitest';
import set from './data/isotherm-333k.json';
import { deviationOf } from './equilibrium-set';

// Its upper half, 37 to 47 kPa, is the nearest measurement to mountain air pressure.
describe('Isotherm 333.15 K (very likely Kurihara et al. 1995)', () => {
  const deviation = deviationOf(set);

  it('is complete: 36 points', () => {
    expect(set.points).toHaveLength(36);
  });

  it('is met in boiling temperature: 0.045 K root mean square, 0.17 K at worst', () => {
    expect(deviation.tempRmseK).toBeLessThanOrEqual(0.0455);
    expect(deviation.tempMaxK).toBeLessThanOrEqual(0.17);
  });

  it('is met in vapour composition: 0.0046 root mean square, 0.0123 at worst', () => {
    expect(deviation.yRmse).toBeLessThanOrEqual(0.00465);
    expect(deviation.yMax).toBeLessThanOrEqual(0.0123);
  });
});
