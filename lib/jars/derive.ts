import { standardAirPressureHPa } from '../physics';
import { type Checked, type Problem, problem, warning } from '../problems';
import { checkRecipe } from '../recipe/check';
import type { Recipe, RecipeDocument } from '../recipe/schema';
import { asVariant } from '../recipe/variant';
import { composeRecipe, type JudgedCuts, variantsFitTogether } from './compose';
import {
  type Contradiction,
  cautionsOfSheet,
  contradiction,
  findContradictions,
  impossible,
  settle,
} from './contradictions';
import { placeCuts } from './cut-places';
import { type SheetFigures, workOut } from './figures';
import { findMismatches } from './mismatches';
import { type Plausibility, plausibleOf, withPlausible } from './plausible';
import { fitPot, type PotFit } from './pot-fit';
import { type Replay, replaySheet } from './replay';
import { findMissing, type Insistence, type Selection, selectJars, type VariantName, variantNames } from './selection';
import { type Repeat, repeatOf, sharpnessOf } from './sharpness';
import type { Sheet } from './sheet';
import type { CutMaking, HeadsBy, TailsBy } from './steps';

/** How a recipe is to be derived. */
export interface DeriveOptions {
  /** Name of the recipe; the sheet's unless given. */
  readonly name?: string;
  readonly referenceHPa?: number;
  /** `temperature` makes both cuts by temperature alone; `share` is the usual way: see headsBy and tailsBy. */
  readonly by?: 'share' | 'temperature';
  readonly headsBy?: HeadsBy;
  readonly tailsBy?: TailsBy;
  readonly headsCut?: 'automatic' | 'ask';
  readonly variants?: readonly VariantName[];
  /** Derive in spite of what contradicts: collect all from the first to the last jar that is in, or the longest row of them. */
  readonly insist?: Insistence;
  readonly repeat?: Partial<Repeat>;
  /** Heat the still gives at full power [W]: with it the recipe repeats the heat of the sheet. */
  readonly ratedW?: number;
}

/** The cuts of one variant as derived. */
export interface DerivedVariant extends JudgedCuts {
  readonly variant: VariantName;
  readonly selection: Selection;
  readonly replay: Replay;
  readonly plausible: readonly Plausibility[];
}

/** A recipe derived from a jar sheet, with all it rests on. */
export interface Derivation {
  readonly recipe: Recipe;
  readonly document: RecipeDocument;
  readonly variants: readonly DerivedVariant[];
  readonly making: CutMaking;
  readonly figures: SheetFigures;
  readonly fit: PotFit | null;
  readonly repeat: Repeat;
}

function makingOf(sheet: Sheet, options: DeriveOptions): CutMaking {
  const alone = options.by === 'temperature';
  return {
    headsBy: options.headsBy ?? (alone ? 'temperature' : 'share'),
    tailsBy: options.tailsBy ?? 'temperature',
    guarded: !alone,
    headsCut: options.headsCut ?? 'automatic',
    heatShare: heatShareOf(sheet.heaterW, options.ratedW),
  };
}

function heatShareOf(heaterW: number | undefined, ratedW: number | undefined): number | null {
  if (heaterW === undefined || ratedW === undefined || !(ratedW > 0)) return null;
  return Number(Math.min(1, heaterW / ratedW).toFixed(4));
}

/** Making that the sheet can carry: without shares on the sheet, everything by temperature. */
function feasible(making: CutMaking, judged: readonly JudgedCuts[]): { making: CutMaking; warnings: Problem[] } {
  const shares = judged.flatMap((one) => [one.cuts.heads.sharePercent, one.cuts.tails.sharePercent]);
  if (shares.every((share) => share !== null && share <= 99.9)) return { making, warnings: [] };
  const wanted = making.headsBy === 'share' || making.tailsBy === 'share' || making.guarded;
  const message = "the share of the charge's alcohol is not known at every cut, so the cuts rest on temperature alone";
  const warnings = wanted ? [warning('jars', undefined, message, 'Measure volume and strength of every jar')] : [];
  const tailsBy = making.tailsBy === 'share' ? 'temperature' : making.tailsBy;
  return { making: { ...making, headsBy: 'temperature', tailsBy, guarded: false }, warnings };
}

/** The engine smooths over two minutes and holds: in shorter jars no cut can be made as it was tasted. */
const shortestJarS = 120;

/** Jars on both sides of the cuts of a selection. */
function besideCuts(selections: readonly Selection[]): number[] {
  const beside = selections.flatMap((one) => [one.firstJar - 1, one.firstJar, one.lastJar, one.lastJar + 1]);
  return [...new Set(beside)].sort((a, b) => a - b);
}

function tooSmall(figures: SheetFigures, selections: readonly Selection[]): Contradiction[] {
  const { holdUpL } = figures.sheet.still;
  return besideCuts(selections).flatMap((jar) => {
    const found: Contradiction[] = [];
    const start = figures.changeovers[jar - 1]?.timeS;
    const end = figures.changeovers[jar]?.timeS;
    if (start != null && end != null && end > start && end - start < shortestJarS) {
      const message = `jar ${jar} beside a cut was filled in ${(end - start).toFixed(0)} s: no cut can be made as finely`;
      found.push(contradiction(`jars.${jar - 1}.end.timeS`, end, message, `Use jars of at least ${shortestJarS} s`));
    }
    const volumeL = figures.jars[jar - 1]?.volumeL;
    if (volumeL != null && volumeL < 2 * holdUpL) {
      const message = `jar ${jar} beside a cut is less than twice the ${holdUpL} L between probe and spout: it holds what passed the probe before it`;
      found.push(contradiction(`jars.${jar - 1}.volumeL`, volumeL, message, 'Use larger jars there'));
    }
    return found;
  });
}

/**
 * Derives a recipe from a jar sheet and its verdicts.
 *
 * Heads are cut at the changeover into the first jar that is in, tails at the end of the last, for white and for oak; both moved to the reference
 * pressure and placed on the share of the charge's alcohol. The recipe is run over the sheet again and must collect the very jars that are in.
 *
 * @param sheet a checked sheet
 * @param options how the cuts are made, and whether to insist
 * @returns the recipe with everything it rests on; or all contradictions with what to do about them
 */
export function deriveRecipe(sheet: Sheet, options: DeriveOptions = {}): Checked<Derivation> {
  const figures = workOut(sheet, options.referenceHPa ?? standardAirPressureHPa);
  const wanted = variantNames.filter((name) => (options.variants ?? variantNames).includes(name));
  const selected = wanted.map((name) => selectJars(figures, name, options.insist));
  const selections = selected.flatMap((one) => (one.selection === null ? [] : [one.selection]));
  const making = makingOf(sheet, options);
  const needsVolumes = making.headsBy === 'share' || making.tailsBy === 'share' || making.guarded;
  const missing = findMissing(figures, selections, needsVolumes);
  const found = [
    ...findContradictions(figures),
    ...distinct(selected.flatMap((one) => one.found)),
    ...distinct(missing),
    ...tooSmall(figures, selections),
  ];
  const problems = settle(found, options.insist !== undefined);
  if (problems.some((one) => one.severity === 'error')) return { kind: 'bad', problems };
  const warnings = [...problems, ...cautionsOfSheet(figures)];
  return draft(figures, selections, making, options, warnings);
}

/** The same contradiction may be found for both variants. */
function distinct(found: readonly Contradiction[]): Contradiction[] {
  return found.filter((one, index) => found.findIndex((other) => other.problem.path === one.problem.path) === index);
}

function draft(
  figures: SheetFigures,
  selections: readonly Selection[],
  asked: CutMaking,
  options: DeriveOptions,
  warnings: readonly Problem[],
): Checked<Derivation> {
  const fit = fitPot(figures);
  const repeat = repeatOf(figures, options.repeat);
  const judged = selections.flatMap((selection): JudgedCuts[] => {
    const cuts = placeCuts(figures, selection);
    if (cuts === null) return [];
    const sharp = (place: typeof cuts.heads) => sharpnessOf(figures, place, fit, repeat);
    return [{ cuts, heads: sharp(cuts.heads), tails: sharp(cuts.tails) }];
  });
  const [first, ...rest] = judged;
  if (first === undefined)
    return { kind: 'bad', problems: [problem('jars', undefined, 'no cut can be placed', 'Correct the readings')] };
  if (!variantsFitTogether(figures, judged)) {
    const one = impossible(
      'jars',
      undefined,
      'one variant collects from the first drop and the other does not',
      'Derive one variant at a time',
    );
    return { kind: 'bad', problems: [one.problem] };
  }
  const able = feasible(asked, judged);
  const composed = composeRecipe(figures, [first, ...rest], able.making, options.name ?? figures.sheet.name);
  const document = able.making.guarded ? withPlausible(composed, judged) : composed;
  const checked = checkRecipe(document);
  if (checked.kind === 'bad') return { kind: 'bad', problems: checked.problems.map(explain) };
  const variants = judged.map((one) => describe(figures, one, checked.value));
  const failed = settle(
    variants.flatMap((one) => findMismatches(figures, one, checked.value, able.making)),
    options.insist !== undefined,
  );
  if (failed.some((one) => one.severity === 'error')) return { kind: 'bad', problems: failed };
  const value = { recipe: checked.value, document, variants, making: able.making, figures, fit, repeat };
  return { kind: 'ok', value, warnings: [...warnings, ...able.warnings, ...failed, ...checked.warnings] };
}

/** A problem of the recipe that came of the sheet: the reader knows jars, not phases. */
function explain(one: Problem): Problem {
  return { ...one, remedy: `The sheet gives no workable recipe: check the readings at the cuts. ${one.remedy}` };
}

function describe(figures: SheetFigures, judged: JudgedCuts, recipe: Recipe): DerivedVariant {
  const { cuts } = judged;
  const chosen = asVariant(recipe, cuts.variant) ?? recipe;
  return {
    ...judged,
    variant: cuts.variant,
    selection: cuts.selection,
    replay: replaySheet(figures, chosen),
    plausible: plausibleOf(judged, chosen.phases),
  };
}
