import { describe, expect, it } from 'vitest';
import set from './data/pemberton-mash-1978.json';
import { deviationOf } from './equilibrium-set';

// Only 4 to 10 kPa, where a kelvin is worth 5 % of the pressure.
describe('Pemberton and Mash 1978, 303.15 K', () => {
  const deviation = deviationOf(set);

  it('is complete: 23 points', () => {
    expect(set.points).toHaveLength(23);
  });

  it('is met in boiling temperature: 0.235 K root mean square, 0.65 K at worst', () => {
    expect(deviation.tempRmseK).toBeLessThanOrEqual(0.2355);
    expect(deviation.tempMaxK).toBeLessThanOrEqual(0.65);
  });

  it('is met in vapour composition: 0.0099 root mean square, 0.027 at worst', () => {
    expect(deviation.yRmse).toBeLessThanOrEqual(0.00995);
    expect(deviation.yMax).toBeLessThanOrEqual(0.027);
  });
});
