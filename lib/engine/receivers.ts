import { type Draft, note, receiverFor } from './course';
import { trusted } from './reading';
import { withRoom } from './receiver-room';
import type { Drive, Event, Named, Plant, Reason, Run } from './types';

type ReceiverValve = Named<Extract<Drive, { kind: 'receiver-valve' }>>;
type Diverter = Named<Extract<Drive, { kind: 'diverter' }>>;

export function valveOf(plant: Plant, receiver: string | null): ReceiverValve | null {
  for (const id in plant.still.drives) {
    const drive = plant.still.drives[id];
    if (drive?.kind === 'receiver-valve' && drive.receiver === receiver) return { ...drive, id };
  }
  return null;
}

export function diverterOf(plant: Plant): Diverter | null {
  for (const id in plant.still.drives) {
    const drive = plant.still.drives[id];
    if (drive?.kind === 'diverter') return { ...drive, id };
  }
  return null;
}

/** Whether a receiver valve that was told to be open has had its time and says it is closed. */
export function isFoundClosed(plant: Plant, run: Run, id: string): boolean {
  const drive = plant.still.drives[id];
  const memory = run.drives[id];
  if (drive?.kind !== 'receiver-valve' || drive.reported === undefined || memory?.value !== 1) return false;
  if (run.now - memory.changedAtS < drive.travelS + drive.answerS) return false;
  const reported = trusted(run.image[drive.reported]);
  return reported !== null && reported < 0.5;
}

/** Vapour in the room, by the trip that stands: nothing in the zone is switched, not even to end what was begun. */
export function isVapourInRoom(run: Run): boolean {
  return run.trips.some((trip) => trip.id.split(':', 1)[0] === 'vapour-leak');
}

type Proof = 'proven' | 'waiting' | 'failed';

/** Whether a valve is where it was sent: by its report, else by its travel time. */
function proof(run: Run, valve: ReceiverValve, open: boolean, sinceS: number): Proof {
  const elapsedS = run.now - sinceS;
  if (valve.reported === undefined) return elapsedS >= valve.travelS ? 'proven' : 'waiting';
  const reported = trusted(run.image[valve.reported]);
  if (reported !== null && reported >= 0.5 === open) return 'proven';
  return elapsedS >= valve.travelS + valve.answerS ? 'failed' : 'waiting';
}

/**
 * Moves the receivers towards the fraction at the spout: open the new one, prove it, close the old one, prove that.
 * A new one that will not open leaves the old one open and takes the heat off; an old one that will not close keeps
 * the run out of hearts.
 */
export function followReceivers(plant: Plant, draft: Draft): Draft {
  const { run } = draft;
  const home = receiverFor(plant, run.spout.fraction);
  if (home === null || run.phase === 'idle' || isVapourInRoom(run)) return draft;
  const target = withRoom(plant, run, home, run.spout.fraction);
  if (run.switching !== null) return advance(plant, turned(plant, draft, target));
  if (target === run.receiver || run.stuckReceiver !== null) return draft;
  const valve = valveOf(plant, target);
  const diverter = valve === null ? diverterOf(plant) : null;
  if (valve === null && diverter === null) return askSpout(draft, target);
  const switching = { from: run.receiver, to: target, sinceS: run.now, step: 'opening' as const };
  return { ...draft, run: { ...run, switching } };
}

function askSpout(draft: Draft, target: string): Draft {
  const { run } = draft;
  if (run.spoutAsked === target) return draft;
  const event: Event = {
    kind: 'spout-asked',
    atS: run.now,
    to: target,
    reason: { code: 'spout.asked', numbers: { to: target } },
  };
  return note({ ...draft, run: { ...run, spoutAsked: target } }, event);
}

/**
 * A switch whose goal has changed while it was under way. One that was still opening goes back: what it opens is not
 * for this fraction. One whose new receiver is already open goes on from there.
 */
function turned(plant: Plant, draft: Draft, target: string): Draft {
  const { run } = draft;
  const was = run.switching;
  if (was === null || was.from === null || was.to === target) return draft;
  const sinceS = run.now;
  const diverted = valveOf(plant, was.to) === null;
  if (diverted) return { ...draft, run: { ...run, switching: { ...was, to: target, sinceS } } };
  const switching =
    was.step === 'opening'
      ? { from: was.to, to: was.from, sinceS, step: 'closing' as const }
      : { from: was.to, to: target, sinceS, step: 'opening' as const };
  return { ...draft, run: { ...run, switching } };
}

function advance(plant: Plant, draft: Draft): Draft {
  const { run } = draft;
  const { switching } = run;
  if (switching === null) return draft;
  const diverter = diverterOf(plant);
  const opening = valveOf(plant, switching.to);
  if (opening === null && diverter !== null) return advanceDiverter(draft, diverter, switching);
  if (opening === null) return { ...draft, run: { ...run, switching: null } };
  if (switching.step === 'opening') {
    const opened = proof(run, opening, true, switching.sinceS);
    if (opened === 'waiting') return draft;
    if (opened === 'failed')
      return stuck(draft, switching.from, { code: 'trip.receiver-not-open', numbers: { receiver: switching.to } });
    const from = valveOf(plant, switching.from);
    if (from === null || switching.from === switching.to) return arrived(draft, switching);
    return { ...draft, run: { ...run, switching: { ...switching, step: 'closing', sinceS: run.now } } };
  }
  const closing = valveOf(plant, switching.from);
  const closed = closing === null ? 'proven' : proof(run, closing, false, switching.sinceS);
  if (closed === 'waiting') return draft;
  if (closed === 'proven') return arrived(draft, switching);
  const reason: Reason = { code: 'trip.receiver-not-closed', numbers: { receiver: switching.from ?? '' } };
  const entersHearts = plant.still.receivers[switching.to]?.takes.includes('hearts') === true;
  return entersHearts ? stuck(draft, switching.from, reason) : stuck(draft, switching.to, reason);
}

function advanceDiverter(draft: Draft, diverter: Diverter, switching: NonNullable<Run['switching']>): Draft {
  const { run } = draft;
  const elapsedS = run.now - switching.sinceS;
  const position = diverter.reported === undefined ? null : trusted(run.image[diverter.reported]);
  const proven =
    diverter.reported === undefined
      ? elapsedS >= diverter.travelS
      : position === diverter.positions.indexOf(switching.to);
  if (proven) return arrived(draft, switching);
  if (elapsedS < diverter.travelS + diverter.answerS) return draft;
  return stuck(draft, switching.from, { code: 'trip.receiver-not-open', numbers: { receiver: switching.to } });
}

function arrived(draft: Draft, switching: NonNullable<Run['switching']>): Draft {
  const { run } = draft;
  const reason: Reason = {
    code: 'receiver.switched',
    numbers: { to: switching.to, fraction: run.spout.fraction ?? '' },
  };
  const event: Event = { kind: 'receiver', atS: run.now, from: switching.from, to: switching.to, reason };
  return note({ ...draft, run: { ...run, receiver: switching.to, switching: null } }, event);
}

/** Gives up the switch, keeps the given receiver open and reports a trip for the interlock. */
function stuck(draft: Draft, keep: string | null, reason: Reason): Draft {
  const { run } = draft;
  return { ...draft, run: { ...run, receiver: keep, switching: null, stuckReceiver: { atS: run.now, reason } } };
}

/** What the receiver valves and the diverter should be at now; a receiver nobody asked about stays as it is. */
export function wantedReceivers(plant: Plant, run: Run): Record<string, { value: number | string; reason: Reason }> {
  const wanted: Record<string, { value: number | string; reason: Reason }> = {};
  if (run.phase === 'idle' || (run.receiver === null && run.switching === null)) return wanted;
  const open = openReceivers(run);
  // While the first receiver of a run opens, nothing else moves: no path may close before another is proven.
  const firstOpens = run.switching?.step === 'opening' && run.switching.from === null;
  const reason: Reason = {
    code: 'drive.receiver',
    numbers: { fraction: run.spout.fraction ?? '', receiver: open.join(', ') },
  };
  for (const id in plant.still.drives) {
    const drive = plant.still.drives[id];
    if (drive?.kind === 'receiver-valve') {
      const isOpen = open.includes(drive.receiver);
      if (isOpen || !firstOpens) wanted[id] = { value: isOpen ? 1 : 0, reason };
    }
    if (drive?.kind === 'diverter')
      wanted[id] = { value: run.switching?.to ?? run.receiver ?? drive.positions[0]!, reason };
  }
  return wanted;
}

/** The receivers that are to be open now: both of a switch while the new one opens, the new one while the old one closes. */
export function openReceivers(run: Run): string[] {
  if (run.switching === null) return run.receiver === null ? [] : [run.receiver];
  const { from, to, step } = run.switching;
  return step === 'opening' && from !== null ? [from, to] : [to];
}
