import { isFoundClosed, openReceivers } from '../engine/receivers';
import { type AlarmRule, drivesOf, quiet, when } from './rule';

/** The receiver that should be open says it is closed: the path may be shut. Another is opened, and the heat goes off. */
export const receiverClosed: AlarmRule = {
  id: 'receiver-closed',
  priority: 'critical',
  onDelayS: 0,
  offDelayS: 5,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['stuck-valve', 'blocked-path'],
  sees: ['drive-state'],
  detectS: 15,
  instances: (plant) =>
    drivesOf(plant, 'receiver-valve').filter((id) => plant.still.drives[id]?.reported !== undefined),
  judge: ({ plant, run, instance }) => {
    const drive = plant.still.drives[instance];
    if (drive?.kind !== 'receiver-valve' || run.phase === 'idle') return quiet;
    if (!openReceivers(run).includes(drive.receiver) || run.switching !== null) return quiet;
    const closed = isFoundClosed(plant, run, instance);
    return when(closed, 'receiver-closed', { drive: instance, receiver: drive.receiver });
  },
  example: {
    from: 'hearts',
    fires: ['drive hearts-valve reports 0'],
    withinS: 20,
    clears: ['drive hearts-valve moves'],
    clearsWithinS: 20,
  },
};
