import { hottest } from '../engine/hot';
import { type AlarmRule, isAbove, ownValue, pointsOf, unknown, when } from './rule';

const deadbandK = 4;

/** The skin runs hot although liquid covers it: something burns onto it. Less heat until it has cooled. */
export const scorching: AlarmRule = {
  id: 'scorching',
  priority: 'high',
  onDelayS: 20,
  offDelayS: 30,
  deadband: deadbandK,
  latched: false,
  interlock: 'heat-reduce',
  suppressedIn: [],
  suppressedBy: [],
  wakes: false,
  confirm: true,
  hazards: ['scorching'],
  sees: ['element-temp'],
  detectS: 60,
  instances: (plant) => pointsOf(plant, 'element-temp'),
  judge: (context) => {
    const { plant, run, watch, active } = context;
    const skinC = ownValue(context);
    if (skinC === null) return unknown;
    const { elementTempAlarmC, elementOverLiquidMaxK } = plant.still.ratings;
    const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
    // Without heat the liquid and its probe part for other reasons.
    const overK = boilerC === null || watch.heatSinceS === null ? 0 : skinC - boilerC;
    const on =
      isAbove(skinC, elementTempAlarmC, deadbandK, active) ||
      isAbove(overK, 0.6 * elementOverLiquidMaxK, deadbandK, active);
    return when(on, 'scorching', { point: context.instance, tempC: skinC, boilerC, limitC: elementTempAlarmC });
  },
  example: {
    from: 'hearts',
    fires: ['element-temp rises 6 K/min until 121'],
    withinS: 420,
    clears: ['element-temp 97'],
    clearsWithinS: 45,
  },
};
