import { hottest } from '../engine/hot';
import { type AlarmRule, has, isAbove, ownValue, pointsOf, quiet, unknown, when } from './rule';

const deadbandK = 10;

/** An element far hotter than the liquid it should be in. Covered, its skin stands some kelvin above it; bare, it climbs about 5 K a second. */
export const elementBare: AlarmRule = {
  id: 'element-bare',
  priority: 'critical',
  onDelayS: 2,
  offDelayS: 10,
  deadband: deadbandK,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  confirm: true,
  hazards: ['bare-element'],
  sees: ['element-temp', 'boiler-temp'],
  detectS: 10,
  instances: (plant) => (has(plant, 'boiler-temp') ? pointsOf(plant, 'element-temp') : []),
  judge: (context) => {
    const { plant, run, watch, active } = context;
    if (watch.heatSinceS === null && !active) return quiet;
    const tempC = ownValue(context);
    const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
    if (tempC === null || boilerC === null) return unknown;
    const overK = tempC - boilerC;
    const limitK = plant.still.ratings.elementOverLiquidMaxK;
    const numbers = { point: context.instance, tempC, boilerC, overK, limitK };
    return when(isAbove(overK, limitK, deadbandK, active), 'element-bare', numbers);
  },
  example: {
    from: 'hearts',
    fires: ['element-temp rises 1.2 K/s until 136'],
    withinS: 45,
    clears: ['element-temp 95'],
    clearsWithinS: 15,
  },
};
