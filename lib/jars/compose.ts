import type { Recipe, RecipeDocument } from '../recipe/schema';
import type { VariantCuts } from './cut-places';
import type { SheetFigures } from './figures';
import type { VariantName } from './selection';
import type { Sharpness } from './sharpness';
import { type CutMaking, type DraftStep, type Shape, shapeOf, startSteps, stepsOf } from './steps';

/** The cuts of one variant with their sharpness. */
export interface JudgedCuts {
  readonly cuts: VariantCuts;
  readonly heads: Sharpness;
  readonly tails: Sharpness;
}

/** Phases that are there in any variant. */
function sharedShape(figures: SheetFigures, all: readonly JudgedCuts[]): Shape {
  const shapes = all.map((one) => shapeOf(figures, one.cuts));
  return {
    foreshots: shapes.some((shape) => shape.foreshots),
    heads: shapes.some((shape) => shape.heads),
    tails: shapes.some((shape) => shape.tails),
  };
}

/** Variants of one recipe share their phases; where one takes the very first drop and another does not, they cannot. */
export function variantsFitTogether(figures: SheetFigures, all: readonly JudgedCuts[]): boolean {
  const starts = all.map((one) => {
    const shape = shapeOf(figures, one.cuts);
    return shape.foreshots || shape.heads;
  });
  const front = all.map((one) => shapeOf(figures, one.cuts).foreshots);
  return new Set(starts).size <= 1 && new Set(front).size <= 1;
}

function sameStep(a: DraftStep, b: DraftStep): boolean {
  const cutOf = ({ endsWhen, notBefore, holdS, cut }: DraftStep) => JSON.stringify([endsWhen, notBefore, holdS, cut]);
  return cutOf(a) === cutOf(b);
}

type Variants = NonNullable<RecipeDocument['variants']>;
type Cuts = Variants[string]['cuts'];

function overrides(base: readonly DraftStep[], other: readonly DraftStep[]): Cuts {
  const changed = other.filter((step, index) => base[index] === undefined || !sameStep(base[index], step));
  return Object.fromEntries(
    changed.map(({ phase, endsWhen, notBefore, holdS, cut }) => [
      phase,
      {
        endsWhen,
        holdS,
        ...(cut === undefined ? {} : { cut }),
        // A variant cannot take a guard away, so one that needs none gets the weakest.
        ...(notBefore !== undefined ? { notBefore } : hasGuard(base, phase) ? { notBefore: {} } : {}),
      },
    ]),
  ) as Cuts;
}

function hasGuard(base: readonly DraftStep[], phase: DraftStep['phase']): boolean {
  return base.some((step) => step.phase === phase && step.notBefore !== undefined);
}

const aboutVariant: Readonly<Record<VariantName, string>> = {
  white: 'For drinking white',
  'for-oak': 'For resting in oak: a little deeper',
};

/** Mean of the air pressures written on the sheet [hPa, one decimal]. */
function meanPressureHPa(figures: SheetFigures): number | null {
  const known = figures.changeovers.flatMap((one) => (one.stationHPa === null ? [] : [one.stationHPa]));
  if (known.length === 0) return null;
  return Number((known.reduce((sum, one) => sum + one, 0) / known.length).toFixed(1));
}

function originOf(figures: SheetFigures): NonNullable<Recipe['developedFrom']> {
  const { sheet } = figures;
  const airPressureHPa = meanPressureHPa(figures);
  return {
    ...(sheet.run === undefined ? {} : { run: sheet.run }),
    still: sheet.still.id ?? sheet.still.name,
    ...(sheet.startedAt === undefined ? {} : { date: sheet.startedAt }),
    ...(airPressureHPa === null ? {} : { airPressureHPa }),
    chargeL: sheet.charge.volumeL,
    chargeVolPercent: sheet.charge.strengthVolPercent,
    ...(sheet.charge.what === undefined ? {} : { charge: sheet.charge.what }),
    ...(sheet.heaterW === undefined ? {} : { heaterW: sheet.heaterW }),
  };
}

/** Every cut on both axes in words: the document's tests name only the one that decides. */
function aboutRecipe(figures: SheetFigures, all: readonly JudgedCuts[]): string {
  const place = (cut: VariantCuts['heads']) => {
    const share =
      cut.sharePercent === null ? '' : `, ${cut.sharePercent.toFixed(1)} % of the charge's alcohol come over`;
    return `${cut.vapourAtReferenceC.toFixed(2)} °C${share}`;
  };
  const cuts = all.map(
    ({ cuts: { variant, heads, tails } }) => `${variant}: heads cut ${place(heads)}; tails cut ${place(tails)}.`,
  );
  const from = `Derived from the jar sheet "${figures.sheet.name}" of ${figures.jars.length} jars; temperatures at ${figures.referenceHPa} hPa.`;
  return [from, ...cuts].join(' ');
}

/**
 * Writes the recipe document of one or two variants: the first stands in the phases, the other overrides single cuts.
 *
 * @param figures the sheet worked out
 * @param all the variants' cuts, white first where there is one
 * @param making how the cuts are to be made
 * @param name name of the recipe
 */
export function composeRecipe(
  figures: SheetFigures,
  all: readonly [JudgedCuts, ...JudgedCuts[]],
  making: CutMaking,
  name: string,
): RecipeDocument {
  const { sheet } = figures;
  const shape = sharedShape(figures, all);
  const hottestC = Math.max(...all.map((one) => one.cuts.tails.vapourAtReferenceC));
  const drafts = all.map((one) => stepsOf(figures, one.cuts, shape, making, one.tails, hottestC));
  const base = drafts[0]!;
  const variants = all.map((one, index): [string, Variants[string]] => {
    const cuts = index === 0 ? {} : overrides(base, drafts[index]!);
    const same =
      index > 0 && Object.keys(cuts ?? {}).length === 0 ? ' (here the same cuts: no jar is in only for oak)' : '';
    return [one.cuts.variant, { about: `${aboutVariant[one.cuts.variant]}${same}`, cuts }];
  });
  return {
    recipe: 1,
    name,
    about: aboutRecipe(figures, all),
    kind: 'spirit',
    stillKind: sheet.still.kind,
    referencePressureHPa: figures.referenceHPa,
    developedFrom: originOf(figures),
    phases: [...startSteps(sheet.still.kind, base[0]), ...base],
    variants: Object.fromEntries(variants),
  };
}
