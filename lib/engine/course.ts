import { shiftVapourTemp } from '../physics';
import { type Fraction, fractions, type Phase } from '../recipe/schema';
import { noFigures } from './condition';
import { cutNothing, figuresAt } from './cut';
import { referenceHPa } from './estimate';
import { pointOf } from './image';
import { valueAt } from './line';
import type { CutFigures, Event, Plant, Reason, Run, RunState, SurgeMemory } from './types';

/** A run on its way through a scan, with what has happened in it so far. */
export interface Draft {
  readonly run: Run;
  readonly events: readonly Event[];
}

export const surgeNothing: SurgeMemory = { divertedSinceS: null, divertedAtL: 0, count: 0, puked: false };

export function note(draft: Draft, ...events: readonly Event[]): Draft {
  return events.length === 0 ? draft : { ...draft, events: [...draft.events, ...events] };
}

export function setState(draft: Draft, to: RunState, reason: Reason): Draft {
  const { run } = draft;
  if (run.state === to) return draft;
  const event: Event = { kind: 'state', atS: run.now, from: run.state, to, reason };
  return note({ ...draft, run: { ...run, state: to, stateReason: reason } }, event);
}

/** Moves the run to another phase; the step goes along, and what was remembered of the old phase's cut is dropped. */
export function enter(
  draft: Draft,
  phase: Phase,
  step: number,
  reason: Reason,
  figures?: CutFigures,
  asked = false,
): Draft {
  const { run } = draft;
  const event: Event = {
    kind: 'phase',
    atS: run.now,
    from: run.phase,
    to: phase,
    asked,
    figures: figures ?? figuresAt(run.estimate, noFigures),
    reason,
  };
  const next: Run = {
    ...run,
    phase,
    step,
    phaseSinceS: run.now,
    phaseSinceL: run.estimate.produced.volumeL,
    cut: cutNothing,
    surge: surgeNothing,
  };
  return note({ ...draft, run: next }, event);
}

/** Ends the present step: on to the next of the plan, or to the finish after the last. */
export function cutOver(plant: Plant, draft: Draft, reason: Reason, figures: CutFigures, asked: boolean): Draft {
  const { run } = draft;
  const nextStep = run.step + 1;
  const next = plant.plan[nextStep];
  const moved =
    next === undefined
      ? enter(draft, 'finish', -1, reason, figures, asked)
      : enter(draft, next.step.phase, nextStep, reason, figures, asked);
  return { ...moved, run: { ...moved.run, lastCut: { step: run.step, atS: run.now } } };
}

/** Holds a running run: heat off, and where it was is remembered for the resume. */
export function hold(plant: Plant, draft: Draft, reason: Reason): Draft {
  const { run } = draft;
  if (run.state !== 'running' || run.step < 0) return draft;
  const held: Run = {
    ...run,
    resume: run.resume === null ? whereItWas(plant, run) : { ...run.resume, reheating: false, backSinceS: null },
  };
  return setState({ ...draft, run: held }, 'held', reason);
}

function whereItWas(plant: Plant, run: Run): NonNullable<Run['resume']> {
  const targetVapourC = isFrontRacing(plant, run) ? null : lastVapourC(plant, run);
  return { targetVapourC, reheating: false, sinceS: run.now, sinceL: run.estimate.produced.volumeL, backSinceS: null };
}

/** While the vapour front races past the probe, what it shows is no composition to come back to. */
function isFrontRacing(plant: Plant, run: Run): boolean {
  return plant.plan[run.step - 1]?.step.phase === 'heat-up' && !run.cut.frontPassed;
}

/** A probe may have lied this long before it came to be doubted [s]. */
const lieUnseenS = 240;

/**
 * The vapour as it was last seen [°C, at the reference pressure]. Its line is read at its own last reading and not now:
 * after a gap in the scans now lies minutes beyond it, and a slope drawn out so far names a vapour that never was.
 */
function lastVapourC(plant: Plant, run: Run): number | null {
  const { vapourTempC, pressure, recent, lines } = run.estimate;
  const point = pointOf(plant, 'vapour-temp');
  const doubtedSinceS = point === null ? undefined : run.watch?.doubted[point.id];
  if (doubtedSinceS !== undefined) {
    return recent.findLast(({ atS }) => atS <= doubtedSinceS - lieUnseenS)?.tempC ?? null;
  }
  // A run that is held because its probe is gone goes back to where that probe last was.
  if (vapourTempC === null || pressure.medianHPa === null) return recent[recent.length - 1]?.tempC ?? null;
  const line = point === null ? undefined : lines[point.id];
  const seenC = line === undefined ? vapourTempC : valueAt(line, line.atS).value;
  return shiftVapourTemp(seenC, pressure.medianHPa, referenceHPa(plant));
}

export function isFraction(phase: Phase): phase is Fraction {
  return (fractions as readonly string[]).includes(phase);
}

/** The fraction that belongs at the probe in this phase: feints while re-heating, at the finish and in a surge. */
export function fractionNow(plant: Plant, run: Run): Fraction | null {
  if (run.phase === 'idle') return null;
  if (run.phase === 'finish' || run.phase === 'cool-down') return feintsOf(plant);
  const reheating = run.resume?.reheating === true;
  const back = run.phase === 'hearts' && (reheating || run.surge.divertedSinceS !== null);
  if (back) return feintsOf(plant);
  if (isFraction(run.phase)) return run.phase;
  return plant.plan.map((planned) => planned.step.phase).find(isFraction) ?? null;
}

/** Where feints go on this still: tails, else heads, else the last fraction of the recipe. */
export function feintsOf(plant: Plant): Fraction | null {
  const receivers = Object.values(plant.still.receivers);
  if (receivers.some((receiver) => receiver.takes.includes('tails'))) return 'tails';
  if (receivers.some((receiver) => receiver.takes.includes('heads'))) return 'heads';
  return plant.plan.map((planned) => planned.step.phase).findLast(isFraction) ?? null;
}

/** The receiver for a fraction: the one the recipe names for it, else the first of the still that takes it. */
export function receiverFor(plant: Plant, fraction: Fraction | null): string | null {
  if (fraction === null) return null;
  const named = plant.plan.find((planned) => planned.step.phase === fraction)?.receiver;
  if (named !== undefined && named !== null) return named;
  const receivers = plant.still.receivers;
  return Object.keys(receivers).find((id) => receivers[id]?.takes.includes(fraction)) ?? null;
}
