import { testsOf } from '../../lib/engine/condition';
import type { Recipe } from '../../lib/recipe/schema';
import type { Still } from '../../lib/still/schema';
import { isPotable } from './still-view';
import type { RecipeView } from './views';

/** Whether any cut of the recipe, in any variant, needs to know the charge. */
function needsCharge(recipe: Recipe): boolean {
  const ends = [...recipe.phases, ...Object.values(recipe.variants).flatMap((variant) => Object.values(variant.cuts))];
  return ends.some((end) => {
    if (end === undefined) return false;
    if (end.notBefore?.sharePercent !== undefined) return true;
    return end.endsWhen !== undefined && [...testsOf(end.endsWhen)].some(({ test }) => test.test === 'alcohol-share');
  });
}

/** The recipes a still can be started with, as a form offers them. */
export function recipeViews(still: Still, recipes: readonly Recipe[]): readonly RecipeView[] {
  return recipes
    .filter((recipe) => recipe.stillKind === still.kind)
    .map((recipe) => ({
      name: recipe.name,
      about: recipe.about ?? null,
      kind: recipe.kind,
      potable: isPotable(recipe.kind),
      variants: Object.entries(recipe.variants).map(([name, { about }]) => ({ name, about: about ?? null })),
      needsCharge: needsCharge(recipe),
      usualChargeL: recipe.developedFrom?.chargeL ?? null,
      usualChargeVolPercent: recipe.developedFrom?.chargeVolPercent ?? null,
    }));
}
