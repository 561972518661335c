import { describe, expect, it } from 'vitest';
import { abv60FFromMassFraction, densityKgM3, massFractionFromAbv60F, sixtyFahrenheitC } from '../../lib/physics';
import table from './data/usp-alcoholometric-table.json';

const airKgM3 = 1.2;

describe('USP alcoholometric table (NBS Bulletin 9), 60 °F basis', () => {
  it.each(table.gravitiesInAir)(
    '$strengthPercentVol60F % vol weighs $relativeDensity of water in air at $tempC °C',
    (point) => {
      const tempC = point.tempC === 25 ? 25 : sixtyFahrenheitC;
      const spirit = densityKgM3(massFractionFromAbv60F(point.strengthPercentVol60F / 100), tempC) - airKgM3;
      const found = spirit / (densityKgM3(0, tempC) - airKgM3);
      expect(Math.abs(found - point.relativeDensity)).toBeLessThanOrEqual(table.toleranceGravity);
    },
  );

  it.each(table.massFromVolume)('$strengthPercentVol60F % vol is $massPercent % mass', (point) => {
    const found = 100 * massFractionFromAbv60F(point.strengthPercentVol60F / 100);
    expect(Math.abs(found - point.massPercent)).toBeLessThanOrEqual(table.tolerancePercent);
  });

  it.each(table.volumeFromMass)('$massPercent % mass is $strengthPercentVol60F % vol', (point) => {
    const found = 100 * abv60FFromMassFraction(point.massPercent / 100);
    expect(Math.abs(found - point.strengthPercentVol60F)).toBeLessThanOrEqual(table.tolerancePercent);
  });
});
