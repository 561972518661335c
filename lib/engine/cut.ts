import { alcoholSharePercent } from '../cuts/alcohol-share';
import { judgeCondition, noFigures, type Outcome } from './condition';
import { pointOf } from './image';
import { judgePlausible } from './plausible';
import type { CutFigures, CutMemory, Estimate, Event, Image, PlannedStep, Plant, Reason, Run } from './types';

export const cutNothing: CutMemory = {
  frontPassed: false,
  tests: {},
  metSinceS: null,
  metOnEntry: false,
  overdueSinceS: null,
  asked: false,
  declined: false,
  askOnly: false,
  suspended: false,
  suspendedSinceS: null,
};

/** What is due for the phase the run is in. */
export interface Due {
  readonly memory: CutMemory;
  /** Make the cut now, for this reason; null to stay. */
  readonly cut: Reason | null;
  readonly figures: CutFigures;
  readonly events: readonly Event[];
}

/**
 * Decides whether the phase's end is due: the condition has held for its hold time, every test of it was first seen
 * unmet in this phase, the guard is passed and no probe it needs is lost. A condition that was met on entry is asked.
 */
export function judgeCut(plant: Plant, run: Run, image: Image, estimate: Estimate, now: number): Due {
  const planned = plant.plan[run.step];
  if (planned === undefined || run.state !== 'running' || run.resume !== null) return stay(run.cut, estimate);
  const frontPassed = isFrontPassed(plant, run, estimate, now);
  const outcome = judgeCondition(
    planned.step.endsWhen,
    { plant, planned, estimate, image, now, phaseSinceS: run.phaseSinceS, phaseSinceL: run.phaseSinceL, frontPassed },
    run.cut.tests,
  );
  const figures = figuresAt(estimate, outcome.figures);
  const guard = guardOf(plant, planned, run, estimate, now);
  const suspended = outcome.lost !== null;
  const events: Event[] = suspended === run.cut.suspended ? [] : [suspension(run, outcome, now)];
  const holding = outcome.met && guard === null;
  // A second test that becomes true beside one that was true on entry starts the hold anew.
  const restarted = run.cut.metOnEntry && !outcome.metOnEntry;
  const metSinceS = holding ? (restarted ? now : (run.cut.metSinceS ?? now)) : null;
  const plausible = judgePlausible(plant, planned, estimate, now - run.phaseSinceS);
  const overdueSinceS = holding || guard !== null || plausible.overdue === null ? null : (run.cut.overdueSinceS ?? now);
  const memory: CutMemory = {
    ...run.cut,
    frontPassed,
    tests: outcome.tests,
    metSinceS,
    metOnEntry: outcome.metOnEntry,
    overdueSinceS,
    suspended,
    suspendedSinceS: suspended ? (run.cut.suspendedSinceS ?? now) : null,
    declined: run.cut.declined && (holding || overdueSinceS !== null),
    asked: run.cut.asked && (holding || overdueSinceS !== null),
  };
  const ask = (code: string, because: readonly Reason[], heldS: number): Due => {
    if (memory.asked || memory.declined) return { memory, cut: null, figures, events };
    const to = plant.plan[run.step + 1]?.step.phase ?? 'finish';
    const reason: Reason = { code, numbers: { heldS }, because };
    const asked: Event = { kind: 'cut-asked', atS: now, from: run.phase, to, figures, reason };
    return { memory: { ...memory, asked: true }, cut: null, figures, events: [...events, asked] };
  };
  const overdueS = overdueSinceS === null ? 0 : now - overdueSinceS;
  if (
    !suspended &&
    plausible.overdue !== null &&
    overdueSinceS !== null &&
    overdueS >= Math.max(planned.step.holdS, overdueLeastS)
  ) {
    return ask('ask.overdue', [plausible.overdue, ...outcome.reasons], overdueS);
  }
  const heldS = metSinceS === null ? 0 : now - metSinceS;
  if (!holding || suspended || heldS < planned.step.holdS) return { memory, cut: null, figures, events };
  if (outcome.metOnEntry) return ask('ask.met-on-entry', outcome.reasons, heldS);
  if (memory.askOnly) return ask('ask.after-undo', outcome.reasons, heldS);
  if (planned.step.cut === 'ask') return ask('ask.recipe', outcome.reasons, heldS);
  if (plausible.disagrees !== null) return ask('ask.disagrees', [plausible.disagrees, ...outcome.reasons], heldS);
  const reason: Reason = { code: 'cut.condition', numbers: { heldS }, because: outcome.reasons };
  return { memory, cut: reason, figures, events };
}

/** A figure past where the cut is plausible is asked about only when it stays so: a question cannot be taken back [s]. */
const overdueLeastS = 60;

const frontSlopeKPerS = 0.01;
const frontLineS = 30;
const frontLongestS = 120;

/**
 * Right after the heat-up the vapour front still races past the probe, and every threshold is unmet for some seconds.
 * That says nothing: a test counts as unmet only once the temperature has calmed down, or after two minutes.
 */
function isFrontPassed(plant: Plant, run: Run, estimate: Estimate, now: number): boolean {
  if (run.cut.frontPassed || plant.plan[run.step - 1]?.step.phase !== 'heat-up') return true;
  if (now - run.phaseSinceS >= frontLongestS) return true;
  const point = pointOf(plant, 'vapour-temp');
  const line = point === null ? undefined : estimate.lines[point.id];
  const slopeKPerS = estimate.vapourSlopeKPerS;
  return (
    line !== undefined &&
    slopeKPerS !== null &&
    now - line.sinceS >= frontLineS &&
    Math.abs(slopeKPerS) < frontSlopeKPerS
  );
}

function stay(memory: CutMemory, estimate: Estimate): Due {
  return { memory, cut: null, figures: figuresAt(estimate, noFigures), events: [] };
}

export function figuresAt(estimate: Estimate, thresholds: Outcome['figures']): CutFigures {
  return { vapourTempC: estimate.vapourTempC, airPressureHPa: estimate.pressure.medianHPa, ...thresholds };
}

/** Why the phase may not end yet, whatever the condition says; null once the guard is passed. */
function guardOf(plant: Plant, planned: PlannedStep, run: Run, estimate: Estimate, now: number): Reason | null {
  const guard = planned.step.notBefore;
  if (guard === undefined) return null;
  const volumeL = estimate.produced.volumeL;
  if (guard.volumeL !== undefined && volumeL < guard.volumeL) {
    return { code: 'guard.volume', numbers: { volumeL, notBeforeL: guard.volumeL } };
  }
  const sharePercent = alcoholSharePercent(plant.charge, estimate.produced.alcoholL) ?? 0;
  if (guard.sharePercent !== undefined && sharePercent < guard.sharePercent) {
    return { code: 'guard.share', numbers: { sharePercent, notBeforePercent: guard.sharePercent } };
  }
  const inPhaseS = now - run.phaseSinceS;
  if (guard.timeS !== undefined && inPhaseS < guard.timeS) {
    return { code: 'guard.time', numbers: { inPhaseS, notBeforeS: guard.timeS } };
  }
  return null;
}

function suspension(run: Run, outcome: Outcome, now: number): Event {
  return outcome.lost === null
    ? {
        kind: 'cut-restored',
        atS: now,
        phase: run.phase,
        reason: { code: 'cut.restored', numbers: { phase: run.phase } },
      }
    : {
        kind: 'cut-suspended',
        atS: now,
        phase: run.phase,
        reason: { code: 'cut.suspended', numbers: { phase: run.phase }, because: [outcome.lost] },
      };
}
