import type { Reason } from '../engine/types';
import { type CongenerName, congenerNames } from '../physics';
import { blend, pureAlcoholL, reduce } from '../proofing';
import type { SheetFigures } from './figures';
import { type CoursePoint, compoundCourse, interpolate } from './pot-course';
import type { PotFit } from './pot-fit';
import type { Selection } from './selection';

/** What a minor compound does in a choice: a PREDICTION, never an analysis. */
export interface CompoundOutlook {
  readonly name: CongenerName;
  /** Share of what was in the charge that comes into the hearts [%]. */
  readonly sharePercent: number;
  /** Strength of it in the hearts' alcohol over that in the charge's alcohol; below 1 the cuts hold it back. */
  readonly ratio: number;
}

/** What collecting a row of jars as hearts comes to. */
export interface Choice {
  /** Which choice this is: as tasted, or one jar more or less at one end. */
  readonly kind: 'as-tasted' | 'heads-earlier' | 'heads-later' | 'tails-earlier' | 'tails-later';
  readonly firstJar: number;
  readonly lastJar: number;
  /** Hearts at 20 °C. */
  readonly volume20L: number;
  readonly strengthAbv: number;
  readonly alcoholL: number;
  /** Of the alcohol in all jars, and of the charge's. */
  readonly shareOfRunPercent: number;
  readonly shareOfChargePercent: number;
  /** Left over as feints. */
  readonly feintsAlcoholL: number;
  /** Bringing it to bottling strength; null where the hearts are weaker already. */
  readonly bottling: {
    readonly strengthAbv: number;
    readonly waterL: number;
    readonly waterKg: number;
    readonly volume20L: number;
  } | null;
  /** Some strength in it was estimated from the vapour. */
  readonly estimated: boolean;
  /** Strength of the weakest (last) jar taken [0..1]. */
  readonly lastJarAbv: number;
  readonly compounds: readonly CompoundOutlook[];
  readonly notes: readonly Reason[];
}

/** Common practice, no single source: below this a spirit cut deep into the tails may cloud. */
const cloudingAbv = 0.42;
/** Cognac's switch to seconds, as a mark of a deep cut. Source: trade glossary, about 60 % vol at the spout. */
const deepAbv = 0.6;

interface Compounds {
  readonly course: readonly CoursePoint[];
  readonly shares: Readonly<Record<CongenerName, readonly number[]>>;
}

/** Courses of all minor compounds along a fitted run; made once for all choices. */
export function compoundsOf(fit: PotFit | null): Compounds | null {
  if (fit === null) return null;
  const shares = Object.fromEntries(
    congenerNames.map((name) => [name, compoundCourse(fit.course, name, fit.refluxShare, fit.table.pressureHPa)]),
  ) as Record<CongenerName, readonly number[]>;
  return { course: fit.course, shares };
}

function outlook(compounds: Compounds | null, fromPercent: number | null, toPercent: number | null): CompoundOutlook[] {
  if (compounds === null || fromPercent === null || toPercent === null || toPercent <= fromPercent) return [];
  const shareAxis = compounds.course.map((point) => point.sharePercent);
  return congenerNames.map((name) => {
    const over = (share: number) => interpolate(shareAxis, compounds.shares[name], share);
    const sharePercent = over(toPercent) - over(fromPercent);
    return { name, sharePercent, ratio: sharePercent / (toPercent - fromPercent) };
  });
}

/**
 * What collecting the jars from one to another comes to: volume, strength, alcohol, water to bottling strength, minor compounds, cautions.
 *
 * @param figures a sheet worked out
 * @param firstJar first jar taken
 * @param lastJar last jar taken
 * @param bottlingAbv strength wanted in the bottle [0..1]
 * @param compounds from compoundsOf; null leaves them out
 * @returns null where a jar of the row lacks volume or strength
 * Accuracy: blends and reduction as lib/proofing; compounds are predictions.
 */
export function weighChoice(
  figures: SheetFigures,
  kind: Choice['kind'],
  firstJar: number,
  lastJar: number,
  bottlingAbv: number,
  compounds: Compounds | null = null,
): Choice | null {
  const taken = figures.jars.slice(firstJar - 1, lastJar);
  const parts = taken.flatMap(({ volumeL, strengthAbv, sampleTempC }) =>
    volumeL === null || strengthAbv === null
      ? []
      : [{ amount: { kind: 'volume' as const, volumeL, tempC: sampleTempC }, strengthAbv }],
  );
  if (parts.length === 0 || parts.length < taken.length) return null;
  const blended = blend(parts);
  if (blended.kind === 'bad') return null;
  const { volume20L, strength, alcoholL, massKg } = blended.value;
  const inJars = figures.jars.reduce((sum, jar) => sum + (jar.alcoholL ?? 0), 0);
  const reduced =
    strength.strengthAbv > bottlingAbv
      ? reduce({ amount: { kind: 'mass', massKg }, strengthAbv: strength.strengthAbv, targetAbv: bottlingAbv })
      : null;
  const lastJarAbv = taken[taken.length - 1]!.strengthAbv!;
  return {
    kind,
    firstJar,
    lastJar,
    volume20L,
    strengthAbv: strength.strengthAbv,
    alcoholL,
    shareOfRunPercent: (100 * alcoholL) / inJars,
    shareOfChargePercent: (100 * alcoholL) / figures.chargeAlcoholL,
    feintsAlcoholL: inJars - alcoholL,
    bottling:
      reduced?.kind === 'ok'
        ? {
            strengthAbv: bottlingAbv,
            waterL: reduced.value.waterL,
            waterKg: reduced.value.waterKg,
            volume20L: reduced.value.volume20L,
          }
        : null,
    estimated: taken.some((jar) => jar.strengthBy !== 'measured'),
    lastJarAbv,
    compounds: outlook(
      compounds,
      figures.changeovers[firstJar - 1]?.sharePercent ?? null,
      figures.changeovers[lastJar]?.sharePercent ?? null,
    ),
    notes: notesOf(strength.strengthAbv, lastJarAbv, bottlingAbv),
  };
}

function notesOf(strengthAbv: number, lastJarAbv: number, bottlingAbv: number): Reason[] {
  const notes: Reason[] = [];
  const deep = lastJarAbv < deepAbv;
  const numbers = { lastJarVolPercent: 100 * lastJarAbv, bottlingVolPercent: 100 * bottlingAbv };
  if (bottlingAbv < cloudingAbv) {
    notes.push({ code: deep ? 'jars.caution-clouding-deep' : 'jars.caution-clouding', numbers });
  }
  notes.push({ code: deep ? 'jars.ageing-deep' : 'jars.ageing-clean', numbers });
  if (strengthAbv <= bottlingAbv) {
    notes.push({ code: 'jars.caution-too-weak', numbers: { ...numbers, strengthVolPercent: 100 * strengthAbv } });
  }
  return notes;
}

/**
 * The choice as tasted beside one jar more or less at either end, so that the distiller sees what each is worth.
 *
 * @param figures a sheet worked out
 * @param selection the jars of a variant
 * @param bottlingAbv strength wanted in the bottle [0..1]
 * @param fit pot course for the minor compounds; null leaves them out
 */
export function weighChoices(
  figures: SheetFigures,
  selection: Selection,
  bottlingAbv: number,
  fit: PotFit | null,
): readonly Choice[] {
  const { firstJar, lastJar } = selection;
  const compounds = compoundsOf(fit);
  const all: readonly (readonly [Choice['kind'], number, number])[] = [
    ['as-tasted', firstJar, lastJar],
    ['heads-earlier', firstJar - 1, lastJar],
    ['heads-later', firstJar + 1, lastJar],
    ['tails-earlier', firstJar, lastJar - 1],
    ['tails-later', firstJar, lastJar + 1],
  ];
  return all.flatMap(([kind, first, last]) => {
    const possible = first > figures.sheet.foreshotsJars && first >= 1 && last <= figures.jars.length && first <= last;
    if (!possible && kind !== 'as-tasted') return [];
    const choice = weighChoice(figures, kind, first, last, bottlingAbv, compounds);
    return choice === null ? [] : [choice];
  });
}

/** Pure alcohol of the jars and of the foreshots before them [L at 20 °C]; null where a strength or volume is missing. */
export function collectedAlcoholL(figures: SheetFigures): number | null {
  return figures.changeovers[figures.changeovers.length - 1]?.alcoholL ?? null;
}

/** Alcohol of a blend added up jar by jar, for checks: the same as the blend's own. */
export function alcoholOfJarsL(figures: SheetFigures, firstJar: number, lastJar: number): number {
  return figures.jars
    .slice(firstJar - 1, lastJar)
    .reduce((sum, jar) => sum + pureAlcoholL(jar.volumeL ?? 0, jar.strengthAbv ?? 0, jar.sampleTempC), 0);
}
