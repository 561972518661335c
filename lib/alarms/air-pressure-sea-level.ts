import { looksSeaLevelReduced } from '../physics';
import { type AlarmRule, ownValue, pointsOf, unknown, when } from './rule';

/** The barometer gives pressure reduced to sea level: used as station pressure it would move every cut. */
export const airPressureSeaLevel: AlarmRule = {
  id: 'air-pressure-sea-level',
  priority: 'high',
  onDelayS: 30,
  offDelayS: 30,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['wrong-pressure'],
  sees: ['air-pressure'],
  detectS: 60,
  instances: (plant) => (plant.still.altitudeM === undefined ? [] : pointsOf(plant, 'air-pressure').slice(0, 1)),
  judge: (context) => {
    const airPressureHPa = ownValue(context);
    const altitudeM = context.plant.still.altitudeM ?? 0;
    if (airPressureHPa === null) return unknown;
    const numbers = { point: context.instance, altitudeM, airPressureHPa };
    return when(looksSeaLevelReduced(airPressureHPa, altitudeM), 'air-pressure-sea-level', numbers);
  },
  example: {
    from: 'idle',
    fires: ['air-pressure 1018'],
    withinS: 1900,
    clears: ['air-pressure 962'],
    clearsWithinS: 1900,
  },
};
