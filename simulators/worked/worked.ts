import {
  type CarriedOver,
  type ChargedStill,
  carryToStill,
  judgeReadiness,
  type Preparation,
  type Readiness,
} from '../../lib/compare';
import {
  type Choice,
  type Derivation,
  type DerivedVariant,
  type DeriveOptions,
  deriveRecipe,
  type Repeat,
  type VariantName,
  weighChoices,
} from '../../lib/jars';
import { type CongenerName, congenerNames } from '../../lib/physics';
import { reduce } from '../../lib/proofing';
import { type Development, developmentRun, first, good } from './development';
import { type Deviation, type Hearts, repeatRun } from './repeat';
import { greatFactor, greatPot, workedPot } from './stills';

/** Strength in the bottle [0..1], and what a bottle holds [L]. */
export const bottlingAbv = 0.42;
export const bottleL = 0.5;

/** How cuts are made: by temperature alone; as a recipe is derived unless one says otherwise; both by share, temperature as a check. */
export const ways = ['temperature', 'usual', 'share'] as const;
export type Way = (typeof ways)[number];

export const sayWay: Readonly<Record<Way, string>> = {
  temperature: 'both cuts by temperature alone',
  usual: 'heads by share, tails by temperature (usual)',
  share: 'both cuts by share, temperature as check',
};

const making: Readonly<Record<Way, DeriveOptions>> = {
  temperature: { by: 'temperature' },
  usual: {},
  share: { tailsBy: 'share' },
};

/** A careful stillroom, with the same probe in the same well: only its drift is left. */
export const careful: Partial<Repeat> = { probeK: 0.05 };
/** Another charge, another heat, another probe, each within these limits. */
export const careless: Partial<Repeat> = { chargeStrengthVolPercent: 1, heatPercent: 10, probeK: 0.2 };

/** What the sheet says the hearts are: the jars that are in, blended. */
export interface Tasted {
  readonly derived: Derivation;
  readonly variant: DerivedVariant;
  readonly choice: Choice;
  /** Litres of hearts a litre of alcohol charged. */
  readonly volumePerAlcohol: number;
}

export function deriveWay(development: Development, way: Way, repeat: Partial<Repeat>): Derivation {
  const options = { ...making[way], ratedW: first.ratedW, repeat, name: 'Pear spirit' };
  return good(deriveRecipe(development.history.sheet, options));
}

export function tastedOf(derived: Derivation, name: VariantName): Tasted {
  const variant = derived.variants.find((one) => one.variant === name);
  if (variant === undefined) throw new Error(`assertion: no ${name} was derived`);
  const choice = weighChoices(derived.figures, variant.selection, bottlingAbv, derived.fit)[0]!;
  return { derived, variant, choice, volumePerAlcohol: choice.volume20L / derived.figures.chargeAlcoholL };
}

/** How far the hearts may be off, as printed before the run: both cuts together [% of the hearts' volume], on the axes they are made by. */
export function printedPercent({ derived, variant, choice }: Tasted): number {
  const { headsBy, tailsBy } = derived.making;
  const heads = headsBy === 'share' ? variant.heads.byShare : variant.heads.byTemperature;
  const tails = tailsBy === 'share' ? variant.tails.byShare : variant.tails.byTemperature;
  return (100 * Math.hypot(heads.volumeL ?? Number.NaN, tails.volumeL ?? Number.NaN)) / choice.volume20L;
}

/** A repetition beside what was tasted. */
export interface Outcome {
  readonly name: string;
  readonly variant: VariantName;
  readonly hearts: Hearts;
  /** Litres of hearts a litre of alcohol charged, against the jars that were in [%]. */
  readonly volumeOffPercent: number;
  /** Strength against the jars that were in [% of it]. */
  readonly strengthOffPercent: number;
  readonly readiness: Readiness;
}

export interface Repeated {
  readonly name: string;
  readonly variant: VariantName;
  readonly great?: boolean;
  readonly seed: number;
  readonly deviation: Deviation;
}

/** Runs 2 to 5: other weather, the other variant, the great still. */
export const repeatedRuns: readonly Repeated[] = [
  { name: 'run 2', variant: 'white', seed: 12, deviation: { weatherHPa: 22 } },
  { name: 'run 3', variant: 'white', seed: 13, deviation: { weatherHPa: -32 } },
  { name: 'run 4', variant: 'for-oak', seed: 14, deviation: { weatherHPa: 12 } },
  { name: 'run 5', variant: 'white', seed: 15, deviation: { weatherHPa: -18 }, great: true },
];

/** One thing otherwise at a time, at its limit either way; and the two worst together. */
export const deviatedRuns: readonly Repeated[] = [
  { name: 'charge 1 % vol stronger', variant: 'white', seed: 21, deviation: { chargeVolPercent: 1 } },
  { name: 'charge 1 % vol weaker', variant: 'white', seed: 22, deviation: { chargeVolPercent: -1 } },
  { name: 'heat 10 % more', variant: 'white', seed: 23, deviation: { heatFactor: 1.1 } },
  { name: 'heat 10 % less', variant: 'white', seed: 24, deviation: { heatFactor: 0.9 } },
  { name: 'probe 0.2 K high', variant: 'white', seed: 25, deviation: { probeK: 0.2 } },
  { name: 'probe 0.2 K low', variant: 'white', seed: 26, deviation: { probeK: -0.2 } },
];

function chargedStill(great: boolean): ChargedStill {
  const factor = great ? greatFactor : 1;
  return {
    name: great ? greatPot.name : workedPot.name,
    kind: 'pot',
    chargeL: first.chargeL * factor,
    chargeVolPercent: first.chargeVolPercent,
    heaterW: first.heatShare * first.ratedW * factor,
    holdUpL: (workedPot.spout?.holdUpL ?? 0) * factor,
    probeK: 0.1,
  };
}

/** The recipe on the great still: volumes with the alcohol, all else as it is. */
export function carriedToGreat(derived: Derivation): CarriedOver {
  return good(carryToStill(derived.recipe, chargedStill(false), chargedStill(true)));
}

/** What is known before a run; what deviates without anybody knowing is put in as if it had been measured, to see what the score makes of it. */
function preparation(run: Repeated | null): Preparation {
  const factor = run?.great === true ? greatFactor : 1;
  const { chargeVolPercent = 0, heatFactor = 1, probeK = 0 } = run?.deviation ?? {};
  return {
    still: run?.great === true ? greatPot.id : workedPot.id,
    chargeL: first.chargeL * factor,
    chargeVolPercent: first.chargeVolPercent + chargeVolPercent,
    heaterW: first.heatShare * first.ratedW * factor * heatFactor,
    takeOffLPerH: null,
    feintsSharePercent: 0,
    coolantLPerH: 150 * factor,
    coolantInC: 12,
    probeWell: 'top of the head',
    probeCalibration: probeK === 0 ? 'ice and steam, October' : `off by ${probeK} K`,
    foreshotsL: 0.2 * factor,
  };
}

/** Runs a recipe again and sets the hearts beside the jars that were in. */
export function outcomeOf(tasted: Tasted, run: Repeated): Outcome {
  const great = run.great === true;
  const hearts = repeatRun({
    still: great ? greatPot : workedPot,
    chargeL: first.chargeL * (great ? greatFactor : 1),
    recipe: great ? carriedToGreat(tasted.derived).recipe : tasted.derived.recipe,
    variant: run.variant,
    seed: run.seed,
    deviation: run.deviation,
  });
  return {
    name: run.name,
    variant: run.variant,
    hearts,
    volumeOffPercent: 100 * (hearts.volumePerAlcohol / tasted.volumePerAlcohol - 1),
    strengthOffPercent: 100 * (hearts.strengthAbv / tasted.choice.strengthAbv - 1),
    readiness: judgeReadiness(preparation(null), preparation(run)),
  };
}

/** A minor compound in the hearts over that in the charge, both in their alcohol: as the derivation PREDICTED it, and as the simulated run had it. */
export interface CompoundCheck {
  readonly name: CongenerName;
  readonly predictedRatio: number;
  readonly jarsRatio: number;
  /** In a repetition, over that in the jars of run 1. */
  readonly repeated: number;
}

export function compoundChecks(
  development: Development,
  tasted: Tasted,
  charged: Readonly<Partial<Record<CongenerName, number>>>,
  hearts: Hearts,
): readonly CompoundCheck[] {
  const { firstJar, lastJar } = tasted.variant.selection;
  const taken = development.truth.slice(firstJar - 1, lastJar);
  const alcoholL = taken.reduce((sum, jar) => sum + jar.alcoholL, 0);
  return congenerNames.map((name) => {
    const inJars = taken.reduce((sum, jar) => sum + jar.alcoholL * jar.predicted[name], 0) / alcoholL;
    const inCharge = (charged[name] ?? 0) / (first.chargeVolPercent / 100);
    const predictedRatio = tasted.choice.compounds.find((one) => one.name === name)?.ratio ?? Number.NaN;
    return { name, predictedRatio, jarsRatio: inJars / inCharge, repeated: hearts.predicted[name] / inJars };
  });
}

/** What bottling a run's hearts takes. */
export function bottling(hearts: Hearts) {
  const amount = { kind: 'volume' as const, volumeL: hearts.volumeL, tempC: 20 };
  const reduced = good(reduce({ amount, strengthAbv: hearts.strengthAbv, targetAbv: bottlingAbv }));
  return { ...reduced, bottles: Math.floor(reduced.volume20L / bottleL) };
}

/** Everything the document tells. */
export interface Worked {
  readonly development: Development;
  readonly white: Tasted;
  readonly oak: Tasted;
  readonly repeated: readonly Outcome[];
  readonly deviated: Readonly<Record<Way, readonly Outcome[]>>;
  /** The printed uncertainty of each way, when the charge, heat and probe deviate. */
  readonly printed: Readonly<Record<Way, number>>;
  readonly tastedBy: Readonly<Record<Way, Tasted>>;
}

export const seedOfRun1 = 1;

/** The whole scenario, run by run. @param say told of each run as it is done */
export function workScenario(say: (line: string) => void = () => undefined): Worked {
  const development = developmentRun(seedOfRun1);
  say('run 1: development');
  const derived = deriveWay(development, 'usual', careful);
  const tastedIn = { white: tastedOf(derived, 'white'), 'for-oak': tastedOf(derived, 'for-oak') };
  const done = (tasted: Tasted, run: Repeated, what = ''): Outcome => {
    const outcome = outcomeOf(tasted, run);
    say(`${run.name}${what}`);
    return outcome;
  };
  const repeated = repeatedRuns.map((run) => done(tastedIn[run.variant], run));
  const tastedBy = byWay((way) => tastedOf(deriveWay(development, way, careless), 'white'));
  const deviated = byWay((way) => deviatedRuns.map((run) => done(tastedBy[way], run, `, ${sayWay[way]}`)));
  const printed = byWay((way) => printedPercent(tastedBy[way]));
  return { development, white: tastedIn.white, oak: tastedIn['for-oak'], repeated, deviated, printed, tastedBy };
}

function byWay<T>(of: (way: Way) => T): Readonly<Record<Way, T>> {
  return { temperature: of('temperature'), usual: of('usual'), share: of('share') };
}
