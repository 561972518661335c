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
  readonly time: NextTime;
}

/** When the cut comes if all goes on as it does [s from now]: nulls where that cannot be told, and the reason says why. */
export interface NextTime {
  readonly inS: number | null;
  /** One standard uncertainty. */
  readonly sigmaS: number | null;
  /** The range of one standard uncertainty either way: two cuts of three fall into it. */
  readonly fromS: number | null;
  readonly toS: number | null;
  readonly reason: Reason;
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
    time: timeOfNext(run),
  };
}

/** Shown to the nearest five seconds: nothing finer is known. */
const shownToS = 5;

function timeOfNext(run: Run): NextTime {
  const { forecast } = run.estimate;
  if (run.cut.asked) return untold('forecast.asked');
  if (run.cut.suspended) return untold('forecast.probe');
  if (forecast?.atS == null || forecast.step !== run.step) return untold('forecast.front');
  const { next, atS } = forecast;
  if (next.kind === 'unknown') return untold(next.why);
  const inS = Math.max(0, next.inS - (run.now - atS));
  // The range is one of ratios: what is foretold never lies in the past.
  const ratio = Math.exp(Math.min(1, next.sigmaS / Math.max(inS, 1)));
  const shown = (seconds: number) => shownToS * Math.round(seconds / shownToS);
  const times = { inS: shown(inS), fromS: shown(inS / ratio), toS: shown(inS * ratio), sigmaS: shown(next.sigmaS) };
  return { ...times, reason: reasonOf(times) };
}

function untold(code: string): NextTime {
  return { inS: null, sigmaS: null, fromS: null, toS: null, reason: { code, numbers: {} } };
}

function reasonOf({ inS, fromS, toS }: { inS: number; fromS: number; toS: number }): Reason {
  if (inS < 120) return { code: 'forecast.in-seconds', numbers: { inS } };
  if (inS >= 7200) return { code: 'forecast.in-hours', numbers: { inS, fromS, toS } };
  const minutes = (seconds: number) => Math.round(seconds / 60);
  return { code: 'forecast.in-minutes', numbers: { about: minutes(inS), from: minutes(fromS), to: minutes(toS) } };
}
