import type { Wanted } from './control';
import { isHot, needsCoolant } from './hot';
import { diverterOf, openReceivers, valveOf } from './receivers';
import type { Plant, Reason, Run } from './types';

/** One rule that overrides what is wanted; safety has the last word, so the rules run in this order and after all else. */
type Interlock = (plant: Plant, run: Run, wanted: Wanted) => Wanted;

const heatOffWhenTripped: Interlock = (plant, run, wanted) => {
  const trip = run.trips[0];
  if (trip === undefined) return wanted;
  return heatOff(plant, wanted, { code: 'interlock.trip', numbers: { trip: trip.id }, because: [trip.reason] });
};

const heatOnlyWhileRunning: Interlock = (plant, run, wanted) =>
  run.state === 'running'
    ? wanted
    : heatOff(plant, wanted, { code: 'interlock.not-running', numbers: { state: run.state } });

/** No heat before a receiver is proven open, on a still whose every outlet has a valve of ours. */
const heatOnlyWithOpenPath: Interlock = (plant, run, wanted) => {
  const valved = Object.values(plant.still.drives).some(
    (drive) => drive.kind === 'receiver-valve' || drive.kind === 'diverter',
  );
  if (!valved || run.receiver !== null) return wanted;
  return heatOff(plant, wanted, { code: 'interlock.no-open-path', numbers: {} });
};

const coolantWhileHot: Interlock = (plant, run, wanted) => {
  if (!needsCoolant(plant, run, run.image)) return wanted;
  const reason: Reason = { code: 'interlock.coolant', numbers: {} };
  return override(
    plant,
    wanted,
    (id) => plant.still.drives[id]?.kind === 'coolant' && wanted[id]?.value === 0,
    1,
    reason,
  );
};

/** Heat that does not stop when told opens the second contactor. */
const contactorWhenHeatWillNotStop: Interlock = (plant, run, wanted) => {
  const trip = run.trips.find((standing) => standing.id === 'heat-not-stopping');
  if (trip === undefined) return wanted;
  return override(plant, wanted, (id) => plant.still.drives[id]?.kind === 'contactor', 0, trip.reason);
};

/** The hearts receiver opens for hearts only, but for the overlap of a switch. */
const heartsOnlyInHearts: Interlock = (plant, run, wanted) => {
  if (run.spout.fraction === 'hearts') return wanted;
  const open = openReceivers(run);
  const mayBeOpen = (receiver: string) =>
    open.includes(receiver) && (run.switching !== null || run.receiver === receiver);
  const reason: Reason = { code: 'interlock.hearts-only', numbers: { fraction: run.spout.fraction ?? '' } };
  const isHeartsOnly = (receiver: string) => {
    const takes = plant.still.receivers[receiver]?.takes;
    return takes !== undefined && takes.length === 1 && takes[0] === 'hearts';
  };
  return override(
    plant,
    wanted,
    (id) => {
      const drive = plant.still.drives[id];
      return (
        drive?.kind === 'receiver-valve' &&
        isHeartsOnly(drive.receiver) &&
        wanted[id]?.value === 1 &&
        !mayBeOpen(drive.receiver)
      );
    },
    0,
    reason,
  );
};

/** While hot never all receivers closed: a close that would leave none open is not given. */
const openPathWhileHot: Interlock = (plant, run, wanted) => {
  if (diverterOf(plant) !== null || !isHot(plant, run, run.image)) return wanted;
  const after = (id: string) => wanted[id]?.value ?? run.drives[id]?.value;
  const valves = Object.keys(plant.still.drives).filter((id) => plant.still.drives[id]?.kind === 'receiver-valve');
  if (valves.length === 0 || valves.some((id) => after(id) === 1)) return wanted;
  const keep = valveOf(plant, run.receiver)?.id ?? valves.find((id) => run.drives[id]?.value === 1);
  if (keep === undefined) return wanted;
  return { ...wanted, [keep]: { value: 1, reason: { code: 'interlock.open-path', numbers: {} } } };
};

export const interlocks: Readonly<Record<string, Interlock>> = {
  heatOffWhenTripped,
  heatOnlyWhileRunning,
  heatOnlyWithOpenPath,
  contactorWhenHeatWillNotStop,
  coolantWhileHot,
  heartsOnlyInHearts,
  openPathWhileHot,
};

export function interlock(plant: Plant, run: Run, wanted: Wanted): Wanted {
  return Object.values(interlocks).reduce((before, rule) => rule(plant, run, before), wanted);
}

function heatOff(plant: Plant, wanted: Wanted, reason: Reason): Wanted {
  return override(
    plant,
    wanted,
    (id) => plant.still.drives[id]?.kind === 'heat' && (wanted[id]?.value ?? 0) !== 0,
    0,
    reason,
  );
}

function override(plant: Plant, wanted: Wanted, which: (id: string) => boolean, value: number, reason: Reason): Wanted {
  const next: Record<string, Wanted[string]> = { ...wanted };
  for (const id in plant.still.drives) if (which(id)) next[id] = { value, reason };
  return next;
}
