import { describe, expect, it } from 'vitest';
import { densityKgM3 } from '../../lib/physics';
import table from './data/pure-ethanol-densities.json';

describe('densities of pure ethanol (OIML R 22, rounded)', () => {
  it.each(table.points)('at $tempC °C: $densityKgM3 kg/m³ within 0.01', ({ tempC, densityKgM3: expected }) => {
    expect(Math.abs(densityKgM3(1, tempC) - expected)).toBeLessThanOrEqual(table.toleranceKgM3);
  });
});
