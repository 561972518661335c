import { type AlarmRule, isAbove, ownValue, pointsOf, unknown, when } from './rule';

const deadbandK = 10;

/** The skin of the element or of the boiler at its limit: the one probe that is quick enough for a bare element. */
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
    const numbers = { point: context.instance, tempC, limitC };
    return when(isAbove(tempC, limitC, deadbandK, context.active), 'element-over-temperature', numbers);
  },
  example: {
    from: 'hearts',
    fires: ['element-temp 154'],
    withinS: 5,
    clears: ['element-temp 92'],
    clearsWithinS: 15,
  },
};
