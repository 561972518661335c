import type { Reason } from '../engine/types';
import type { Condition, CutTest } from './schema';

/** One difference between two recipes: where, and as data what; worded by sayDifference. */
export interface Difference {
  /** Dotted path in the newer recipe, e.g. `variants.for-oak.cuts.hearts.endsWhen`. */
  readonly path: string;
  readonly reason: Reason;
}

type Numbers = Reason['numbers'];

export function differ(path: string, code: string, numbers: Numbers, because?: readonly Reason[]): Difference {
  return { path, reason: { code, numbers, ...(because === undefined ? {} : { because }) } };
}

/** A condition as data, for people to read. */
export function conditionReason(condition: Condition): Reason {
  if ('anyOf' in condition)
    return { code: 'condition.any-of', numbers: {}, because: condition.anyOf.map(conditionReason) };
  if ('allOf' in condition)
    return { code: 'condition.all-of', numbers: {}, because: condition.allOf.map(conditionReason) };
  const { test, ...numbers } = condition;
  return { code: `condition.${test}`, numbers };
}

/** The end of a phase, in the recipe itself or in a variant. */
export interface Place {
  readonly path: string;
  /** `recipe`, or the variant's name. */
  readonly where: string;
  readonly phase: string;
}

/** The threshold of a test with the words and the ending of field names that fit its unit. */
function thresholdOf(test: CutTest): { value: number; kind: string; unit: string; unitOfChange: string } | null {
  switch (test.test) {
    case 'vapour-temp':
    case 'boiler-temp':
      return { value: test.atLeastC, kind: 'temperature', unit: 'C', unitOfChange: 'K' };
    case 'alcohol-share':
      return { value: test.atLeastPercent, kind: 'share', unit: 'Percent', unitOfChange: 'Percent' };
    case 'strength':
      return { value: test.atMostVolPercent, kind: 'strength', unit: 'VolPercent', unitOfChange: 'VolPercent' };
    case 'volume':
      return { value: test.atLeastL, kind: 'volume', unit: 'L', unitOfChange: 'L' };
    case 'time':
      return { value: test.atLeastS, kind: 'duration', unit: 'S', unitOfChange: 'S' };
    case 'vapour-rise':
      return { value: test.byK, kind: 'rise', unit: 'K', unitOfChange: 'K' };
    default:
      return null;
  }
}

/** Two tests that differ in their threshold alone. */
function movedThreshold(place: Place, before: Condition, after: Condition): Difference[] | null {
  if (!('test' in before) || !('test' in after) || before.test !== after.test) return null;
  const was = thresholdOf(before);
  const is = thresholdOf(after);
  if (was === null || is === null || was.value === is.value) return null;
  const others = (test: CutTest) =>
    JSON.stringify(Object.entries(test).filter(([, value]) => value !== thresholdOf(test)?.value));
  if (others(before) !== others(after)) return null;
  const code = `diff.${is.kind}-${is.value > was.value ? 'raised' : 'lowered'}`;
  const by = Number(Math.abs(is.value - was.value).toPrecision(9));
  const numbers = {
    where: place.where,
    phase: place.phase,
    what: after.test,
    [`from${was.unit}`]: was.value,
    [`to${is.unit}`]: is.value,
    [`by${is.unitOfChange}`]: by,
  };
  return [differ(`${place.path}.endsWhen`, code, numbers)];
}

export function diffCondition(place: Place, before: Condition, after: Condition): Difference[] {
  if (same(before, after)) return [];
  const moved = movedThreshold(place, before, after) ?? movedInside(place, before, after);
  if (moved !== null) return moved;
  const numbers = { where: place.where, phase: place.phase };
  return [
    differ(`${place.path}.endsWhen`, 'diff.condition-was', numbers, [conditionReason(before)]),
    differ(`${place.path}.endsWhen`, 'diff.condition', numbers, [conditionReason(after)]),
  ];
}

/** Thresholds moved inside any-of or all-of of the same build. */
function movedInside(place: Place, before: Condition, after: Condition): Difference[] | null {
  const partsOf = (condition: Condition) =>
    'anyOf' in condition ? condition.anyOf : 'allOf' in condition ? condition.allOf : [];
  const sameBuild = ('anyOf' in before && 'anyOf' in after) || ('allOf' in before && 'allOf' in after);
  const was = partsOf(before);
  const is = partsOf(after);
  if (!sameBuild || was.length !== is.length) return null;
  const word = 'anyOf' in after ? 'anyOf' : 'allOf';
  const found: Difference[] = [];
  for (const [index, part] of is.entries()) {
    const earlier = was[index]!;
    if (same(earlier, part)) continue;
    const inner = movedThreshold(place, earlier, part) ?? movedInside(place, earlier, part);
    if (inner === null) return null;
    found.push(...inner.map((one) => ({ ...one, path: one.path.replace('.endsWhen', `.endsWhen.${word}.${index}`) })));
  }
  return found;
}

export function same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}
