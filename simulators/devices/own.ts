import { parseCommand, topicsOf } from '../../lib/wire';
import { feedsOfReports, nothing, type Outgoing, type Surroundings, type WiredDevice } from './types';

const stateEveryS = 5;

/**
 * A drive controller of our own form: commands with id, time of issue and time to live as JSON, its state told back with the id of the last
 * command it took, and a dead-man of its own.
 *
 * @param still id of the still, for the topics
 * @param deadManS dead-man of each drive that has one [s]
 * @param reports points that report a drive, by point
 */
export function ownDrives(
  name: string,
  still: string,
  drives: readonly string[],
  deadManS: Readonly<Record<string, number | undefined>>,
  reports: Readonly<Record<string, string>> = {},
): WiredDevice {
  const topics = topicsOf(still);
  const heardAtS = new Map<string, number>();
  const lastId = new Map<string, string>();
  const told = new Map<string, string>();
  let nextS = 0;
  const stateOf = (drive: string, around: Surroundings): Outgoing => {
    const state = Number(around.stateOf(drive).toFixed(3));
    const payload = JSON.stringify({ state, id: lastId.get(drive) ?? null });
    return { topic: topics.driveState(drive), payload };
  };
  const letGo = (around: Surroundings): void => {
    for (const [drive, atS] of heardAtS) {
      const seconds = deadManS[drive];
      if (seconds === undefined || around.nowS - atS <= seconds) continue;
      heardAtS.delete(drive);
      around.command(drive, 0, 0, 1e9);
    }
  };
  const hear = (topic: string, payload: string, around: Surroundings): readonly Outgoing[] => {
    const drive = drives.find((one) => topics.driveSet(one) === topic);
    const command = parseCommand(payload);
    if (drive === undefined || command === null) return nothing;
    // The time to live counts site seconds, which in fast time pass quicker than the wall clock's.
    const ageS = (Math.max(0, around.wallMs - Date.parse(command.issuedAt)) / 1000) * around.speed;
    const answer = around.command(drive, command.value, ageS, command.ttlS);
    if (answer !== 'accepted') return nothing;
    heardAtS.set(drive, around.nowS);
    lastId.set(drive, command.id);
    return [stateOf(drive, around)];
  };
  return {
    wiring: {
      feeds: feedsOfReports(reports, (drive) => ({ topic: topics.driveState(drive), path: 'state' })),
      drives: Object.fromEntries(drives.map((drive) => [drive, { mqtt: {} }])),
    },
    device: {
      name,
      will: null,
      hears: drives.map((drive) => topics.driveSet(drive)),
      birth: (around) => drives.map((drive) => stateOf(drive, around)),
      tell: () => nothing,
      hear,
      pass(around) {
        letGo(around);
        const states = drives.map((drive) => stateOf(drive, around));
        const isTime = around.nowS >= nextS;
        if (isTime) nextS = around.nowS + stateEveryS;
        const due = states.filter((one) => isTime || told.get(one.topic) !== one.payload);
        for (const one of due) told.set(one.topic, one.payload);
        return due;
      },
    },
  };
}
