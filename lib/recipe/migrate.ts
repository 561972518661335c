import { type Checked, problem } from '../problems';

/** Brings a document of one older version to the next. Keyed by the version it reads. */
type Migration = (document: Record<string, unknown>) => Record<string, unknown>;

export const recipeVersion = 1;
const migrations: Readonly<Record<number, Migration>> = {};

/**
 * Brings an older recipe document to the present version, step by step. A newer one than we know is refused: guessing
 * at a recipe is worse than stopping.
 */
export function migrateRecipe(
  document: unknown,
  known: Readonly<Record<number, Migration>> = migrations,
  present: number = recipeVersion,
): Checked<unknown> {
  if (typeof document !== 'object' || document === null || Array.isArray(document)) {
    return {
      kind: 'bad',
      problems: [problem('', document, 'is no recipe document', 'Write a JSON object with "recipe": 1')],
    };
  }
  let current = document as Record<string, unknown>;
  const version = current.recipe;
  if (typeof version !== 'number') return { kind: 'ok', value: current, warnings: [] };
  if (version > present) {
    const remedy = `Update Middlecut, or save the recipe in version ${present}`;
    return {
      kind: 'bad',
      problems: [problem('recipe', version, `is newer than version ${present} known here`, remedy)],
    };
  }
  for (let at = version; at < present; at += 1) {
    const migration = known[at];
    if (migration === undefined) {
      return {
        kind: 'bad',
        problems: [
          problem('recipe', version, 'is a version that cannot be read any more', `Rewrite it in version ${present}`),
        ],
      };
    }
    current = { ...migration(current), recipe: at + 1 };
  }
  return { kind: 'ok', value: current, warnings: [] };
}
