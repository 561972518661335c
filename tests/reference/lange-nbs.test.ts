import { describe, expect, it } from 'vitest';
import { densityKgM3 } from '../../lib/physics';
import table from './data/lange-nbs.json';

// The handbook's absolute alcohol is 0.08 kg/m³ denser than that of OIML R 22: the tolerance of 0.1 is mostly this.
describe("Lange's handbook (NBS), densities from 10 to 30 °C", () => {
  it.each(table.points)('$massPercent % mass at $tempC °C: $densityKgM3 kg/m³ within 0.1', (point) => {
    const found = densityKgM3(point.massPercent / 100, point.tempC);
    expect(Math.abs(found - point.densityKgM3)).toBeLessThanOrEqual(table.toleranceKgM3);
  });
});
