import { describe, expect, it } from 'vitest';
import { standardAltitudeM, standardPressureHPa } from '../../lib/physics';
import table from './data/iso-2533.json';

describe('ISO 2533:1975, standard atmosphere', () => {
  it.each(table.points)(
    '$altitudeM m has $pressureHPa hPa within $toleranceHPa',
    ({ altitudeM, pressureHPa, toleranceHPa }) => {
      expect(Math.abs(standardPressureHPa(altitudeM) - pressureHPa)).toBeLessThanOrEqual(toleranceHPa);
    },
  );

  it('is undone by its inverse', () => {
    for (let altitudeM = -500; altitudeM <= 5000; altitudeM += 250) {
      expect(standardAltitudeM(standardPressureHPa(altitudeM))).toBeCloseTo(altitudeM, 8);
    }
  });
});
