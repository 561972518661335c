import { azeotrope, waterBoilingPointC } from '../physics';
import type { Condition, NotBefore, RecipeDocument, Step } from '../recipe/schema';
import type { CutPlace, VariantCuts } from './cut-places';
import type { SheetFigures } from './figures';
import type { Sharpness } from './sharpness';

export type HeadsBy = 'share' | 'temperature';
export type TailsBy = 'temperature' | 'strength' | 'share';

/** How the cuts of a recipe are to be made. */
export interface CutMaking {
  readonly headsBy: HeadsBy;
  readonly tailsBy: TailsBy;
  /** Guard the tails cut with the share of the alcohol. */
  readonly guarded: boolean;
  /** Ask the operator's nose at the heads cut. */
  readonly headsCut: 'automatic' | 'ask';
  /** Heat while collecting, as a share of what the still can give; null leaves it at full. */
  readonly heatShare: number | null;
}

/** One phase of a derived recipe: what the recipe schema calls a step, before defaults. */
export type DraftStep = Pick<Step, 'phase' | 'endsWhen' | 'holdS'> & {
  readonly notBefore?: NotBefore;
  readonly cut?: 'automatic' | 'ask';
  readonly maxS?: number;
  readonly takeOffShare?: number;
  readonly heatShare?: number;
};

const round = (value: number, places: number) => Number(value.toFixed(places));
const shareText = (percent: number) => round(Math.min(100, percent), 4);

/** Temperatures a vapour can have at the reference pressure, with a little room; beyond them a recipe is refused. */
export function vapourReachC(referenceHPa: number): { readonly lowestC: number; readonly highestC: number } {
  return { lowestC: azeotrope(referenceHPa).tempC - 5.9, highestC: waterBoilingPointC(referenceHPa) - 0.05 };
}

/**
 * Hold of a cut [s]: half a minute, but a tenth of the shorter jar beside it at the most, so that holding never takes a cut out of its jar.
 */
export function holdOf(figures: SheetFigures, changeover: number): number {
  const lasting = [changeover - 1, changeover].flatMap((jar) => {
    const start = figures.changeovers[jar]?.timeS;
    const end = figures.changeovers[jar + 1]?.timeS;
    return start == null || end == null || end <= start ? [] : [end - start];
  });
  return Math.floor(Math.min(30, ...lasting.map((lastsS) => lastsS / 10)));
}

function byTemperature(place: CutPlace): Condition {
  return { test: 'vapour-temp', atLeastC: round(place.vapourAtReferenceC, 3), deadbandK: 0.2 };
}

function byShare(place: CutPlace): Condition | null {
  const share = place.sharePercent;
  return share === null || share < 0.01 || share > 99.9
    ? null
    : { test: 'alcohol-share', atLeastPercent: shareText(share) };
}

/** Volume and share only grow: nothing has to be waited for but a slip of the meter. */
const steadyHoldS = 5;

function holdFor(condition: Condition, holdS: number): number {
  const steady = 'test' in condition && (condition.test === 'alcohol-share' || condition.test === 'volume');
  return steady ? Math.min(steadyHoldS, holdS) : holdS;
}

/** The end of heads (or of foreshots where nothing else stands before hearts). */
export function headsEnd(place: CutPlace, making: CutMaking): Condition {
  return (making.headsBy === 'share' ? byShare(place) : null) ?? byTemperature(place);
}

/** The end of hearts. */
export function tailsEnd(place: CutPlace, making: CutMaking): Condition {
  if (making.tailsBy === 'share') return byShare(place) ?? byTemperature(place);
  if (making.tailsBy === 'temperature') return byTemperature(place);
  const atMostVolPercent = round(100 * place.strengthAbv, 3);
  return { test: 'strength', atMostVolPercent, by: 'vapour-temp', deadbandVolPercent: 0.5 };
}

/**
 * Share before which the tails cut is not made: the cut's own share less what both may be wrong by, but within the last jar's last quarter, so that a
 * vapour too level to tell jars apart still ends hearts in the right one.
 */
export function tailsGuard(figures: SheetFigures, place: CutPlace, sharpness: Sharpness): NotBefore | null {
  const share = place.sharePercent;
  const jar = figures.jars[place.changeover - 1]?.sharePercent;
  if (share === null || jar == null || share > 99.9) return null;
  const temperature = sharpness.byTemperature.sharePercent ?? Number.POSITIVE_INFINITY;
  const room = Math.min(Math.hypot(temperature, sharpness.byShare.sharePercent ?? 0), 0.25 * jar);
  const sharePercent = shareText(share - room);
  return sharePercent > 0 ? { sharePercent } : null;
}

/** Litres at the probe after which foreshots are over; null where the sheet has none or no volumes. */
export function foreshotsL(figures: SheetFigures, firstJar: number): number | null {
  const { sheet } = figures;
  const jars = Math.min(sheet.foreshotsJars, firstJar - 1);
  const atL = figures.changeovers[jars]?.atL;
  if (atL == null) return null;
  const atProbeL = Math.max(atL - sheet.still.holdUpL, Math.min(atL, 0.2 * atL));
  return atProbeL > 0 ? atProbeL : null;
}

function durationS(figures: SheetFigures, from: number, to: number): { maxS?: number } {
  const start = figures.changeovers[from]?.timeS;
  const end = figures.changeovers[to]?.timeS;
  return start == null || end == null || end <= start ? {} : { maxS: Math.round(2 * (end - start) + 600) };
}

/** What is common to all variants: whether foreshots, heads and tails are phases of their own. */
export interface Shape {
  readonly foreshots: boolean;
  readonly heads: boolean;
  readonly tails: boolean;
}

/** The phases one variant needs. */
export function shapeOf(figures: SheetFigures, cuts: VariantCuts): Shape {
  const headsL = cuts.heads.spoutL ?? cuts.heads.changeover;
  const front = foreshotsL(figures, cuts.selection.firstJar);
  const foreshotsJars = Math.min(figures.sheet.foreshotsJars, cuts.selection.firstJar - 1);
  return {
    foreshots: front !== null,
    heads: headsL > 0 && (front === null || cuts.selection.firstJar - 1 > foreshotsJars),
    tails: cuts.selection.lastJar < figures.jars.length,
  };
}

const litres = (volumeL: number): Condition => ({
  test: 'volume',
  atLeastL: Math.max(0.001, round(volumeL, 4)),
  since: 'run',
});

function frontSteps(figures: SheetFigures, cuts: VariantCuts, shape: Shape, making: CutMaking): DraftStep[] {
  const own = shapeOf(figures, cuts);
  const endsWhen = headsEnd(cuts.heads, making);
  const end = { endsWhen, holdS: holdFor(endsWhen, holdOf(figures, cuts.heads.changeover)), cut: making.headsCut };
  const lasts = durationS(figures, 0, cuts.heads.changeover);
  const front = foreshotsL(figures, cuts.selection.firstJar) ?? 0;
  const jars = Math.min(figures.sheet.foreshotsJars, cuts.selection.firstJar - 1);
  const steps: DraftStep[] = [];
  if (shape.foreshots) {
    if (!shape.heads) return [{ phase: 'foreshots', ...end, ...lasts }];
    // A variant whose hearts follow foreshots at once still passes through heads, for its last fifth.
    const endsAtL = own.heads ? front : 0.8 * front;
    steps.push({
      phase: 'foreshots',
      endsWhen: litres(endsAtL),
      holdS: Math.min(steadyHoldS, holdOf(figures, jars)),
      ...durationS(figures, 0, jars),
    });
  }
  if (shape.heads) steps.push({ phase: 'heads', ...end, ...lasts });
  return steps;
}

function lastStep(figures: SheetFigures, cuts: VariantCuts, hottestC: number): DraftStep {
  const last = figures.changeovers[figures.changeovers.length - 1];
  const { highestC } = vapourReachC(figures.referenceHPa);
  const holdS = holdOf(figures, figures.jars.length);
  const hottest = last?.vapourAtReferenceC ?? null;
  if (hottest !== null && hottest > hottestC + 0.2 && hottest < highestC) {
    return { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: round(hottest, 3), deadbandK: 0.2 }, holdS };
  }
  if (cuts.selection.lastJar < figures.jars.length && last?.atL != null)
    return { phase: 'tails', endsWhen: litres(last.atL), holdS };
  return { phase: 'tails', endsWhen: { test: 'order' }, holdS: 0 };
}

/**
 * The collecting phases of one variant, in the shape all variants share.
 *
 * @param hottestC the hottest tails cut of all variants: tails end above it or by volume
 */
export function stepsOf(
  figures: SheetFigures,
  cuts: VariantCuts,
  shape: Shape,
  making: CutMaking,
  sharpness: Sharpness,
  hottestC: number,
): DraftStep[] {
  const guard = making.guarded && making.tailsBy !== 'share' ? tailsGuard(figures, cuts.tails, sharpness) : null;
  const endsWhen = tailsEnd(cuts.tails, making);
  const hearts: DraftStep = {
    phase: 'hearts',
    endsWhen,
    holdS: holdFor(endsWhen, holdOf(figures, cuts.tails.changeover)),
    ...(guard === null ? {} : { notBefore: guard }),
    ...durationS(figures, cuts.heads.changeover, cuts.tails.changeover),
  };
  const steps = [
    ...frontSteps(figures, cuts, shape, making),
    hearts,
    ...(shape.tails ? [lastStep(figures, cuts, hottestC)] : []),
  ];
  const { heatShare } = making;
  return heatShare === null ? steps : steps.map((step) => ({ ...step, heatShare }));
}

/** Time in which the vapour's leap into the head has calmed down [s]. */
const calmS = 180;

/**
 * The phases before the first drop; a column equalises first. Where the very first cut rests on a temperature, the leap of the arriving vapour is
 * waited out; what drips meanwhile already goes where the first fraction goes, and counts.
 */
export function startSteps(kind: 'pot' | 'column', first: DraftStep | undefined): RecipeDocument['phases'] {
  const test = first !== undefined && 'test' in first.endsWhen ? first.endsWhen.test : null;
  const holdS = test === 'vapour-temp' || test === 'strength' ? calmS : 10;
  const heatUp = { phase: 'heat-up' as const, endsWhen: { test: 'vapour-temp' as const, atLeastC: 60 }, holdS };
  if (kind === 'pot') return [heatUp];
  return [heatUp, { phase: 'equalise', endsWhen: { test: 'settled' }, holdS: 30, takeOffShare: 0 }];
}
