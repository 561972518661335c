import { type AlarmRule, isAbove, ownValue, pointsOf, unknown, when } from './rule';

const deadbandK = 10;
/** What a probe on the skin lags behind, and what the heat takes to go off [s]. */
const aheadS = 6;
/** Slower than this it will not get far in that time [K/s]. */
const fastPerS = 1;

/**
 * The skin of the element or of the boiler at its limit, or about to pass it: the one probe that is quick enough for a
 * bare element, which climbs about 5 K a second.
 */
export const elementOverTemperature: AlarmRule = {
  id: 'element-over-temperature',
  priority: 'critical',
  onDelayS: 0,
  offDelayS: 10,
  deadband: deadbandK,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  confirm: true,
  hazards: ['bare-element', 'over-temperature'],
  sees: ['element-temp'],
  detectS: 3,
  instances: (plant) => pointsOf(plant, 'element-temp'),
  judge: (context) => {
    const tempC = ownValue(context);
    const limitC = context.plant.still.ratings.elementTempMaxC;
    if (tempC === null) return unknown;
    const skin = context.watch.skins[context.instance];
    // A bare element climbs step after step; two wild readings alike leap once and stand still.
    const perS = skin === undefined ? 0 : Math.min(skin.perS, skin.lastPerS ?? skin.perS);
    const soonC = perS >= fastPerS && context.watch.heatSinceS !== null ? tempC + perS * aheadS : tempC;
    const numbers = { point: context.instance, tempC, soonC, limitC };
    return when(isAbove(soonC, limitC, deadbandK, context.active), 'element-over-temperature', numbers);
  },
  example: {
    from: 'hearts',
    fires: ['element-temp 154'],
    withinS: 5,
    clears: ['element-temp 92'],
    clearsWithinS: 15,
  },
};
