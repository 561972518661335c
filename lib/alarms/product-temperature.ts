import { condenses } from './condensing';
import {
  type AlarmContext,
  type AlarmRule,
  type AlarmVerdict,
  isAbove,
  ownValue,
  pointsOf,
  quiet,
  unknown,
  when,
} from './rule';

const deadbandK = 2;

/** Distillate too warm: the condenser no longer copes. Only while vapour comes, for a spout in the sun is warm by itself. */
function judgeAt(context: AlarmContext, limitC: number, code: string): AlarmVerdict {
  if (!condenses(context.plant, context.run)) return quiet;
  const tempC = ownValue(context);
  if (tempC === null) return unknown;
  const numbers = { point: context.instance, tempC, limitC };
  return when(isAbove(tempC, limitC, deadbandK, context.active), code, numbers);
}

export const productHot: AlarmRule = {
  id: 'product-hot',
  priority: 'critical',
  onDelayS: 5,
  offDelayS: 30,
  deadband: deadbandK,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: true,
  confirm: true,
  hazards: ['coolant-lost'],
  sees: ['product-temp'],
  detectS: 180,
  instances: (plant) => pointsOf(plant, 'product-temp'),
  judge: (context) => judgeAt(context, context.plant.still.ratings.productTempTripC, 'product-hot'),
  example: {
    from: 'hearts',
    fires: ['product-temp rises 30 K/min until 44'],
    withinS: 90,
    clears: ['product-temp 18'],
    clearsWithinS: 40,
  },
};

export const productWarm: AlarmRule = {
  id: 'product-warm',
  priority: 'high',
  onDelayS: 10,
  offDelayS: 30,
  deadband: deadbandK,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  confirm: true,
  hazards: ['coolant-lost'],
  sees: ['product-temp'],
  detectS: 120,
  instances: (plant) => pointsOf(plant, 'product-temp'),
  judge: (context) => judgeAt(context, context.plant.still.ratings.productTempAlarmC, 'product-warm'),
  example: {
    from: 'hearts',
    fires: ['product-temp 33'],
    withinS: 20,
    clears: ['product-temp 20'],
    clearsWithinS: 40,
  },
};
