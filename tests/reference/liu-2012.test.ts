import { describe, expect, it } from 'vitest';
import set from './data/liu-2012.json';
import { deviationOf } from './equilibrium-set';

// Scatter reference only: y is not monotonic in x, so no smooth model can follow it.
describe('Liu et al. 2012, 101.3 kPa', () => {
  const deviation = deviationOf(set);

  it('is complete: 13 points', () => {
    expect(set.points).toHaveLength(13);
  });

  it('is met in boiling temperature: 0.439 K root mean square, 1.01 K at worst', () => {
    expect(deviation.tempRmseK).toBeLessThanOrEqual(0.4395);
    expect(deviation.tempMaxK).toBeLessThanOrEqual(1.01);
  });

  it('is met in vapour composition: 0.0301 root mean square, 0.05 at worst', () => {
    expect(deviation.yRmse).toBeLessThanOrEqual(0.03015);
    expect(deviation.yMax).toBeLessThanOrEqual(0.05);
  });

  it('is too scattered to judge a model by: its vapour falls where more ethanol is in the liquid', () => {
    const falls = set.points.filter((point, i) => i > 0 && point.y < set.points[i - 1]!.y);
    expect(falls.length).toBeGreaterThan(0);
  });
});
