import { describe, expect, it } from 'vitest';
import { densityKgM3, massFractionFromAbv } from '../../lib/physics';
import table from './data/ethanol-dilution-table.json';

describe('densities at 20 °C by volume (ethanol dilution table, OIML R 22)', () => {
  it.each(table.points)(
    '$strengthPercentVol % vol has $densityKgM3 kg/m³ within 0.01',
    ({ strengthPercentVol, densityKgM3: expected }) => {
      const found = densityKgM3(massFractionFromAbv(strengthPercentVol / 100), 20);
      expect(Math.abs(found - expected)).toBeLessThanOrEqual(table.toleranceKgM3);
    },
  );

  // Regulation (EC) 2870/2000, Annex I, note 3.3.
  it('water at 20 °C has 998.203 kg/m³ within 0.005', () => {
    expect(Math.abs(densityKgM3(0, 20) - 998.203)).toBeLessThanOrEqual(0.005);
  });
});
