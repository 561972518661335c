import { describe, expect, it } from 'vitest';
import { azeotrope } from '../../lib/physics';
import set from './data/kamihama-2012.json';
import { deviationOf } from './equilibrium-set';

describe('Kamihama et al. 2012, 101.3 kPa', () => {
  const deviation = deviationOf(set);

  it('is complete: 21 points', () => {
    expect(set.points).toHaveLength(21);
  });

  it('is met in boiling temperature: 0.053 K root mean square, 0.15 K at worst', () => {
    expect(deviation.tempRmseK).toBeLessThanOrEqual(0.0535);
    expect(deviation.tempMaxK).toBeLessThanOrEqual(0.15);
  });

  it('is met in vapour composition: 0.0033 root mean square, 0.007 at worst', () => {
    expect(deviation.yRmse).toBeLessThanOrEqual(0.00335);
    expect(deviation.yMax).toBeLessThanOrEqual(0.007);
  });

  it('has its azeotrope where the model has it, within 0.006', () => {
    const differences = set.points.map((point) => ({ x: point.x, difference: point.y - point.x }));
    const after = differences.findIndex((point) => point.x > 0.8 && point.difference < 0);
    const a = differences[after - 1]!;
    const b = differences[after]!;
    const crossing = a.x + ((b.x - a.x) * a.difference) / (a.difference - b.difference);
    expect(Math.abs(azeotrope(1013).x - crossing)).toBeLessThan(0.006);
  });
});
