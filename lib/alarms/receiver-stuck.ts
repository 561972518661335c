import { type AlarmRule, drivesOf } from './rule';

/** How long the switch that failed is reported; the alarm itself stays until it is answered [s]. */
const reportedForS = 10;

/** A receiver valve or diverter that did not follow its last switch. */
export const receiverStuck: AlarmRule = {
  id: 'receiver-stuck',
  priority: 'critical',
  onDelayS: 0,
  offDelayS: 0,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['stuck-valve'],
  sees: ['drive-state'],
  detectS: 15,
  instances: (plant) =>
    [...drivesOf(plant, 'receiver-valve'), ...drivesOf(plant, 'diverter')].some(
      (id) => plant.still.drives[id]?.reported !== undefined,
    )
      ? ['']
      : [],
  judge: ({ run }) => ({
    on: run.stuckReceiver !== null && run.now - run.stuckReceiver.atS < reportedForS,
    reason: run.stuckReceiver?.reason ?? { code: 'alarm.receiver-stuck', numbers: {} },
  }),
  example: {
    from: 'heads',
    fires: ['drive hearts-valve sticks', 'order cut'],
    withinS: 60,
    clears: ['drive hearts-valve moves'],
    clearsWithinS: 30,
  },
};
