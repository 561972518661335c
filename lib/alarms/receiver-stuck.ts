import type { AlarmRule } from './rule';

/** A receiver valve or diverter that did not follow its last switch. */
export const receiverStuck: AlarmRule = {
  id: 'receiver-stuck',
  priority: 'critical',
  onDelayS: 0,
  offDelayS: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['stuck-valve'],
  instances: (plant) =>
    Object.values(plant.still.drives).some((drive) => drive.kind === 'receiver-valve' || drive.kind === 'diverter')
      ? ['']
      : [],
  judge: ({ run }) => ({
    on: run.stuckReceiver !== null && run.now - run.stuckReceiver.atS < 10,
    reason: run.stuckReceiver?.reason ?? { code: 'alarm.receiver-stuck', numbers: {} },
  }),
  example: { fires: {}, clears: {} },
};
