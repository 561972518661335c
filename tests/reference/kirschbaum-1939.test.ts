import { describe, expect, it } from 'vitest';
import set from './data/kirschbaum-1939.json';
import { deviationOf } from './equilibrium-set';

// Kept back from the fit: an old set that also disagrees with Voutsas et al. at nearly the same pressure.
describe('Kirschbaum and Gerstner 1939, 33.33 kPa', () => {
  const deviation = deviationOf(set);

  it('is complete: 28 points', () => {
    expect(set.points).toHaveLength(28);
  });

  it('is met in boiling temperature: 0.397 K root mean square, 0.85 K at worst', () => {
    expect(deviation.tempRmseK).toBeLessThanOrEqual(0.3975);
    expect(deviation.tempMaxK).toBeLessThanOrEqual(0.85);
  });

  it('is met in vapour composition: 0.0160 root mean square, 0.0325 at worst', () => {
    expect(deviation.yRmse).toBeLessThanOrEqual(0.01605);
    expect(deviation.yMax).toBeLessThanOrEqual(0.0325);
  });
});
