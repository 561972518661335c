import { leftL } from './content';
import { type AlarmRule, isUnderWay, quiet, when } from './rule';

const nearShare = 1.25;

/** Not much more can come over before only the heel is left. */
export const chargeRunningLow: AlarmRule = {
  id: 'charge-running-low',
  priority: 'medium',
  onDelayS: 10,
  offDelayS: 10,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: [],
  suppressedBy: ['charge-spent'],
  wakes: false,
  hazards: ['bare-element'],
  sees: ['collected-volume', 'receiver-volume', 'product-flow', 'vapour-temp'],
  detectS: 70,
  instances: (plant) => (plant.still.heelL > 0 ? [''] : []),
  judge: ({ plant, run }) => {
    const left = isUnderWay(run) ? leftL(plant, run) : null;
    if (left === null) return quiet;
    const { heelL } = plant.still;
    return when(left <= nearShare * heelL, 'charge-running-low', { leftL: left, heelL });
  },
  example: {
    from: 'hearts',
    fires: ['collected-volume rises 30 L/min until 41'],
    withinS: 120,
    clears: ['order stop'],
    clearsWithinS: 15,
  },
};
