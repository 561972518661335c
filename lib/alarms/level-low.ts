import { type AlarmRule, isBelow, ownValue, pointsOf, quiet, unknown, when } from './rule';

const deadbandShare = 0.03;

/** The level has come down to the liquid that must stay over the element. */
export const levelLow: AlarmRule = {
  id: 'level-low',
  priority: 'critical',
  onDelayS: 5,
  offDelayS: 30,
  deadband: deadbandShare,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  confirm: true,
  hazards: ['bare-element', 'wrong-charge'],
  sees: ['boiler-level'],
  detectS: 20,
  instances: (plant) => pointsOf(plant, 'boiler-level'),
  judge: (context) => {
    const { plant, run, active } = context;
    if (run.phase === 'idle' || run.phase === 'cool-down') return quiet;
    const level = ownValue(context);
    if (level === null) return unknown;
    const { heelL, boilerVolumeL } = plant.still;
    const low = isBelow(level, heelL / boilerVolumeL, deadbandShare, active);
    return when(low, 'level-low', { point: context.instance, leftL: level * boilerVolumeL, heelL });
  },
  example: {
    from: 'hearts',
    fires: ['boiler-level 0.15'],
    withinS: 10,
    clears: ['boiler-level 0.6'],
    clearsWithinS: 35,
  },
};
