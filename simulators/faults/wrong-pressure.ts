import { standardPressureHPa } from '../../lib/physics';
import { changeReadings, type FaultRule, pointsOfKind } from './types';

/** The air pressure is one reduced to sea level, as weather services report it. */
export const wrongPressure: FaultRule = {
  what: 'the air pressure is reduced to sea level',
  unit: '',
  usualSize: 0,
  targetsOf: (still) => pointsOfKind(still, 'air-pressure'),
  readings: changeReadings((reading, { spec }) => {
    if (reading.value === null) return reading;
    return { ...reading, value: (reading.value * 1013.25) / standardPressureHPa(spec.site.altitudeM) };
  }),
};
