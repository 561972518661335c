import { type AlarmRule, isBelow, ownValue, pointsOf, unknown, when } from './rule';

const deadbandHPa = 5;

/** The boiler draws in: a still that cools or is rinsed with its air path shut is crushed. The interlock keeps a path open. */
export const vacuum: AlarmRule = {
  id: 'vacuum',
  priority: 'critical',
  onDelayS: 2,
  offDelayS: 30,
  deadband: deadbandHPa,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: true,
  confirm: true,
  hazards: ['vacuum'],
  sees: ['boiler-pressure'],
  detectS: 5,
  instances: (plant) => pointsOf(plant, 'boiler-pressure'),
  judge: (context) => {
    const gaugeHPa = ownValue(context);
    if (gaugeHPa === null) return unknown;
    const limitHPa = context.plant.still.ratings.vacuumMaxHPa;
    const numbers = { point: context.instance, underHPa: -gaugeHPa, limitHPa };
    return when(isBelow(gaugeHPa, -limitHPa, deadbandHPa, context.active), 'vacuum', numbers);
  },
  example: {
    from: 'cool-down',
    fires: ['boiler-pressure -25'],
    withinS: 10,
    clears: ['boiler-pressure -1'],
    clearsWithinS: 35,
  },
};
