import { trusted } from '../engine/reading';
import { looksSeaLevelReduced } from '../physics';
import { type AlarmRule, pointsOf } from './rule';

/** The barometer gives pressure reduced to sea level: used as station pressure it would move every cut. */
export const airPressureSeaLevel: AlarmRule = {
  id: 'air-pressure-sea-level',
  priority: 'high',
  onDelayS: 30,
  offDelayS: 30,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['air-pressure'],
  instances: (plant) => (plant.still.altitudeM === undefined ? [] : pointsOf(plant, 'air-pressure').slice(0, 1)),
  judge: ({ plant, run, instance }) => {
    const airPressureHPa = trusted(run.image[instance]);
    const altitudeM = plant.still.altitudeM ?? 0;
    const reason = {
      code: 'alarm.air-pressure-sea-level',
      numbers: { point: instance, altitudeM, ...(airPressureHPa === null ? {} : { airPressureHPa }) },
    };
    return { on: airPressureHPa === null ? null : looksSeaLevelReduced(airPressureHPa, altitudeM), reason };
  },
  example: { fires: { 'air-pressure': 1015 }, clears: { 'air-pressure': 905 } },
};
