import { type AlarmRule, isAbove, ownValue, pointsOf, unknown, when } from './rule';

const deadbandShare = 0.05;

/** Ethanol vapour in the room, a fifth of what can burn. Heat off, people out, and nothing in the zone is switched. */
export const vapourLeak: AlarmRule = {
  id: 'vapour-leak',
  priority: 'critical',
  // Three readings of a detector that speaks every five seconds: two wild ones alike send nobody out.
  onDelayS: 11,
  offDelayS: 60,
  deadband: deadbandShare,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: true,
  confirm: true,
  hazards: ['vapour-leak'],
  sees: ['vapour-gas'],
  detectS: 60,
  instances: (plant) => pointsOf(plant, 'vapour-gas'),
  judge: (context) => {
    const share = ownValue(context);
    if (share === null) return unknown;
    const limit = context.plant.still.ratings.vapourGasMaxShare;
    const numbers = { point: context.instance, lelPercent: 100 * share, limitPercent: 100 * limit };
    return when(isAbove(share, limit, deadbandShare, context.active), 'vapour-leak', numbers);
  },
  example: {
    from: 'hearts',
    fires: ['vapour-gas 0.24'],
    withinS: 25,
    clears: ['vapour-gas 0.02'],
    clearsWithinS: 75,
  },
};
