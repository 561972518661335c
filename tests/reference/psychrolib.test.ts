import * as psychrolib from 'psychrolib';
import { beforeAll, describe, expect, it } from 'vitest';
import { standardPressureHPa, waterSaturationHPa } from '../../lib/physics';

// An independent library of the ASHRAE Handbook's formulas, run for real.
describe('psychrolib', () => {
  beforeAll(() => psychrolib.SetUnitSystem(psychrolib.SI));

  it('has the same standard atmosphere up to 5000 m within 0.02 hPa', () => {
    for (let altitudeM = 0; altitudeM <= 5000; altitudeM += 100) {
      const independentHPa = psychrolib.GetStandardAtmPressure(altitudeM) / 100;
      expect(Math.abs(standardPressureHPa(altitudeM) - independentHPa)).toBeLessThan(0.02);
    }
  });

  it('has the same saturation pressure of water (Hyland and Wexler) within 0.05 % from 1 to 110 °C', () => {
    for (let tempC = 1; tempC <= 110; tempC++) {
      const independentHPa = psychrolib.GetSatVapPres(tempC) / 100;
      expect(Math.abs(waterSaturationHPa(tempC) / independentHPa - 1)).toBeLessThan(5e-4);
    }
  });
});
