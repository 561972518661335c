import { valueOfKind } from '../engine/image';
import { waterBoilingPointC } from '../physics';
import { boilerPressureHPa } from './content';
import { type AlarmRule, isAbove, ownValue, pointsOf, unknown, when } from './rule';

/** Sugar and superheat raise a boiler above the boiling point of water by less than this [K]. */
const marginK = 4;
const deadbandK = 2;

/**
 * Dry boil seen by the boiler probe: hotter than any of its liquid can be under the pressure over it. Back-pressure is
 * allowed for as measured, else up to what the boiler is rated for. Slow against a bare element, and said so where the
 * coverage is shown.
 */
export const dryBoil: AlarmRule = {
  id: 'dry-boil',
  priority: 'critical',
  onDelayS: 5,
  offDelayS: 30,
  deadband: deadbandK,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  confirm: true,
  hazards: ['bare-element'],
  sees: ['boiler-temp'],
  detectS: 120,
  instances: (plant) => pointsOf(plant, 'boiler-temp'),
  judge: (context) => {
    const { plant, run, active } = context;
    const boilerC = ownValue(context);
    if (boilerC === null) return unknown;
    const measuredHPa = valueOfKind(plant, run.image, 'boiler-pressure');
    const pressureHPa = boilerPressureHPa(run, measuredHPa ?? plant.still.ratings.boilerPressureMaxHPa);
    const limitC = waterBoilingPointC(pressureHPa) + marginK;
    const numbers = { point: context.instance, boilerC, limitC, pressureHPa };
    return when(isAbove(boilerC, limitC, deadbandK, active), 'dry-boil', numbers);
  },
  example: {
    from: 'hearts',
    fires: ['boiler-temp 104'],
    withinS: 10,
    clears: ['boiler-temp 90'],
    clearsWithinS: 35,
  },
};
