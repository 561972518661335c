import { isMismatched } from '../engine/drive';
import { trusted } from '../engine/reading';
import { type AlarmRule, quiet, unknown, when } from './rule';

/** A drive says something else than it was told, longer than it needs to move. Heat has alarms of its own. */
export const driveMismatch: AlarmRule = {
  id: 'drive-mismatch',
  priority: 'high',
  onDelayS: 0,
  offDelayS: 5,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['stuck-valve'],
  sees: ['drive-state'],
  detectS: 30,
  instances: (plant) =>
    Object.keys(plant.still.drives).filter((id) => {
      const drive = plant.still.drives[id];
      return drive !== undefined && drive.kind !== 'heat' && drive.reported !== undefined;
    }),
  judge: ({ plant, run, now, instance }) => {
    const drive = plant.still.drives[instance];
    const memory = run.drives[instance];
    if (drive === undefined || memory === undefined || drive.reported === undefined) return quiet;
    const travelS = 'travelS' in drive ? drive.travelS : 0;
    if (now - memory.changedAtS < travelS + 2 * drive.answerS) return quiet;
    const reported = trusted(run.image[drive.reported]);
    if (reported === null) return unknown;
    const numbers = { drive: instance, told: memory.value, reported };
    return when(isMismatched(plant, run, drive, memory), 'drive-mismatch', numbers);
  },
  example: {
    from: 'hearts',
    fires: ['drive feints-valve reports 1'],
    withinS: 20,
    clears: ['drive feints-valve moves'],
    clearsWithinS: 20,
  },
};
