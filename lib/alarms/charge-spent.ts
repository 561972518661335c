import { leftL } from './content';
import { type AlarmRule, isUnderWay, quiet, when } from './rule';

/** The charge without what came over is down to the heel. Energy does not count, so total reflux does not either. */
export const chargeSpent: AlarmRule = {
  id: 'charge-spent',
  priority: 'critical',
  onDelayS: 5,
  offDelayS: 5,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['bare-element'],
  sees: ['collected-volume', 'receiver-volume', 'product-flow', 'vapour-temp'],
  detectS: 60,
  instances: (plant) => (plant.still.heelL > 0 ? [''] : []),
  judge: ({ plant, run }) => {
    const left = isUnderWay(run) ? leftL(plant, run) : null;
    if (left === null) return quiet;
    const { heelL } = plant.still;
    const { source, volumeL } = run.estimate.produced;
    return when(left <= heelL, 'charge-spent', { leftL: left, heelL, collectedL: volumeL, source });
  },
  example: {
    from: 'hearts',
    fires: ['collected-volume rises 30 L/min until 46'],
    withinS: 120,
    clears: ['order stop'],
    clearsWithinS: 10,
  },
};
