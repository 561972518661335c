import { valueOfKind } from '../engine/image';
import { condenses } from './condensing';
import { leastFlowLPerH } from './coolant-need';
import { type AlarmRule, onceWith, quiet, unknown, when } from './rule';

/** Heat is on and no coolant runs yet: time to open the tap, before vapour comes. */
export const coolantMissing: AlarmRule = {
  id: 'coolant-missing',
  priority: 'medium',
  onDelayS: 30,
  offDelayS: 5,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['coolant-lost'],
  sees: ['coolant-flow'],
  detectS: 60,
  instances: onceWith('coolant-flow'),
  judge: ({ plant, run, watch }) => {
    if (watch.heatSinceS === null || condenses(plant, run)) return quiet;
    const flowLPerH = valueOfKind(plant, run.image, 'coolant-flow');
    if (flowLPerH === null) return unknown;
    const minLPerH = leastFlowLPerH(plant, run);
    return when(flowLPerH < minLPerH, 'coolant-missing', { flowLPerH, minLPerH });
  },
  example: {
    from: 'heat-up',
    fires: ['coolant-flow 0'],
    withinS: 45,
    clears: ['coolant-flow 300'],
    clearsWithinS: 15,
  },
};
