import type { Reason } from '../engine/types';
import { english, type Saying, sayReason } from '../words';
import { conditionReason, type Difference, diffCondition, differ, type Place, same } from './diff-condition';
import { diffNames, diffSentences } from './diff-words-en';
import type { Condition, NotBefore, Recipe, Step } from './schema';

export { conditionReason, type Difference } from './diff-condition';

const guardFields = [
  ['sharePercent', 'diff.guard-share', 'Percent'],
  ['volumeL', 'diff.guard-volume', 'L'],
  ['timeS', 'diff.guard-time', 'S'],
] as const;

function diffGuard(place: Place, before: NotBefore | undefined, after: NotBefore | undefined): Difference[] {
  const { where, phase } = place;
  return guardFields.flatMap(([field, code, unit]) => {
    const was = before?.[field];
    const is = after?.[field];
    if (was === is) return [];
    const path = `${place.path}.notBefore.${field}`;
    if (was === undefined || is === undefined) {
      return [
        differ(path, was === undefined ? 'diff.guard-added' : 'diff.guard-removed', {
          where,
          phase,
          guard: `${field} ${is ?? was}`,
        }),
      ];
    }
    return [differ(path, code, { where, phase, [`from${unit}`]: was, [`to${unit}`]: is })];
  });
}

interface Ending {
  readonly endsWhen?: Condition | undefined;
  readonly notBefore?: NotBefore | undefined;
  readonly holdS?: number | undefined;
  readonly cut?: 'automatic' | 'ask' | undefined;
}

function diffEnding(place: Place, before: Ending, after: Ending): Difference[] {
  const { where, phase, path } = place;
  const found: Difference[] = [];
  if (before.endsWhen !== undefined && after.endsWhen !== undefined)
    found.push(...diffCondition(place, before.endsWhen, after.endsWhen));
  found.push(...diffGuard(place, before.notBefore, after.notBefore));
  if (before.holdS !== after.holdS && before.holdS !== undefined && after.holdS !== undefined) {
    found.push(differ(`${path}.holdS`, 'diff.hold', { where, phase, fromS: before.holdS, toS: after.holdS }));
  }
  if (before.cut !== after.cut && after.cut !== undefined) {
    found.push(differ(`${path}.cut`, after.cut === 'ask' ? 'diff.asked' : 'diff.automatic', { where, phase }));
  }
  return found;
}

const shares = [
  ['heatShare', 'diff.heat'],
  ['takeOffShare', 'diff.take-off'],
  ['coolantShare', 'diff.coolant'],
] as const;

function diffStep(index: number, before: Step, after: Step): Difference[] {
  const path = `phases.${index}`;
  const { phase } = after;
  const found = diffEnding({ path, where: 'recipe', phase }, before, after);
  for (const [field, code] of shares) {
    if (before[field] === after[field]) continue;
    found.push(
      differ(`${path}.${field}`, code, { phase, fromPercent: 100 * before[field], toPercent: 100 * after[field] }),
    );
  }
  if (before.receiver !== after.receiver) {
    found.push(
      differ(`${path}.receiver`, 'diff.receiver', {
        phase,
        from: before.receiver ?? 'nothing',
        to: after.receiver ?? 'nothing',
      }),
    );
  }
  if (before.maxS !== after.maxS) {
    const text = (maxS: number | undefined) => maxS ?? 'nothing';
    found.push(differ(`${path}.maxS`, 'diff.longest', { phase, fromS: text(before.maxS), toS: text(after.maxS) }));
  }
  return found;
}

function diffPhases(before: Recipe, after: Recipe): Difference[] {
  const gone = before.phases.filter((step) => !after.phases.some((other) => other.phase === step.phase));
  const found = gone.map(({ phase }) => differ('phases', 'diff.phase-removed', { phase }));
  for (const [index, step] of after.phases.entries()) {
    const was = before.phases.find((other) => other.phase === step.phase);
    if (was === undefined) found.push(differ(`phases.${index}`, 'diff.phase-added', { phase: step.phase }));
    else found.push(...diffStep(index, was, step));
  }
  return found;
}

function diffVariants(before: Recipe, after: Recipe): Difference[] {
  const found: Difference[] = [];
  for (const where of Object.keys(before.variants)) {
    if (after.variants[where] === undefined) found.push(differ(`variants.${where}`, 'diff.variant-removed', { where }));
  }
  for (const [where, variant] of Object.entries(after.variants)) {
    const was = before.variants[where];
    if (was === undefined) {
      found.push(differ(`variants.${where}`, 'diff.variant-added', { where }));
      continue;
    }
    const phases = new Set([...Object.keys(was.cuts), ...Object.keys(variant.cuts)]) as Set<Step['phase']>;
    for (const phase of phases) {
      const path = `variants.${where}.cuts.${phase}`;
      const earlier = was.cuts[phase];
      const later = variant.cuts[phase];
      if (later === undefined) found.push(differ(path, 'diff.cut-removed', { where, phase }));
      else if (earlier === undefined)
        found.push(
          differ(path, 'diff.cut-added', { where, phase }, later.endsWhen && [conditionReason(later.endsWhen)]),
        );
      else found.push(...diffEnding({ path, where, phase }, earlier, later));
    }
  }
  return found;
}

const texts = ['name', 'about', 'kind', 'stillKind'] as const;

/**
 * Compares two recipes: every difference with its path, as data.
 *
 * @param before the older recipe
 * @param after the newer recipe
 * @returns differences, the cuts first; empty where both would run alike and read alike. Revision numbers are not compared
 */
export function diffRecipes(before: Recipe, after: Recipe): readonly Difference[] {
  const found = [...diffPhases(before, after), ...diffVariants(before, after)];
  if (before.referencePressureHPa !== after.referencePressureHPa) {
    const numbers = { fromHPa: before.referencePressureHPa, toHPa: after.referencePressureHPa };
    found.unshift(differ('referencePressureHPa', 'diff.reference-pressure', numbers));
  }
  if (!same(before.surgeGuard, after.surgeGuard)) {
    const text = (guard: Recipe['surgeGuard']) => (guard === undefined ? 'nothing' : `${guard.purgeL} L`);
    found.push(differ('surgeGuard', 'diff.surge-guard', { from: text(before.surgeGuard), to: text(after.surgeGuard) }));
  }
  for (const what of texts) {
    if (before[what] === after[what]) continue;
    found.push(differ(what, 'diff.text', { what, from: before[what] ?? '', to: after[what] ?? '' }));
  }
  if (!same(before.developedFrom, after.developedFrom)) {
    const text = (origin: Recipe['developedFrom']) => origin?.run ?? origin?.still ?? 'nothing';
    const numbers = { what: 'developedFrom', from: text(before.developedFrom), to: text(after.developedFrom) };
    found.push(differ('developedFrom', 'diff.text', numbers));
  }
  return found;
}

/** A difference, or a condition as data, in words. */
export function sayDifference(difference: Difference | Reason, saying: Saying = english): string {
  const reason = 'reason' in difference ? difference.reason : difference;
  const language = {
    ...saying.language,
    sentences: { ...diffSentences, ...saying.language.sentences },
    names: { ...diffNames, ...saying.language.names },
  };
  return sayReason(reason, { ...saying, language });
}
