import { describe, expect, it } from 'vitest';
import { azeotrope, bubbleTempC } from '../../lib/physics';
import table from './data/azeotropes.json';

describe('published azeotropes', () => {
  it('at 1013.25 hPa: 78.14 ± 0.03 °C and x 0.894 ± 0.006', () => {
    const { x, tempC } = azeotrope(1013.25);
    expect(Math.abs(tempC - 78.14)).toBeLessThanOrEqual(0.03);
    expect(Math.abs(x - 0.894)).toBeLessThanOrEqual(0.006);
  });

  it.each(table.points)('$name: x $x within 0.006', ({ pressureKPa, x }) => {
    expect(Math.abs(azeotrope(10 * pressureKPa).x - x)).toBeLessThanOrEqual(0.006);
  });

  it.each(table.points.filter((point) => point.tempC !== undefined))('$name: $tempC °C within 0.035 K', (point) => {
    expect(Math.abs(azeotrope(10 * point.pressureKPa).tempC - point.tempC!)).toBeLessThanOrEqual(0.035);
  });

  // The published brackets contradict each other a little (328 K ends below where 333 K begins); 0.004 is that contradiction.
  it.each(table.crossings)('$name: between $from and $to', ({ pressureKPa, from, to }) => {
    const { x } = azeotrope(10 * pressureKPa);
    expect(x).toBeGreaterThanOrEqual(from - 0.004);
    expect(x).toBeLessThanOrEqual(to + 0.006);
  });

  it('holds less ethanol the higher the pressure', () => {
    const compositions = [500, 600, 700, 800, 900, 1000, 1100].map((pressureHPa) => azeotrope(pressureHPa).x);
    for (let i = 1; i < compositions.length; i++) expect(compositions[i]!).toBeLessThan(compositions[i - 1]!);
  });

  it('is the coldest boiling point at its pressure', () => {
    for (const pressureHPa of [500, 800, 1013.25, 1100]) {
      const { x, tempC } = azeotrope(pressureHPa);
      expect(bubbleTempC(x - 0.02, pressureHPa)).toBeGreaterThan(tempC);
      expect(bubbleTempC(x + 0.02, pressureHPa)).toBeGreaterThan(tempC);
    }
  });

  it.each(table.independent.points)('equals a separate program in another language at $pressureKPa kPa', (point) => {
    const { x, tempC } = azeotrope(10 * point.pressureKPa);
    expect(Math.abs(x - point.x)).toBeLessThan(1e-9);
    expect(Math.abs(tempC - point.tempC)).toBeLessThan(1e-9);
  });
});
