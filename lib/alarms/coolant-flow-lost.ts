import { condenses } from './condensing';
import { leastFlowLPerH } from './coolant-need';
import { type AlarmRule, drivesOf, ownValue, pointsOf, quiet, unknown, when } from './rule';

/** Coolant has stopped, or no longer suffices, while vapour comes to the condenser. It stays off when it comes back. */
export const coolantFlowLost: AlarmRule = {
  id: 'coolant-flow-lost',
  priority: 'critical',
  onDelayS: 20,
  offDelayS: 10,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: true,
  confirm: true,
  hazards: ['coolant-lost'],
  sees: ['coolant-flow'],
  detectS: 45,
  instances: (plant) => pointsOf(plant, 'coolant-flow'),
  judge: (context) => {
    const { plant, run, now, active } = context;
    if (!condenses(plant, run)) return quiet;
    const flowLPerH = ownValue(context);
    if (flowLPerH === null) return unknown;
    const justTold = drivesOf(plant, 'coolant').some((id) => now - (run.drives[id]?.changedAtS ?? now) < 10);
    if (justTold && !active) return quiet;
    const minLPerH = leastFlowLPerH(plant, run);
    const limitLPerH = active ? 1.1 * minLPerH : minLPerH;
    return when(flowLPerH < limitLPerH, 'coolant-flow-lost', { point: context.instance, flowLPerH, minLPerH });
  },
  example: {
    from: 'hearts',
    fires: ['coolant-flow 0'],
    withinS: 40,
    clears: ['coolant-flow 300'],
    clearsWithinS: 30,
  },
};
