import { judgeTest, type TestContext, type Verdict } from '../cuts';
import type { Condition, CutTest } from '../recipe/schema';
import type { CutFigures, CutMemory, Reason, TestMemory } from './types';

/** What a condition comes to at one scan. */
export interface Outcome {
  readonly met: boolean;
  /** A test that makes the condition met was already met when it was first judged in this phase. */
  readonly metOnEntry: boolean;
  /** A test of the condition cannot be judged for want of a probe. */
  readonly lost: Reason | null;
  readonly reasons: readonly Reason[];
  readonly tests: CutMemory['tests'];
  /** The temperatures of the test that comes nearest to deciding. */
  readonly figures: Pick<CutFigures, 'thresholdHereC' | 'thresholdAtReferenceC'>;
}

export const noFigures: Outcome['figures'] = { thresholdHereC: null, thresholdAtReferenceC: null };

type Context = Omit<TestContext, 'curve' | 'deadbandK'>;

/** Walks the tests of a condition with the path of each: `''`, `0`, `0.1`, … */
export function* testsOf(condition: Condition, path = ''): Generator<{ path: string; test: CutTest }> {
  if ('test' in condition) {
    yield { path, test: condition };
    return;
  }
  const parts = 'anyOf' in condition ? condition.anyOf : condition.allOf;
  for (const [index, part] of parts.entries()) yield* testsOf(part, path === '' ? String(index) : `${path}.${index}`);
}

/** Judges a condition: hysteresis and memory test by test, then any-of and all-of over them. */
export function judgeCondition(condition: Condition, context: Context, memory: CutMemory['tests'], path = ''): Outcome {
  if ('test' in condition) return judgeOne(condition, context, memory[path], path);
  const anyOf = 'anyOf' in condition;
  const parts = (anyOf ? condition.anyOf : condition.allOf).map((part, index) =>
    judgeCondition(part, context, memory, path === '' ? String(index) : `${path}.${index}`),
  );
  const met = anyOf ? parts.some((part) => part.met) : parts.every((part) => part.met);
  const deciding = parts.filter((part) => part.met);
  return {
    met,
    metOnEntry: met && (anyOf ? deciding.every((part) => part.metOnEntry) : deciding.some((part) => part.metOnEntry)),
    lost: anyOf && met ? null : (parts.find((part) => part.lost !== null)?.lost ?? null),
    reasons: (met ? deciding : parts).flatMap((part) => part.reasons),
    tests: Object.assign({}, ...parts.map((part) => part.tests)),
    figures: figuresOf(met ? deciding : parts),
  };
}

function figuresOf(parts: readonly Outcome[]): Outcome['figures'] {
  return parts.find((part) => part.figures.thresholdAtReferenceC !== null)?.figures ?? noFigures;
}

function judgeOne(test: CutTest, context: Context, before: TestMemory | undefined, path: string): Outcome {
  const verdict = judgeTest(test, context, path);
  const remembered = before ?? { met: false, seenUnmet: false };
  if (verdict.kind !== 'known') {
    const lost = verdict.kind === 'lost' ? verdict.reason : null;
    return {
      met: false,
      metOnEntry: false,
      lost,
      reasons: [verdict.reason],
      tests: { [path]: remembered },
      figures: noFigures,
    };
  }
  const met = verdict.excess >= 0 || (remembered.met && verdict.excess > -verdict.deadband);
  const countsAsUnmet = !met && (context.frontPassed || verdict.thresholdAtReferenceC === undefined);
  const seenUnmet = remembered.seenUnmet || countsAsUnmet;
  return {
    met,
    metOnEntry: met && !seenUnmet,
    lost: null,
    reasons: [verdict.reason],
    tests: { [path]: { met, seenUnmet } },
    figures: figuresOfVerdict(verdict),
  };
}

function figuresOfVerdict(verdict: Extract<Verdict, { kind: 'known' }>): Outcome['figures'] {
  return {
    thresholdHereC: verdict.thresholdHereC ?? null,
    thresholdAtReferenceC: verdict.thresholdAtReferenceC ?? null,
  };
}
