import { describe, expect, it } from 'vitest';
import { controlChart, shewhartConstants } from '../../lib/compare';

// NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 (https://www.itl.nist.gov/div898/handbook/pmc/section3/pmc322.htm): ten batches.
const handbook = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];

describe('a control chart of single values', () => {
  it('agrees with the worked example of the NIST/SEMATECH e-Handbook, 6.3.2.2', () => {
    const chart = controlChart(handbook)!;
    expect(chart.centre).toBeCloseTo(50.81, 10);
    expect(chart.meanRange).toBeCloseTo(1.8778, 4);
    // The handbook divides by 1.128 rounded: 55.8041 and 45.8159.
    expect(chart.upper).toBeCloseTo(55.8041, 2);
    expect(chart.lower).toBeCloseTo(45.8159, 2);
    expect(chart.points.every((point) => !point.signals.includes('beyond-limits'))).toBe(true);
    expect(chart.provisional).toBe(true);
  });

  it('has the constants of the published tables', () => {
    // d2 1.128, D4 3.267 and 2.660: ISO 7870-2 and ASTM manuals, from memory; they follow from the normal distribution.
    expect(shewhartConstants.d2).toBeCloseTo(1.128, 3);
    expect(shewhartConstants.d3).toBeCloseTo(0.853, 3);
    expect(shewhartConstants.D4).toBeCloseTo(3.267, 3);
    expect(shewhartConstants.E2).toBeCloseTo(2.66, 2);
  });

  const steady = Array.from({ length: 24 }, (_, index) => 10 + (index % 2 === 0 ? 0.5 : -0.5));

  it('is stable where runs only scatter', () => {
    const chart = controlChart(steady)!;
    expect(chart.stable).toBe(true);
    expect(chart.provisional).toBe(false);
  });

  it('shows a run beyond the limits, and its range', () => {
    const chart = controlChart([...steady, 16], 24)!;
    const last = chart.points[24]!;
    expect(last.signals).toContain('beyond-limits');
    expect(last.signals).toContain('range-beyond-limit');
    expect(chart.baseline).toBe(24);
    expect(chart.centre).toBeCloseTo(10, 12);
  });

  it('shows eight runs on one side, though none is beyond the limits', () => {
    const chart = controlChart([...steady, ...Array.from({ length: 8 }, () => 10.3)], 24)!;
    expect(chart.points[31]!.signals).toContain('eight-on-one-side');
    expect(chart.points[30]!.signals).not.toContain('eight-on-one-side');
  });

  it('shows two of three beyond two sigma and four of five beyond one', () => {
    const sigma = controlChart(steady)!.sigma;
    const two = controlChart([...steady, 10 + 2.2 * sigma, 10, 10 + 2.3 * sigma], 24)!;
    expect(two.points[26]!.signals).toContain('two-of-three-beyond-two-sigma');
    const four = controlChart([...steady, ...[1.2, 1.3, 0.2, 1.4, 1.1].map((times) => 10 - times * sigma)], 24)!;
    expect(four.points[28]!.signals).toContain('four-of-five-beyond-one-sigma');
    const sides = controlChart([...steady, 10 + 2.2 * sigma, 10 - 2.2 * sigma], 24)!;
    expect(sides.points[25]!.signals).not.toContain('two-of-three-beyond-two-sigma');
  });

  it('calls about one steady run in a hundred or fewer out of the ordinary by limits alone', () => {
    // Sum of twelve uniform numbers: near enough to normal.
    let state = 12_345;
    const random = () => {
      state = (state * 48_271) % 2_147_483_647;
      return state / 2_147_483_647;
    };
    const values = Array.from({ length: 2000 }, () =>
      Array.from({ length: 12 }, random).reduce((sum, one) => sum + one, 0),
    );
    const chart = controlChart(values)!;
    expect(chart.sigma).toBeCloseTo(1, 1);
    const beyond = chart.points.filter((point) => point.signals.includes('beyond-limits')).length;
    expect(beyond).toBeLessThan(20);
  });

  it('bears equal values, and gives none for fewer than two or what is no number', () => {
    const level = controlChart([5, 5, 5, 5])!;
    expect(level.stable).toBe(true);
    expect(controlChart([5, 5, 5, 6], 3)!.points[3]!.signals).toContain('beyond-limits');
    expect(controlChart([5])).toBeNull();
    expect(controlChart([])).toBeNull();
    expect(controlChart([5, Number.NaN])).toBeNull();
  });
});
