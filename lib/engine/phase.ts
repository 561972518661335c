import { shiftVapourTemp } from '../physics';
import { cutOver, type Draft, enter, feintsOf, fractionNow, hold, note, setState } from './course';
import type { Due } from './cut';
import { referenceHPa } from './estimate';
import { coldC, hotBoilerC, isAboveBoiler, isDriven, isHot, runOnS, vapourThereC } from './hot';
import { pointOf, valueOfKind } from './image';
import { valueAt } from './line';
import type { Event, Plant, Reason, Recipe, Run } from './types';

/** Moves the run on: a due cut, a probe lost too long, the finish and the cool-down, a resumed run that is back. */
export function nextPhase(plant: Plant, draft: Draft, due: Due): Draft {
  const { run } = draft;
  const judged = note({ ...draft, run: { ...run, cut: due.memory } }, ...due.events);
  if (run.phase === 'finish') return endFinish(plant, judged);
  if (run.phase === 'cool-down') return endCoolDown(plant, judged);
  if (run.state !== 'running') return judged;
  if (run.resume?.reheating === true) return comeBack(plant, judged);
  if (due.cut !== null) return cutOver(plant, judged, due.cut, due.figures, false);
  const suspendedS = due.memory.suspendedSinceS === null ? 0 : run.now - due.memory.suspendedSinceS;
  if (suspendedS >= plant.still.graceS) {
    return hold(plant, judged, { code: 'held.probe-lost', numbers: { suspendedS, graceS: plant.still.graceS } });
  }
  return surge(plant, judged);
}

function endFinish(plant: Plant, draft: Draft): Draft {
  const { run } = draft;
  const drainS = Math.max(30, runOnS(plant), plant.still.spout.transitS);
  if (run.now - run.phaseSinceS < drainS || isDriven(plant, run, run.image)) return draft;
  return enter(draft, 'cool-down', -1, { code: 'phase.run-on-over', numbers: { drainS } });
}

const blindCoolDownS = 3600;

function endCoolDown(plant: Plant, draft: Draft): Draft {
  const { run } = draft;
  const inPhaseS = run.now - run.phaseSinceS;
  const blind = pointOf(plant, 'boiler-temp') === null;
  const vapourC = valueOfKind(plant, run.image, 'vapour-temp');
  const cold = blind
    ? inPhaseS >= blindCoolDownS && (vapourC === null || vapourC < coldC) && !isDriven(plant, run, run.image)
    : !isHot(plant, run, run.image) && !isHotByTheLine(run);
  if (!cold) return draft;
  const reason: Reason = { code: 'phase.cooled', numbers: { inPhaseS } };
  const over = enter(draft, 'idle', -1, reason);
  if (run.state === 'running') return setState(over, 'complete', reason);
  return run.state === 'stopping' ? setState(over, 'stopped', reason) : over;
}

/** One cool reading ends no run: the line through the readings of some minutes must be cool too. */
function isHotByTheLine({ estimate: { boilerTempC } }: Run): boolean {
  return boilerTempC !== null && boilerTempC > hotBoilerC;
}

/** Kelvin short of the old vapour temperature at which a resumed run counts as back. */
const backWithinK = 0.3;
const backHoldS = 60;
/** How long a resumed column runs at total reflux once its vapour is back [s]. */
export const equaliseAgainS = 600;

/**
 * A resumed run goes on where it was only once the vapour is back at the composition it had, twice the hold-up has
 * passed to feints. A column equalises again instead: at total reflux its head is cooler than it was with anything taken
 * off, so that it would wait for its old temperature for ever.
 */
function comeBack(plant: Plant, draft: Draft): Draft {
  const { run } = draft;
  const resume = run.resume;
  const { vapourTempC, pressure, produced } = run.estimate;
  if (resume === null) return draft;
  const targetC = resume.targetVapourC;
  const atReferenceC =
    vapourTempC === null || pressure.medianHPa === null
      ? null
      : shiftVapourTemp(vapourTempC, pressure.medianHPa, referenceHPa(plant));
  // Held before anything was known of the vapour: back is when vapour comes at all.
  const isColumn = plant.still.kind === 'column';
  const backC = targetC === null || isColumn ? vapourThereC : targetC - backWithinK;
  const back = atReferenceC !== null && atReferenceC >= backC;
  const backSinceS = back ? (resume.backSinceS ?? run.now) : null;
  const heldS = backSinceS === null ? 0 : run.now - backSinceS;
  const { holdUpL, transitS } = plant.still.spout;
  const purgedL = produced.volumeL - resume.sinceL;
  const inPhaseHeatUp = run.phase === 'heat-up' || run.phase === 'equalise';
  const waitS = isColumn ? equaliseAgainS : backHoldS;
  const purged = inPhaseHeatUp || (purgedL >= 2 * holdUpL && run.now - resume.sinceS >= 2 * transitS);
  if (!inPhaseHeatUp && (heldS < waitS || !purged))
    return { ...draft, run: { ...run, resume: { ...resume, backSinceS } } };
  const reason: Reason = { code: 'resume.back', numbers: { heldS, purgedL, ...(targetC === null ? {} : { targetC }) } };
  // What was met before the hold must be seen again: the hold clock starts anew, the memory of unmet tests stays.
  const next: Run = { ...run, resume: null, cut: { ...run.cut, metSinceS: null } };
  return note({ ...draft, run: next }, { kind: 'state', atS: run.now, from: 'running', to: 'running', reason });
}

/** In hearts only: a surge is diverted at once and may come back twice; liquid carried over is diverted and asked. */
function surge(plant: Plant, draft: Draft): Draft {
  const { run } = draft;
  if (run.phase !== 'hearts') return draft;
  const guard = plant.recipe?.surgeGuard ?? onlyPuking(plant);
  const diverted = run.surge.divertedSinceS !== null;
  if (!diverted) {
    const jumpK = jumpOf(plant, run);
    if (jumpK >= guard.pukeK)
      return divert(plant, draft, { code: 'surge.puking', numbers: { jumpK, pukeK: guard.pukeK } }, true);
    if (
      plant.recipe?.surgeGuard !== undefined &&
      run.cut.metSinceS !== null &&
      !run.cut.metOnEntry &&
      !run.cut.askOnly
    ) {
      return divert(plant, draft, { code: 'surge.surge', numbers: { count: run.surge.count + 1 } }, false);
    }
    return draft;
  }
  const purgedL = run.estimate.produced.volumeL - run.surge.divertedAtL;
  if (run.surge.puked || run.cut.metSinceS !== null || purgedL < guard.purgeL || run.surge.count > 2) return draft;
  const event: Event = {
    kind: 'surge',
    atS: run.now,
    state: 'returned',
    reason: { code: 'surge.settled', numbers: { purgedL } },
  };
  return note({ ...draft, run: { ...run, surge: { ...run.surge, divertedSinceS: null } } }, event);
}

/** Liquid carried over is diverted whatever the recipe says; it comes back once somebody has declined the cut. */
function onlyPuking(plant: Plant): NonNullable<Recipe['surgeGuard']> {
  return { purgeL: Math.max(0.1, 2 * plant.still.spout.holdUpL), heatShare: 0.5, pukeK: 4 };
}

function divert(plant: Plant, draft: Draft, reason: Reason, puked: boolean): Draft {
  const { run } = draft;
  const count = run.surge.count + 1;
  const ask = puked || count > 2;
  const events: Event[] = [{ kind: 'surge', atS: run.now, state: 'diverted', reason }];
  if (ask)
    events.push({ kind: 'surge', atS: run.now, state: 'asked', reason: { code: 'surge.asked', numbers: { count } } });
  const spout = { fraction: feintsOf(plant), pending: null };
  const next: Run = {
    ...run,
    spout,
    surge: { divertedSinceS: run.now, divertedAtL: run.estimate.produced.volumeL, count, puked },
  };
  return note({ ...draft, run: next }, ...events);
}

/**
 * How far the last readings of the vapour, two or more together, stand above the line through the others [K]; 0 for a
 * probe that is doubted, whose leap says nothing of the still.
 */
export function jumpOf(plant: Plant, run: Run): number {
  const point = pointOf(plant, 'vapour-temp');
  if (point === null || run.watch?.doubted[point.id] !== undefined) return 0;
  const line = run.estimate.lines[point.id];
  const last = line?.aside[line.aside.length - 1];
  if (line === undefined || last === undefined || line.aside.length < 2) return 0;
  if (isAboveBoiler(plant, run.image, last.value)) return 0;
  return last.value - valueAt(line, last.atS).value;
}

/** Lets the spout follow the probe: after the hold-up volume, or the transit time where no flow is known. */
export function followSpout(plant: Plant, draft: Draft): Draft {
  const { run } = draft;
  const wanted = fractionNow(plant, run);
  const { spout } = run;
  if (wanted === spout.fraction)
    return spout.pending === null ? draft : setSpout(draft, { fraction: wanted, pending: null });
  const { holdUpL, transitS } = plant.still.spout;
  const atOnce = spout.fraction === null || run.surge.divertedSinceS !== null || run.resume !== null;
  if (atOnce) return setSpout(draft, { fraction: wanted, pending: null });
  const volumeL = run.estimate.produced.volumeL;
  const pending =
    spout.pending?.fraction === wanted ? spout.pending : { fraction: wanted, sinceS: run.now, sinceL: volumeL };
  const metered = holdUpL > 0 && run.estimate.produced.source !== 'none';
  const passed = metered ? volumeL - pending.sinceL >= holdUpL : run.now - pending.sinceS >= transitS;
  return setSpout(draft, passed ? { fraction: wanted, pending: null } : { ...spout, pending });
}

function setSpout(draft: Draft, spout: Run['spout']): Draft {
  return { ...draft, run: { ...draft.run, spout } };
}
