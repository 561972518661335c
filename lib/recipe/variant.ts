import type { Recipe } from './schema';

/** The recipe as one of its variants: single cuts overridden, all else as it stands. Null where there is no such variant. */
export function asVariant(recipe: Recipe, variant: string | null): Recipe | null {
  if (variant === null) return recipe;
  const chosen = recipe.variants[variant];
  if (chosen === undefined) return null;
  const phases = recipe.phases.map((step) => {
    const change = chosen.cuts[step.phase];
    if (change === undefined) return step;
    return {
      ...step,
      endsWhen: change.endsWhen ?? step.endsWhen,
      holdS: change.holdS ?? step.holdS,
      cut: change.cut ?? step.cut,
      ...(change.notBefore === undefined ? {} : { notBefore: change.notBefore }),
      ...(change.plausible === undefined ? {} : { plausible: change.plausible }),
    };
  });
  return { ...recipe, phases };
}
