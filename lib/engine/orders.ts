import { obeyAlarmOrder, resetTrips, unansweredTrip } from '../alarms/orders';
import { noFigures } from './condition';
import { cutOver, type Draft, enter, hold, note, setState } from './course';
import { cutNothing, figuresAt } from './cut';
import { producedNothing } from './produced';
import { diverterOf, valveOf } from './receivers';
import type { Event, Order, OrderKind, Plant, Reason, Run, RunState } from './types';

/** In which states an order can be carried out. */
export const allowedStates: Readonly<Record<OrderKind, readonly RunState[]>> = {
  start: ['idle', 'complete', 'stopped'],
  hold: ['running'],
  resume: ['held'],
  stop: ['running', 'held'],
  abort: ['running', 'held', 'stopping'],
  reset: ['idle', 'complete', 'stopped', 'aborted'],
  cut: ['running'],
  'decline-cut': ['running'],
  'undo-cut': ['running'],
  'spout-moved': ['running', 'held', 'stopping', 'aborted'],
  'receiver-emptied': ['idle', 'running', 'held', 'stopping', 'complete', 'stopped', 'aborted'],
  acknowledge: ['idle', 'running', 'held', 'stopping', 'complete', 'stopped', 'aborted'],
  shelve: ['idle', 'running', 'held', 'stopping', 'complete', 'stopped', 'aborted'],
  unshelve: ['idle', 'running', 'held', 'stopping', 'complete', 'stopped', 'aborted'],
  'out-of-service': ['idle', 'running', 'held', 'stopping', 'complete', 'stopped', 'aborted'],
  'return-to-service': ['idle', 'running', 'held', 'stopping', 'complete', 'stopped', 'aborted'],
  attend: ['idle', 'running', 'held', 'stopping', 'complete', 'stopped', 'aborted'],
  'next-jar': ['running'],
  note: ['idle', 'running', 'held', 'stopping', 'complete', 'stopped', 'aborted'],
};

/** Orders that can make things less safe: from elsewhere they are obeyed only where the still allows it. */
const lessSafe: readonly OrderKind[] = [
  'start',
  'resume',
  'reset',
  'shelve',
  'out-of-service',
  'spout-moved',
  'receiver-emptied',
];

/** How recently somebody must have answered at the still for a remote order that can make things less safe [s]. */
const attendedWithinS = 1200;

type Obeyed = Draft | { readonly refused: Reason };

/** Carries out the orders one by one; each is answered by an event that says accepted, or why not. */
export function obey(plant: Plant, draft: Draft, orders: readonly Order[]): Draft {
  return orders.reduce((before, order) => {
    const obeyed = obeyOne(plant, before, order);
    if ('refused' in obeyed) return note(before, answer(before.run, order, false, obeyed.refused));
    const accepted: Reason = { code: `order.${order.kind}`, numbers: orderNumbers(order) };
    return {
      ...obeyed,
      events: [
        ...before.events,
        answer(before.run, order, true, accepted),
        ...obeyed.events.slice(before.events.length),
      ],
    };
  }, draft);
}

function answer(run: Run, order: Order, accepted: boolean, reason: Reason): Event {
  return { kind: 'order', atS: run.now, order, accepted, reason };
}

function orderNumbers(order: Order): Record<string, string | number> {
  return { by: order.by, ...(order.target === undefined ? {} : { target: order.target }) };
}

function refuse(code: string, numbers: Reason['numbers'] = {}): Obeyed {
  return { refused: { code: `refused.${code}`, numbers } };
}

function obeyOne(plant: Plant, draft: Draft, order: Order): Obeyed {
  const { run } = draft;
  const states: readonly RunState[] | undefined = allowedStates[order.kind];
  if (states?.includes(run.state) !== true) return refuse('state', { order: order.kind, state: run.state });
  if (order.from !== 'still') {
    const refused = refuseRemote(plant, run, order);
    if (refused !== null) return refused;
  }
  const reason: Reason = { code: `order.${order.kind}`, numbers: orderNumbers(order) };
  switch (order.kind) {
    case 'start':
      return start(plant, draft, order, reason);
    case 'hold':
      return run.step < 0 ? refuse('phase', { order: order.kind, phase: run.phase }) : hold(plant, draft, reason);
    case 'resume':
      return resume(draft, order, reason);
    case 'stop':
      return setState(enter({ ...draft, run: { ...run, resume: null } }, 'finish', -1, reason), 'stopping', reason);
    case 'abort':
      return setState(enter({ ...draft, run: { ...run, resume: null } }, 'cool-down', -1, reason), 'aborted', reason);
    case 'reset':
      return reset(draft, reason);
    case 'cut':
      return orderedCut(plant, draft, reason);
    case 'decline-cut':
      return declineCut(draft, reason);
    case 'undo-cut':
      return undoCut(plant, draft, reason);
    case 'spout-moved':
      return spoutMoved(plant, draft, order);
    case 'receiver-emptied':
      return emptied(plant, draft, order);
    case 'attend':
      return { ...draft, run: { ...run, attendedAtS: run.now } };
    case 'next-jar':
      return nextJar(draft, reason);
    case 'note':
      return order.text === undefined ? refuse('no-text') : draft;
    default:
      return obeyAlarmOrder(plant, draft, order) ?? refuse('target', { order: order.kind, target: order.target ?? '' });
  }
}

/**
 * From elsewhere an order can only make things safer, unless the still allows remote work and somebody answered at the
 * still just now. Nobody can answer from elsewhere, and nobody lights gas or a fire from there.
 */
function refuseRemote(plant: Plant, run: Run, order: Order): Obeyed | null {
  if (order.kind === 'attend') return refuse('remote', { order: order.kind });
  if (!lessSafe.includes(order.kind)) return null;
  const burns = Object.values(plant.still.drives).some(
    (drive) => drive.kind === 'heat' && (drive.source === 'gas' || drive.source === 'solid-fire'),
  );
  const lights = order.kind === 'start' || order.kind === 'resume';
  if (!plant.still.remoteOrders || (burns && lights)) return refuse('remote', { order: order.kind });
  const withinS = plant.still.attendanceS ?? attendedWithinS;
  const attended = run.attendedAtS !== null && run.now - run.attendedAtS < withinS;
  return attended ? null : refuse('remote-unattended', { order: order.kind, withinS });
}

/** Whoever starts or resumes at the still is there; from elsewhere nobody is. */
function attendedBy(run: Run, order: Order): number | null {
  return order.from === 'still' ? run.now : run.attendedAtS;
}

function start(plant: Plant, draft: Draft, order: Order, reason: Reason): Obeyed {
  const { run } = draft;
  const first = plant.plan[0];
  if (plant.recipe === null || first === undefined) return refuse('no-recipe');
  const standing = run.trips[0];
  if (standing !== undefined) return refuse('trip', { trip: standing.id });
  const fresh: Run = {
    ...run,
    startedAtS: run.now,
    estimate: {
      ...run.estimate,
      plateauC: null,
      plateauPhase: null,
      // What stands in the receivers stays there until somebody says it was emptied.
      produced: {
        ...producedNothing,
        meterL: run.estimate.produced.meterL,
        byReceiver: run.estimate.produced.byReceiver,
      },
    },
    resume: null,
    lastCut: null,
    jar: null,
    attendedAtS: attendedBy(run, order),
    firstOut: null,
  };
  return enter(setState({ ...draft, run: fresh }, 'running', reason), first.step.phase, 0, reason);
}

function resume(draft: Draft, order: Order, reason: Reason): Obeyed {
  const { run } = draft;
  const unanswered = unansweredTrip(run);
  if (unanswered !== null) return refuse(`trip-${unanswered.why}`, { trip: unanswered.trip });
  const was = run.resume ?? { targetVapourC: null, reheating: true, sinceS: run.now, sinceL: 0, backSinceS: null };
  const reset = resetTrips(draft);
  const reheating: Run = {
    ...reset.run,
    cut: { ...run.cut, metSinceS: null, suspended: false, suspendedSinceS: null },
    resume: { ...was, reheating: true, sinceS: run.now, sinceL: run.estimate.produced.volumeL, backSinceS: null },
    attendedAtS: attendedBy(run, order),
  };
  return setState({ ...reset, run: reheating }, 'running', reason);
}

function reset(draft: Draft, reason: Reason): Obeyed {
  const { run } = draft;
  if (run.phase !== 'idle' && run.state === 'aborted') return refuse('still-cooling', { phase: run.phase });
  const unanswered = unansweredTrip(run);
  if (unanswered !== null) return refuse(`trip-${unanswered.why}`, { trip: unanswered.trip });
  return setState(resetTrips(draft), 'idle', reason);
}

function orderedCut(plant: Plant, draft: Draft, reason: Reason): Obeyed {
  const { run } = draft;
  if (run.step < 0) return refuse('phase', { order: 'cut', phase: run.phase });
  if (run.resume !== null) return refuse('reheating');
  return cutOver(plant, draft, reason, figuresAt(run.estimate, noFigures), run.cut.asked);
}

function declineCut(draft: Draft, reason: Reason): Obeyed {
  const { run } = draft;
  if (run.surge.puked) return { ...draft, run: { ...run, surge: { ...run.surge, puked: false } } };
  if (!run.cut.asked) return refuse('nothing-asked');
  const declined: Event = { kind: 'cut-declined', atS: run.now, phase: run.phase, reason };
  return note({ ...draft, run: { ...run, cut: { ...run.cut, asked: false, declined: true } } }, declined);
}

function undoCut(plant: Plant, draft: Draft, reason: Reason): Obeyed {
  const { run } = draft;
  const last = run.lastCut;
  const step = last === null ? undefined : plant.plan[last.step];
  if (last === null || step === undefined || run.step !== last.step + 1) return refuse('nothing-to-undo');
  const sinceS = run.now - last.atS;
  if (sinceS > plant.still.undoWithinS)
    return refuse('undo-too-late', { sinceS, undoWithinS: plant.still.undoWithinS });
  const event: Event = { kind: 'cut-undone', atS: run.now, from: run.phase, to: step.step.phase, reason };
  const back = enter(draft, step.step.phase, last.step, { code: 'cut.undone', numbers: { sinceS }, because: [reason] });
  return note({ ...back, run: { ...back.run, lastCut: null, cut: { ...cutNothing, askOnly: true } } }, event);
}

function spoutMoved(plant: Plant, draft: Draft, order: Order): Obeyed {
  const target = order.target;
  if (target === undefined || !Object.hasOwn(plant.still.receivers, target)) {
    return refuse('receiver', { target: target ?? '', receivers: Object.keys(plant.still.receivers).join(', ') });
  }
  // Where valves of ours stand, only their proof tells which receiver is open.
  if (valveOf(plant, target) !== null || diverterOf(plant) !== null) return refuse('spout-driven', { target });
  const reason: Reason = { code: 'order.spout-moved', numbers: orderNumbers(order) };
  const event: Event = { kind: 'receiver', atS: draft.run.now, from: draft.run.receiver, to: target, reason };
  return note({ ...draft, run: { ...draft.run, receiver: target, switching: null } }, event);
}

function emptied(plant: Plant, draft: Draft, order: Order): Obeyed {
  const target = order.target;
  if (target === undefined || !Object.hasOwn(plant.still.receivers, target)) {
    return refuse('receiver', { target: target ?? '', receivers: Object.keys(plant.still.receivers).join(', ') });
  }
  const { run } = draft;
  const { produced } = run.estimate;
  const byReceiver = { ...produced.byReceiver, [target]: 0 };
  return { ...draft, run: { ...run, estimate: { ...run.estimate, produced: { ...produced, byReceiver } } } };
}

function nextJar(draft: Draft, reason: Reason): Obeyed {
  const { run } = draft;
  const volumeL = run.estimate.produced.volumeL;
  const number = (run.jar?.number ?? 0) + 1;
  const event: Event = {
    kind: 'jar',
    atS: run.now,
    number,
    figures: figuresAt(run.estimate, noFigures),
    volumeL: run.jar === null ? null : volumeL - run.jar.sinceL,
    reason,
  };
  return note({ ...draft, run: { ...run, jar: { number, sinceL: volumeL, sinceS: run.now } } }, event);
}
