import { testsOf } from '../engine/condition';
import { conditionSchema, type RecipeDocument } from '../recipe/schema';
import type { JudgedCuts } from './compose';
import type { CutPlace } from './cut-places';
import type { Sharpness } from './sharpness';

/** Where the other axis should stand when a cut is made: beyond it, the operator is asked. */
export interface Plausibility {
  readonly phase: 'foreshots' | 'heads' | 'hearts';
  readonly vapour: { readonly fromC: number; readonly toC: number } | null;
  readonly sharePercent: { readonly from: number; readonly to: number } | null;
}

/** Two standard uncertainties: one run in twenty is asked for nothing. */
const coverage = 2;
const leastKelvin = 0.2;
const leastPercent = 0.5;

const rounded = (value: number) => Number(value.toFixed(2));

function windowOf(place: CutPlace, sharpness: Sharpness): Omit<Plausibility, 'phase'> {
  const { byTemperature, byShare } = sharpness;
  const kelvin = Math.max(leastKelvin, coverage * Math.hypot(byTemperature.kelvin ?? 0.5, byShare.kelvin ?? 0));
  const percent = Math.max(
    leastPercent,
    coverage * Math.hypot(byTemperature.sharePercent ?? 0, byShare.sharePercent ?? 0),
  );
  const known = place.sharePercent !== null && byTemperature.sharePercent !== null;
  return {
    vapour: { fromC: rounded(place.vapourAtReferenceC - kelvin), toC: rounded(place.vapourAtReferenceC + kelvin) },
    sharePercent: known
      ? {
          from: rounded(Math.max(0, place.sharePercent! - percent)),
          to: rounded(Math.min(100, place.sharePercent! + percent)),
        }
      : null,
  };
}

/**
 * The windows of the two cuts of a variant.
 *
 * @param phases of the recipe, in order: the heads cut ends the phase before hearts
 */
export function plausibleOf(judged: JudgedCuts, phases: RecipeDocument['phases']): Plausibility[] {
  const before = phases[phases.findIndex((step) => step.phase === 'hearts') - 1]?.phase;
  const hearts: Plausibility = { phase: 'hearts', ...windowOf(judged.cuts.tails, judged.tails) };
  if (before !== 'heads' && before !== 'foreshots') return [hearts];
  return [{ phase: before, ...windowOf(judged.cuts.heads, judged.heads) }, hearts];
}

type StepDocument = RecipeDocument['phases'][number];

/** The window a step is checked by: the axis that does not decide it already. */
function checkedBy(window: Plausibility, endsWhen: StepDocument['endsWhen']): StepDocument['plausible'] {
  const condition = conditionSchema.safeParse(endsWhen);
  const byShare = condition.success && [...testsOf(condition.data)].some(({ test }) => test.test === 'alcohol-share');
  if (byShare) return window.vapour === null ? undefined : { vapour: window.vapour };
  return window.sharePercent === null ? undefined : { sharePercent: window.sharePercent };
}

/**
 * Writes the windows into a recipe: those of the first variant into its phases, those of the others beside their cuts.
 *
 * @param document the recipe without windows
 * @param all the variants' cuts, in the order in which they were composed
 */
export function withPlausible(document: RecipeDocument, all: readonly JudgedCuts[]): RecipeDocument {
  const [first, ...rest] = all;
  if (first === undefined) return document;
  const windows = plausibleOf(first, document.phases);
  const phases = document.phases.map((step) => {
    const window = windows.find((one) => one.phase === step.phase);
    const plausible = window === undefined ? undefined : checkedBy(window, step.endsWhen);
    return plausible === undefined ? step : { ...step, plausible };
  });
  const variants = { ...document.variants };
  for (const judged of rest) {
    const variant = variants[judged.cuts.variant];
    if (variant === undefined) continue;
    const cuts = { ...variant.cuts };
    for (const window of plausibleOf(judged, document.phases)) {
      const base = phases.find((step) => step.phase === window.phase);
      const change = cuts[window.phase];
      if (base === undefined || change === undefined) continue;
      const plausible = checkedBy(window, change.endsWhen ?? base.endsWhen);
      if (plausible !== undefined) cuts[window.phase] = { ...change, plausible };
    }
    variants[judged.cuts.variant] = { ...variant, cuts };
  }
  return { ...document, phases, variants };
}
