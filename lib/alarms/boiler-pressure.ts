import {
  type AlarmContext,
  type AlarmRule,
  type AlarmVerdict,
  isAbove,
  ownValue,
  pointsOf,
  unknown,
  when,
} from './rule';

/** Boiler pressure at a share of its rating. */
function judgeAt(context: AlarmContext, share: number, code: string): AlarmVerdict {
  const gaugeHPa = ownValue(context);
  if (gaugeHPa === null) return unknown;
  const limitHPa = share * context.plant.still.ratings.boilerPressureMaxHPa;
  const numbers = { point: context.instance, gaugeHPa, limitHPa };
  return when(isAbove(gaugeHPa, limitHPa, 0.1 * limitHPa, context.active), code, numbers);
}

/** The boiler stands above what it is rated for: the vapour path is blocked, and the relief valve is next. */
export const boilerOverPressure: AlarmRule = {
  id: 'boiler-over-pressure',
  priority: 'critical',
  onDelayS: 2,
  offDelayS: 30,
  deadband: 7,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: true,
  confirm: true,
  hazards: ['blocked-path'],
  sees: ['boiler-pressure'],
  detectS: 5,
  instances: (plant) => pointsOf(plant, 'boiler-pressure'),
  judge: (context) => judgeAt(context, 1, 'boiler-over-pressure'),
  example: {
    from: 'hearts',
    fires: ['boiler-pressure 75'],
    withinS: 10,
    clears: ['boiler-pressure 4'],
    clearsWithinS: 35,
  },
};

/** Half of what it is rated for, and staying: a path that clogs, or a column that floods. Less heat until it is over. */
export const boilerPressureHigh: AlarmRule = {
  id: 'boiler-pressure-high',
  priority: 'high',
  onDelayS: 30,
  offDelayS: 60,
  deadband: 3.5,
  latched: false,
  interlock: 'heat-reduce',
  suppressedIn: [],
  suppressedBy: [],
  wakes: false,
  hazards: ['blocked-path', 'puking'],
  sees: ['boiler-pressure'],
  detectS: 60,
  instances: (plant) => pointsOf(plant, 'boiler-pressure'),
  judge: (context) => judgeAt(context, 0.5, 'boiler-pressure-high'),
  example: {
    from: 'hearts',
    fires: ['boiler-pressure 45'],
    withinS: 40,
    clears: ['boiler-pressure 6'],
    clearsWithinS: 70,
  },
};
