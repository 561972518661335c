import { testsOf } from '../engine/condition';
import { azeotrope, dewPoint, moleFractionFromAbv, waterBoilingPointC } from '../physics';
import { type Checked, type Problem, parseDocument, problem, warning } from '../problems';
import { migrateRecipe } from './migrate';
import { type Condition, fractions, type Recipe, recipePhases, recipeSchema, type Step } from './schema';
import { asVariant } from './variant';

/** Reads a recipe document: migration, schema, then what only makes sense together. All problems at once. */
export function checkRecipe(document: unknown): Checked<Recipe> {
  const migrated = migrateRecipe(document);
  if (migrated.kind === 'bad') return migrated;
  const parsed = parseDocument(recipeSchema, migrated.value);
  if (parsed.kind === 'bad') return parsed;
  const recipe = parsed.value;
  const found = [...order(recipe), ...variants(recipe), ...cuts(recipe, recipe, 'phases')];
  for (const name of Object.keys(recipe.variants)) {
    const variant = asVariant(recipe, name);
    if (variant !== null) found.push(...cuts(variant, recipe, `variants.${name}`));
  }
  const errors = found.filter((one) => one.severity === 'error');
  return errors.length > 0 ? { kind: 'bad', problems: found } : { kind: 'ok', value: recipe, warnings: found };
}

function order(recipe: Recipe): Problem[] {
  const found: Problem[] = [];
  let last = -1;
  for (const [index, step] of recipe.phases.entries()) {
    const place = recipePhases.indexOf(step.phase);
    if (place <= last) {
      const remedy = `Order the phases ${recipePhases.join(', ')}, each at most once`;
      found.push(problem(`phases.${index}.phase`, step.phase, 'stands after a later phase or twice', remedy));
    }
    last = Math.max(last, place);
  }
  if (recipe.phases[0]?.phase !== 'heat-up') {
    found.push(
      problem('phases.0.phase', recipe.phases[0]?.phase, 'is not heat-up', 'Begin with the heat-up: a run starts cold'),
    );
  }
  if (!recipe.phases.some((step) => (fractions as readonly string[]).includes(step.phase))) {
    found.push(
      problem('phases', recipe.phases.length, 'collect nothing', 'Add at least one of foreshots, heads, hearts, tails'),
    );
  }
  if (recipe.surgeGuard !== undefined && !recipe.phases.some((step) => step.phase === 'hearts')) {
    found.push(problem('surgeGuard', undefined, 'is for hearts, but the recipe has none', 'Remove it'));
  }
  if (recipe.kind === 'spirit' && recipe.phases.every((step) => step.phase !== 'foreshots' && step.phase !== 'heads')) {
    found.push(
      warning(
        'phases',
        undefined,
        'a spirit run without foreshots or heads keeps everything',
        'Add a foreshots or heads phase',
      ),
    );
  }
  return found;
}

function variants(recipe: Recipe): Problem[] {
  return Object.entries(recipe.variants).flatMap(([name, variant]) =>
    Object.keys(variant.cuts)
      .filter((phase) => !recipe.phases.some((step) => step.phase === phase))
      .map((phase) =>
        problem(`variants.${name}.cuts.${phase}`, phase, 'is no phase of this recipe', 'Remove it or add the phase'),
      ),
  );
}

interface Threshold {
  readonly path: string;
  readonly phase: string;
  readonly tempC: number;
  readonly shown: number;
  readonly what: 'atLeastC' | 'atMostVolPercent';
}

/** Cuts go forward only: every threshold above those of the phases before. In a variant only what it changes is told. */
function cuts(recipe: Recipe, written: Recipe, base: string): Problem[] {
  const found: Problem[] = [];
  const passed: (Threshold & { readonly changed: boolean })[] = [];
  for (const [index, step] of recipe.phases.entries()) {
    const changed = base === 'phases' || written.phases[index]?.endsWhen !== step.endsWhen;
    const own = base !== 'phases' && changed;
    const path = own ? `${base}.cuts.${step.phase}.endsWhen` : `phases.${index}.endsWhen`;
    if (changed) found.push(...reach(recipe, step, path), ...rise(recipe, step, path));
    for (const threshold of thresholds(recipe, step, path)) {
      const before = passed.find((earlier) => earlier.tempC >= threshold.tempC && earlier.phase !== threshold.phase);
      if (before !== undefined && (changed || before.changed)) {
        const message = `ends ${step.phase} no later than ${before.phase} (${before.shown} at ${before.path})`;
        const remedy = 'Cuts go forward only: raise it or lower the earlier one';
        found.push(problem(`${threshold.path}.${threshold.what}`, threshold.shown, message, remedy));
      }
      passed.push({ ...threshold, changed });
    }
  }
  return found;
}

function thresholds(recipe: Recipe, step: Step, base: string): Threshold[] {
  if (step.phase === 'heat-up' || step.phase === 'equalise') return [];
  return [...testsOf(step.endsWhen)].flatMap(({ path, test }): Threshold[] => {
    const at = testPath(step.endsWhen, base, path);
    if (test.test === 'vapour-temp')
      return [{ path: at, phase: step.phase, tempC: test.atLeastC, shown: test.atLeastC, what: 'atLeastC' }];
    if (test.test !== 'strength' || test.atMostVolPercent >= 96) return [];
    const tempC = dewPoint(moleFractionFromAbv(test.atMostVolPercent / 100), recipe.referencePressureHPa).tempC;
    return [{ path: at, phase: step.phase, tempC, shown: test.atMostVolPercent, what: 'atMostVolPercent' }];
  });
}

/** The path of a test as it is written: `endsWhen.anyOf.1`. */
export function testPath(condition: Condition, base: string, path: string): string {
  let here: Condition = condition;
  let written = base;
  for (const index of path === '' ? [] : path.split('.')) {
    if ('test' in here) break;
    const word: 'anyOf' | 'allOf' = 'anyOf' in here ? 'anyOf' : 'allOf';
    written += `.${word}.${index}`;
    here = ('anyOf' in here ? here.anyOf : here.allOf)[Number(index)]!;
  }
  return written;
}

/** Vapour of ethanol and water cannot be colder than the azeotrope (heads a little) nor hotter than water boils. */
function reach(recipe: Recipe, step: Step, base: string): Problem[] {
  const { referencePressureHPa } = recipe;
  const lowestC = azeotrope(referencePressureHPa).tempC - 6;
  const highestC = waterBoilingPointC(referencePressureHPa);
  return [...testsOf(step.endsWhen)].flatMap(({ path, test }) => {
    const at = `${testPath(step.endsWhen, base, path)}.atLeastC`;
    const remedy = `Use ${lowestC.toFixed(1)} to ${highestC.toFixed(1)} °C, what the liquid can do at ${referencePressureHPa} hPa`;
    if (test.test === 'vapour-temp') {
      const tooLow = step.phase !== 'heat-up' && test.atLeastC < lowestC;
      if (test.atLeastC >= highestC || tooLow)
        return [problem(at, test.atLeastC, 'cannot be a vapour temperature of this phase', remedy)];
    }
    if (test.test === 'boiler-temp' && test.atLeastC >= highestC + 4) {
      return [problem(at, test.atLeastC, 'is hotter than the boiler can become', remedy)];
    }
    return [];
  });
}

function rise(recipe: Recipe, step: Step, base: string): Problem[] {
  if (recipe.stillKind === 'column') return [];
  return [...testsOf(step.endsWhen)].flatMap(({ path, test }) =>
    test.test === 'vapour-rise'
      ? [
          problem(
            testPath(step.endsWhen, base, path),
            test.test,
            'needs a plateau, and a pot has none',
            'Use vapour-temp or strength',
          ),
        ]
      : [],
  );
}
