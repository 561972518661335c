import { alcoholSharePercent } from '../../lib/cuts/alcohol-share';
import { type NextCut, nextCut } from '../../lib/engine/next';
import type { Plant, Reason, Run } from '../../lib/engine/types';
import { type Saying, sayName, sayReason } from '../../lib/words';
import type { FarView, NextView } from './views';

interface Measure {
  readonly unit: FarView['unit'];
  readonly have: string;
  readonly want: string;
  /** The value comes down to its limit. */
  readonly falls?: boolean;
  /** How fast the value moves towards its limit, in its unit [1/s]. */
  readonly pacePerS?: (plant: Plant, run: Run) => number | null;
}

const sharePacePerS = (plant: Plant, run: Run): number | null => {
  const { produced, strengthAbv } = run.estimate;
  return strengthAbv === null ? null : alcoholSharePercent(plant.charge, (produced.rateLPerH * strengthAbv) / 3600);
};

/** By the code of a test's reason: where it says how things stand and what it waits for. */
const measures: Readonly<Record<string, Measure>> = {
  'test.vapour-temp': {
    unit: 'C',
    have: 'tempC',
    want: 'thresholdHereC',
    pacePerS: (_plant, run) => run.estimate.vapourSlopeKPerS,
  },
  'test.boiler-temp': {
    unit: 'C',
    have: 'tempC',
    want: 'thresholdHereC',
    pacePerS: (_plant, run) => run.estimate.boilerSlopeKPerS,
  },
  'test.vapour-rise': {
    unit: 'K',
    have: 'riseK',
    want: 'byK',
    pacePerS: (_plant, run) => run.estimate.vapourSlopeKPerS,
  },
  'test.strength-parrot': { unit: '% vol', have: 'strengthVolPercent', want: 'atMostVolPercent', falls: true },
  'test.strength-vapour': { unit: '% vol', have: 'strengthVolPercent', want: 'atMostVolPercent', falls: true },
  'test.volume': {
    unit: 'L',
    have: 'volumeL',
    want: 'atLeastL',
    pacePerS: (_plant, run) => run.estimate.produced.rateLPerH / 3600,
  },
  'test.alcohol-share': { unit: '%', have: 'sharePercent', want: 'atLeastPercent', pacePerS: sharePacePerS },
  'test.settled': { unit: 'K', have: 'changeK', want: 'withinK', falls: true },
  'test.settling': { unit: 's', have: 'inPhaseS', want: 'atLeastS', pacePerS: () => 1 },
  'test.time': { unit: 's', have: 'inPhaseS', want: 'atLeastS', pacePerS: () => 1 },
  'guard.volume': {
    unit: 'L',
    have: 'volumeL',
    want: 'notBeforeL',
    pacePerS: (_plant, run) => run.estimate.produced.rateLPerH / 3600,
  },
  'guard.share': { unit: '%', have: 'sharePercent', want: 'notBeforePercent', pacePerS: sharePacePerS },
  'guard.time': { unit: 's', have: 'inPhaseS', want: 'notBeforeS', pacePerS: () => 1 },
};

/** A guess further ahead than this is none [s]. */
const furthestEtaS = 12 * 3600;

function farOf(plant: Plant, run: Run, reason: Reason, saying: Saying): FarView | null {
  // What lies ahead and what is met are worded apart, and measured alike.
  const measure = measures[reason.code.replace(/^ahead\./, 'test.')];
  const have = measure === undefined ? undefined : reason.numbers[measure.have];
  const want = measure === undefined ? undefined : reason.numbers[measure.want];
  if (measure === undefined || typeof have !== 'number' || typeof want !== 'number') return null;
  const toGo = Math.max(0, measure.falls === true ? Math.abs(have) - want : want - have);
  const pace = measure.pacePerS?.(plant, run) ?? null;
  const etaS = pace === null || pace <= 0 ? null : toGo / pace;
  return {
    text: sayReason(reason, saying),
    unit: measure.unit,
    have,
    want,
    toGo,
    etaS: etaS === null || etaS > furthestEtaS ? null : etaS,
  };
}

/** What keeps the cut back whatever its tests say, for people; the engine judges it for itself. */
function guardOf(plant: Plant, run: Run): Reason | null {
  const guard = plant.plan[run.step]?.step.notBefore;
  if (guard === undefined) return null;
  const { volumeL, alcoholL } = run.estimate.produced;
  if (guard.volumeL !== undefined && volumeL < guard.volumeL) {
    return { code: 'guard.volume', numbers: { volumeL, notBeforeL: guard.volumeL } };
  }
  const sharePercent = alcoholSharePercent(plant.charge, alcoholL) ?? 0;
  if (guard.sharePercent !== undefined && sharePercent < guard.sharePercent) {
    return { code: 'guard.share', numbers: { sharePercent, notBeforePercent: guard.sharePercent } };
  }
  const inPhaseS = run.now - run.phaseSinceS;
  return guard.timeS !== undefined && inPhaseS < guard.timeS
    ? { code: 'guard.time', numbers: { inPhaseS, notBeforeS: guard.timeS } }
    : null;
}

function viewOf(plant: Plant, run: Run, next: NextCut, saying: Saying): NextView {
  const guard = guardOf(plant, run);
  return {
    to: next.to,
    toSaid: sayName(next.to, saying),
    when: next.reasons.map((reason) => sayReason(reason, saying)).join('; '),
    tests: next.reasons.flatMap((reason) => farOf(plant, run, reason, saying) ?? []),
    guard: guard === null ? null : farOf(plant, run, guard, saying),
    expected: sayReason(next.time.reason, saying),
    suspended: next.suspended,
    heldS: next.heldS,
    holdS: next.holdS,
    thresholdHereC: next.figures.thresholdHereC,
    thresholdAtReferenceC: next.figures.thresholdAtReferenceC,
  };
}

/** The next cut and how far it is; null where no phase of a recipe runs. */
export function nextView(plant: Plant, run: Run, saying: Saying): NextView | null {
  const next = nextCut(plant, run);
  return next === null ? null : viewOf(plant, run, next, saying);
}
