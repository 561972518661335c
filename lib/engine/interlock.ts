import { ruleOfAlarm } from '../alarms';
import type { Wanted } from './control';
import { needsAirPath, needsCoolant } from './hot';
import { isHeartsOnly, roomL, runOnL } from './receiver-room';
import { diverterOf, isFoundClosed, isVapourInRoom, valveOf } from './receivers';
import type { Drive, Plant, Reason, Run } from './types';

/** One rule that overrides what is wanted; safety has the last word, so the rules run in this order and after all else. */
export type Interlock = (plant: Plant, run: Run, wanted: Wanted) => Wanted;

/** A standing trip keeps the heat off, until it was acknowledged, is gone and an order takes it back. */
export const heatOffWhenTripped: Interlock = (plant, run, wanted) => {
  const trip = run.trips[0];
  if (trip === undefined) return wanted;
  return heatOff(plant, wanted, { code: 'interlock.trip', numbers: { trip: trip.id }, because: [trip.reason] });
};

/** Held means heat off, and so does every other state but running. */
export const heatOnlyWhileRunning: Interlock = (plant, run, wanted) =>
  run.state === 'running'
    ? wanted
    : heatOff(plant, wanted, { code: 'interlock.not-running', numbers: { state: run.state } });

/** No heat before a receiver is proven open, on a still whose every outlet has a valve of ours; none once it is found closed. */
export const heatOnlyWithOpenPath: Interlock = (plant, run, wanted) => {
  if (!isValved(plant)) return wanted;
  const valve = valveOf(plant, run.receiver);
  if (run.receiver !== null && (valve === null || !isFoundClosed(plant, run, valve.id))) return wanted;
  return heatOff(plant, wanted, { code: 'interlock.no-open-path', numbers: {} });
};

/** No heat while what would still come over after it no longer fits into the receiver that is open. */
export const heatOnlyWithRoom: Interlock = (plant, run, wanted) => {
  const room = run.receiver === null || run.phase === 'idle' ? null : roomL(plant, run, run.receiver);
  if (room === null || room > runOnL(plant, run)) return wanted;
  return heatOff(plant, wanted, {
    code: 'interlock.no-room',
    numbers: { receiver: run.receiver ?? '', roomL: Math.max(0, room) },
  });
};

/** Share of the phase's heat that is left while an alarm asks for less. */
const reducedShare = 0.5;

/** Alarms that ask for less heat get it while they last, silenced or not; a drive that is only on or off stays. */
export const lessHeatWhenAsked: Interlock = (plant, run, wanted) => {
  const asking = Object.keys(run.alarms).find(
    (id) => run.alarms[id]?.active && ruleOfAlarm(id)?.interlock === 'heat-reduce',
  );
  if (asking === undefined) return wanted;
  const most = reducedShare * (plant.plan[run.step]?.step.heatShare ?? 1);
  const next: Record<string, Wanted[string]> = { ...wanted };
  for (const id in plant.still.drives) {
    const drive = plant.still.drives[id];
    const value = wanted[id]?.value;
    if (drive?.kind !== 'heat' || drive.control !== 'modulating' || typeof value !== 'number' || value <= most)
      continue;
    next[id] = { value: most, reason: { code: 'interlock.less-heat', numbers: { alarm: asking } } };
  }
  return next;
};

/** Heat that does not stop when told opens the second contactor. */
export const contactorWhenHeatWillNotStop: Interlock = (plant, run, wanted) => {
  const trip = run.trips.find((standing) => standing.id.split(':', 1)[0] === 'heat-not-stopping');
  if (trip === undefined) return wanted;
  return override(plant, wanted, (_id, drive) => drive.kind === 'contactor', 0, trip.reason);
};

/** Coolant runs until heat is proven off, its run-on is over and the boiler is 15 K below its boiling point. */
export const coolantWhileHot: Interlock = (plant, run, wanted) => {
  if (!needsCoolant(plant, run, run.image)) return wanted;
  const reason: Reason = { code: 'interlock.coolant', numbers: {} };
  return override(
    plant,
    wanted,
    (id, drive) => drive.kind === 'coolant' && (wanted[id]?.value ?? run.drives[id]?.value ?? 0) === 0,
    1,
    reason,
  );
};

/** Purity: the hearts receiver opens for hearts only; one that is being left stays open until the next is proven. */
export const heartsOnlyInHearts: Interlock = (plant, run, wanted) => {
  if (run.spout.fraction === 'hearts') return wanted;
  const mayStayOpen = (receiver: string) =>
    run.switching === null ? run.receiver === receiver : run.switching.from === receiver;
  const reason: Reason = { code: 'interlock.hearts-only', numbers: { fraction: run.spout.fraction ?? '' } };
  return override(
    plant,
    wanted,
    (id, drive) =>
      drive.kind === 'receiver-valve' &&
      isHeartsOnly(plant, drive.receiver) &&
      wanted[id]?.value === 1 &&
      !mayStayOpen(drive.receiver),
    0,
    reason,
  );
};

/** No overflow: a receiver that is full to the brim is not opened anew. */
export const noOpeningWhenFull: Interlock = (plant, run, wanted) => {
  const reason: Reason = { code: 'interlock.receiver-full', numbers: {} };
  return override(
    plant,
    wanted,
    (id, drive) =>
      drive.kind === 'receiver-valve' &&
      wanted[id]?.value === 1 &&
      run.drives[id]?.value !== 1 &&
      (roomL(plant, run, drive.receiver) ?? 1) <= 0,
    0,
    reason,
  );
};

/**
 * Open path: while the still is hot, and until it is cold enough not to draw a vacuum, never all receivers closed. A
 * close that would leave none open is not given; where the open one is found closed, another is opened, that for
 * feints first. A diverter always leads somewhere and is left alone.
 */
export const openPathWhileHot: Interlock = (plant, run, wanted) => {
  if (diverterOf(plant) !== null || !needsAirPath(plant, run, run.image)) return wanted;
  const valves = Object.keys(plant.still.drives).filter((id) => plant.still.drives[id]?.kind === 'receiver-valve');
  const after = (id: string) => wanted[id]?.value ?? run.drives[id]?.value;
  const usable = valves.filter((id) => !isFoundClosed(plant, run, id));
  // Valves nobody has moved yet stand where they stand.
  if (valves.every((id) => after(id) === undefined) || usable.some((id) => after(id) === 1)) return wanted;
  const keep = usable.find((id) => run.drives[id]?.value === 1) ?? feintsFirst(plant, usable) ?? valves[0];
  if (keep === undefined) return wanted;
  return { ...wanted, [keep]: { value: 1, reason: { code: 'interlock.open-path', numbers: {} } } };
};

function feintsFirst(plant: Plant, valves: readonly string[]): string | undefined {
  const takes = (id: string): readonly string[] => {
    const drive = plant.still.drives[id];
    return drive?.kind === 'receiver-valve' ? (plant.still.receivers[drive.receiver]?.takes ?? []) : [];
  };
  return (
    valves.find((id) => takes(id).includes('tails')) ?? valves.find((id) => !takes(id).includes('hearts')) ?? valves[0]
  );
}

/** Vapour in the room: what stands in the zone keeps its place, for any contact that moves can light it. */
export const nothingSwitchedInVapour: Interlock = (plant, run, wanted) => {
  if (!isVapourInRoom(run)) return wanted;
  return Object.fromEntries(
    Object.entries(wanted).filter(([id]) => {
      const drive = plant.still.drives[id];
      return drive === undefined || !isInZone(drive);
    }),
  );
};

/** Valves and take-off stand at the spout, in the zone, unless the still says otherwise. */
function isInZone(drive: Drive): boolean {
  return drive.inZone ?? (drive.kind === 'receiver-valve' || drive.kind === 'diverter' || drive.kind === 'take-off');
}

/**
 * In the order of precedence: the later one wins. Purity, then no overflow, then the open path; and in a room with
 * vapour in it nothing moves at all.
 */
export const interlocks: Readonly<Record<string, Interlock>> = {
  lessHeatWhenAsked,
  heatOnlyWithRoom,
  heatOnlyWithOpenPath,
  heatOnlyWhileRunning,
  heatOffWhenTripped,
  contactorWhenHeatWillNotStop,
  coolantWhileHot,
  heartsOnlyInHearts,
  noOpeningWhenFull,
  openPathWhileHot,
  nothingSwitchedInVapour,
};

/** The same as a list, worked out once: a scan walks it every time. */
export const interlocksInOrder: readonly Interlock[] = Object.values(interlocks);

export function interlock(plant: Plant, run: Run, wanted: Wanted): Wanted {
  return interlocksInOrder.reduce((before, rule) => rule(plant, run, before), wanted);
}

function isValved(plant: Plant): boolean {
  for (const id in plant.still.drives) {
    const kind = plant.still.drives[id]?.kind;
    if (kind === 'receiver-valve' || kind === 'diverter') return true;
  }
  return false;
}

function heatOff(plant: Plant, wanted: Wanted, reason: Reason): Wanted {
  return override(plant, wanted, (id, drive) => drive.kind === 'heat' && (wanted[id]?.value ?? 0) !== 0, 0, reason);
}

function override(
  plant: Plant,
  wanted: Wanted,
  which: (id: string, drive: Drive) => boolean,
  value: number,
  reason: Reason,
): Wanted {
  let next: Record<string, Wanted[string]> | null = null;
  for (const id in plant.still.drives) {
    const drive = plant.still.drives[id];
    if (drive === undefined || !which(id, drive)) continue;
    next ??= { ...wanted };
    next[id] = { value, reason };
  }
  return next ?? wanted;
}
