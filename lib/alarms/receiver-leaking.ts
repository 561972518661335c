import { trusted } from '../engine/reading';
import { openReceivers } from '../engine/receivers';
import { type AlarmRule, drivesOf, pointsOf, quiet, unknown, when } from './rule';

/** A receiver fills although it is closed: its valve leaks or stands open, and something else gets into the hearts. */
export const receiverLeaking: AlarmRule = {
  id: 'receiver-leaking',
  priority: 'high',
  onDelayS: 30,
  offDelayS: 10,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: ['idle'],
  wakes: false,
  hazards: ['stuck-valve'],
  sees: ['receiver-volume'],
  detectS: 600,
  instances: (plant) => {
    const valved = drivesOf(plant, 'receiver-valve').map((id) => {
      const drive = plant.still.drives[id];
      return drive?.kind === 'receiver-valve' ? drive.receiver : '';
    });
    return pointsOf(plant, 'receiver-volume').filter((id) => valved.includes(plant.still.points[id]?.receiver ?? ''));
  },
  judge: ({ plant, run, watch, instance }) => {
    const receiver = plant.still.points[instance]?.receiver ?? '';
    const closedL = watch.closedL[receiver];
    if (openReceivers(run).includes(receiver) || closedL === undefined || run.phase === 'idle') return quiet;
    const volumeL = trusted(run.image[instance]);
    if (volumeL === null) return unknown;
    const limitL = Math.max(0.1, 0.01 * (plant.still.receivers[receiver]?.capacityL ?? 0));
    const numbers = { receiver, gainedL: volumeL - closedL, limitL };
    return when(volumeL - closedL > limitL, 'receiver-leaking', numbers);
  },
  example: {
    from: 'hearts',
    fires: ['feints-volume 1.8'],
    withinS: 60,
    clears: ['feints-volume follows'],
    clearsWithinS: 30,
  },
};
