import { trusted } from '../engine/reading';
import { waterBoilingPointC } from '../physics';
import { type AlarmRule, pointsOf } from './rule';

/** Sugar, superheat and back-pressure raise a boiler above the boiling point of water by less than this [K]. */
const marginK = 4;

/**
 * Dry boil seen by the boiler probe: hotter than any of its liquid can be under this air pressure. Slow against a bare
 * element, and said so where the coverage is shown.
 */
export const dryBoil: AlarmRule = {
  id: 'dry-boil',
  priority: 'critical',
  onDelayS: 5,
  offDelayS: 30,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: true,
  hazards: ['dry-boil'],
  instances: (plant) => pointsOf(plant, 'boiler-temp'),
  judge: ({ run, instance, active }) => {
    const boilerTempC = trusted(run.image[instance]);
    const airPressureHPa = run.estimate.pressure.medianHPa ?? 1013.25;
    const limitC = waterBoilingPointC(airPressureHPa) + marginK;
    const reason = {
      code: 'alarm.dry-boil',
      numbers: { point: instance, limitC, airPressureHPa, ...(boilerTempC === null ? {} : { tempC: boilerTempC }) },
    };
    if (boilerTempC === null) return { on: null, reason };
    return { on: boilerTempC >= (active ? limitC - 2 : limitC), reason };
  },
  example: { fires: { 'boiler-temp': 105 }, clears: { 'boiler-temp': 90 } },
};
