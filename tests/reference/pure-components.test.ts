import { describe, expect, it } from 'vitest';
import {
  bubblePoint,
  ethanolBoilingPointC,
  ethanolSaturationHPa,
  ethanolVaporisationHeatJPerMol,
  liquidHeatCapacityJPerMolK,
  waterBoilingPointC,
  waterVaporisationHeatJPerMol,
} from '../../lib/physics';

// CRC Handbook of Chemistry and Physics; Perry's Chemical Engineers' Handbook table 2-150; Zábranský et al.; Ambrose and Sprake 1970 through NIST.
describe('pure ethanol and water in handbooks', () => {
  it('ethanol boils at 351.44 K (CRC, Yaws) within 0.02 K', () => {
    expect(Math.abs(ethanolBoilingPointC(1013.25) + 273.15 - 351.44)).toBeLessThanOrEqual(0.02);
  });

  it('ethanol follows Ambrose and Sprake 1970 from 20 to 90 °C within 0.2 % of the pressure', () => {
    for (let tempC = 20; tempC <= 90; tempC += 5) {
      const ambroseSprakeHPa = 1000 * 10 ** (5.24677 - 1598.673 / (tempC + 273.15 - 46.424));
      expect(Math.abs(ethanolSaturationHPa(tempC) / ambroseSprakeHPa - 1)).toBeLessThan(0.002);
    }
  });

  it('ethanol needs 38.56 kJ/mol (CRC) to boil off; Perry has 38.93, 1 % more', () => {
    const heat = ethanolVaporisationHeatJPerMol(78.29);
    expect(Math.abs(heat - 38_560)).toBeLessThan(10);
    expect(Math.abs(heat / 38_934.9 - 1)).toBeLessThan(0.01);
  });

  it('water needs 40.65 kJ/mol (CRC) to boil off; Perry has 40.80', () => {
    const heat = waterVaporisationHeatJPerMol(waterBoilingPointC(1013.25));
    expect(Math.abs(heat - 40_650)).toBeLessThan(20);
    expect(Math.abs(heat / 40_799.7 - 1)).toBeLessThan(0.004);
  });

  it('liquid ethanol takes 112.12 J/(mol K) at 298.15 K and 138.50 at 351.44 K (Zábranský)', () => {
    expect(liquidHeatCapacityJPerMolK(1, 25)).toBeCloseTo(112.11895, 4);
    expect(Math.abs(liquidHeatCapacityJPerMolK(1, 351.44 - 273.15) - 138.4959)).toBeLessThan(0.05);
  });

  it('liquid water takes 75.31 J/(mol K) at 298.15 K and 76.05 at 373.15 K (Zábranský) within 0.2 %', () => {
    expect(Math.abs(liquidHeatCapacityJPerMolK(0, 25) / 75.31465 - 1)).toBeLessThan(0.002);
    expect(Math.abs(liquidHeatCapacityJPerMolK(0, 100) / 76.05318 - 1)).toBeLessThan(0.002);
  });

  it('mixtures end exactly in the pure liquids', () => {
    for (const pressureHPa of [500, 700, 1013.25, 1100]) {
      expect(bubblePoint(0, pressureHPa)).toEqual({ tempC: waterBoilingPointC(pressureHPa), y: 0 });
      expect(bubblePoint(1, pressureHPa)).toEqual({ tempC: ethanolBoilingPointC(pressureHPa), y: 1 });
      expect(Math.abs(bubblePoint(1e-12, pressureHPa).tempC - waterBoilingPointC(pressureHPa))).toBeLessThan(1e-8);
      expect(Math.abs(bubblePoint(1 - 1e-12, pressureHPa).tempC - ethanolBoilingPointC(pressureHPa))).toBeLessThan(
        1e-8,
      );
    }
  });
});
