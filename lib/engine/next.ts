import type { Phase } from '../recipe/schema';
import { judgeCondition } from './condition';
import { figuresAt } from './cut';
import type { CutFigures, Plant, Reason, Run } from './types';

/** What ends the present phase, and how things stand with it. */
export interface NextCut {
  readonly to: Phase;
  readonly reasons: readonly Reason[];
  readonly figures: CutFigures;
  /** Held so far and to be held [s]; 0 while the condition is not met. */
  readonly heldS: number;
  readonly holdS: number;
  readonly asked: boolean;
  readonly suspended: boolean;
}

/** A test that is not met yet is worded as what lies ahead. */
function ahead(reason: Reason): Reason {
  return { ...reason, code: reason.code.replace(/^test\./, 'ahead.') };
}

/** How far the next cut is, for people to see; null where no phase of the recipe runs. Changes nothing. */
export function nextCut(plant: Plant, run: Run): NextCut | null {
  const planned = plant.plan[run.step];
  if (planned === undefined) return null;
  const { frontPassed } = run.cut;
  const outcome = judgeCondition(
    planned.step.endsWhen,
    {
      plant,
      planned,
      estimate: run.estimate,
      image: run.image,
      now: run.now,
      phaseSinceS: run.phaseSinceS,
      phaseSinceL: run.phaseSinceL,
      frontPassed,
    },
    run.cut.tests,
  );
  return {
    to: plant.plan[run.step + 1]?.step.phase ?? 'finish',
    reasons: outcome.met ? outcome.reasons : outcome.reasons.map(ahead),
    figures: figuresAt(run.estimate, outcome.figures),
    heldS: run.cut.metSinceS === null ? 0 : run.now - run.cut.metSinceS,
    holdS: planned.step.holdS,
    asked: run.cut.asked,
    suspended: run.cut.suspended,
  };
}
