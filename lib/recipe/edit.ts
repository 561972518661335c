import { type Checked, type Problem, problem } from '../problems';
import { contentHash } from '../record/canonical';
import { checkRecipe } from './check';
import type { Condition, NotBefore, Recipe, Step } from './schema';

/** Who changed a recipe, when and why. */
export interface Signature {
  /** As the host writes it, ISO 8601. */
  readonly at: string;
  readonly by: string;
  readonly why: string;
}

/** A recipe as it stood at one revision. Plain JSON. */
export interface RecipeRevision extends Signature {
  readonly revision: number;
  readonly recipe: Recipe;
  /** Content hash of the recipe, its revision number included: what a run keeps. */
  readonly hash: string;
}

/** A recipe with everything it ever was: revisions are only added. */
export interface RecipeHistory {
  readonly revisions: readonly [RecipeRevision, ...RecipeRevision[]];
}

export function latestOf(history: RecipeHistory): RecipeRevision {
  return history.revisions[history.revisions.length - 1]!;
}

/** Fingerprint of what a recipe does and says, whatever its revision. */
function sense(recipe: Recipe): string {
  const { revision: _, ...rest } = recipe;
  return contentHash(rest);
}

function bad(
  path: string,
  value: unknown,
  message: string,
  remedy: string,
): { kind: 'bad'; problems: readonly Problem[] } {
  return { kind: 'bad', problems: [problem(path, value, message, remedy)] };
}

function signed(recipe: Recipe, revision: number, { at, by, why }: Signature): RecipeRevision {
  const numbered = { ...recipe, revision };
  return { revision, at, by, why, recipe: numbered, hash: contentHash(numbered) };
}

/**
 * Adds a revision to a recipe's history, or begins one.
 *
 * @param history the history so far; null for a new recipe
 * @param document the recipe as edited; its revision number is set, whatever it says
 * @param signature who, when, why
 * @returns the history with one revision more; or the problems of the recipe, or that nothing has changed
 */
export function reviseRecipe(
  history: RecipeHistory | null,
  document: unknown,
  signature: Signature,
): Checked<RecipeHistory> {
  const checked = checkRecipe(document);
  if (checked.kind === 'bad') return checked;
  if (history === null) {
    return { kind: 'ok', value: { revisions: [signed(checked.value, 1, signature)] }, warnings: checked.warnings };
  }
  const latest = latestOf(history);
  if (sense(latest.recipe) === sense(checked.value)) {
    return bad(
      '',
      undefined,
      `nothing differs from revision ${latest.revision}`,
      'Change something, or leave it as it is',
    );
  }
  const next = signed(checked.value, latest.revision + 1, signature);
  return { kind: 'ok', value: { revisions: [...history.revisions, next] }, warnings: checked.warnings };
}

/** Brings an earlier revision back as a new one; what lies between stays in the history. */
export function restoreRevision(
  history: RecipeHistory,
  revision: number,
  signature: Signature,
): Checked<RecipeHistory> {
  const found = history.revisions.find((one) => one.revision === revision);
  if (found === undefined) {
    return bad('revision', revision, 'is no revision of this recipe', `Use 1 to ${latestOf(history).revision}`);
  }
  return reviseRecipe(history, found.recipe, signature);
}

/**
 * Reads a history as a store keeps it: numbers in a row, every recipe valid, every hash that of its recipe.
 *
 * @param revisions revisions in order
 * @returns the history, or every revision that does not hold, under `revisions.<n>`
 */
export function checkHistory(revisions: readonly RecipeRevision[]): Checked<RecipeHistory> {
  const [first, ...rest] = revisions;
  if (first === undefined) return bad('revisions', 0, 'there are none', 'Begin with the first revision');
  const problems = revisions.flatMap((one, index): Problem[] => {
    const path = `revisions.${index}`;
    const found: Problem[] = [];
    if (one.revision !== index + 1 || one.recipe.revision !== one.revision) {
      found.push(
        problem(
          `${path}.revision`,
          one.revision,
          `stands where revision ${index + 1} belongs`,
          'Restore the missing one',
        ),
      );
    }
    if (contentHash(one.recipe) !== one.hash) {
      found.push(
        problem(`${path}.hash`, one.hash, 'is not the hash of this recipe: it was changed', 'Restore it from a backup'),
      );
    }
    const checked = checkRecipe(one.recipe);
    if (checked.kind === 'bad')
      found.push(...checked.problems.map((each) => ({ ...each, path: `${path}.recipe.${each.path}` })));
    return found;
  });
  if (problems.length > 0) return { kind: 'bad', problems };
  return { kind: 'ok', value: { revisions: [first, ...rest] }, warnings: [] };
}

/** What to change in one cut; what is not named stays. */
export interface CutChange {
  readonly endsWhen?: Condition;
  /** null takes the guard away (of the recipe itself; a variant cannot). */
  readonly notBefore?: NotBefore | null;
  readonly holdS?: number;
  readonly cut?: 'automatic' | 'ask';
}

/**
 * Changes the end of one phase by hand, in the recipe itself or in one of its variants.
 *
 * @param recipe the recipe
 * @param variant name of the variant; null for the recipe itself
 * @param phase whose end is changed
 * @param change what is otherwise
 * @returns the recipe checked again: cuts must still go forward; or the problems
 */
export function changeCut(
  recipe: Recipe,
  variant: string | null,
  phase: Step['phase'],
  change: CutChange,
): Checked<Recipe> {
  const { notBefore, ...named } = change;
  if (!recipe.phases.some((step) => step.phase === phase)) {
    const names = recipe.phases.map((step) => step.phase).join(', ');
    return bad('phase', phase, 'is no phase of this recipe', `Use one of ${names}`);
  }
  if (variant === null) {
    const phases = recipe.phases.map((step) => {
      if (step.phase !== phase) return step;
      const { notBefore: guard, ...kept } = { ...step, ...named };
      const next = notBefore === undefined ? guard : (notBefore ?? undefined);
      return next === undefined ? kept : { ...kept, notBefore: next };
    });
    return checkRecipe({ ...recipe, phases });
  }
  const chosen = recipe.variants[variant];
  if (chosen === undefined) {
    const names = Object.keys(recipe.variants).join(', ') || '(this recipe has none)';
    return bad('variant', variant, 'is no variant of this recipe', `Use one of ${names}`);
  }
  const guard = notBefore === undefined ? {} : { notBefore: notBefore ?? {} };
  const cuts = { ...chosen.cuts, [phase]: { ...chosen.cuts[phase], ...named, ...guard } };
  return checkRecipe({ ...recipe, variants: { ...recipe.variants, [variant]: { ...chosen, cuts } } });
}
