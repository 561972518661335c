import { type CoursePoint, courseAt, fitReflux, type PotFit, potCourse } from '../jars';
import { shiftBoilerTemp, shiftVapourTemp, tabulateEquilibrium } from '../physics';
import { type ComparedRun, grid, type Profile, profileOf, type Quantity } from './profile';

/** What can make a run differ. */
export const causes = [
  'charge-strength',
  'charge-misjudged',
  'heating',
  'reflux',
  'vapour-probe',
  'boiler-probe',
  'air-pressure',
  'share-counted',
  'light-heads',
] as const;
export type CauseOfDifference = (typeof causes)[number];

/** What one unit of a cause does to every quantity along the run; null where it cannot be told. */
export interface Signature {
  readonly cause: CauseOfDifference;
  readonly effect: Readonly<Record<Quantity, readonly (number | null)[]>>;
}

type Effect = Signature['effect'];

function fill(of: (share: number, index: number) => number | null): (number | null)[] {
  return grid.map((share, index) => {
    const value = of(share, index);
    return value === null || Number.isFinite(value) ? value : null;
  });
}

const none = fill(() => 0);

interface Shifted {
  readonly course: readonly CoursePoint[];
  /** Share in that course for a share as counted. */
  readonly share?: (counted: number) => number;
}

/** Difference of two courses over a step of the cause. */
function between(low: Shifted, high: Shifted, step: number, rate: readonly (number | null)[] = none): Effect {
  const at = (one: Shifted, field: 'vapourC' | 'boilerC' | 'strengthAbv', share: number) =>
    courseAt(one.course, field, one.share?.(share) ?? share);
  const slope = (field: 'vapourC' | 'boilerC' | 'strengthAbv') =>
    fill((share) => (at(high, field, share) - at(low, field, share)) / step);
  return { vapour: slope('vapourC'), boiler: slope('boilerC'), strength: slope('strengthAbv'), rate };
}

/** The pot signatures: one unit is 1 % vol of charge strength, 1 % of heat, 0.01 of reflux, 1 % of share. */
function potSignatures(fit: PotFit, profile: Profile): Signature[] {
  const { strengthAbv, refluxShare, table, course } = fit;
  const strong = potCourse(strengthAbv + 0.005, refluxShare, table);
  const weak = potCourse(strengthAbv - 0.005, refluxShare, table);
  const scaled = (trueAbv: number) => (share: number) => (share * strengthAbv) / trueAbv;
  const more = potCourse(strengthAbv, refluxShare / 1.05, table);
  const less = potCourse(strengthAbv, Math.min(0.9, refluxShare / 0.95), table);
  const wetter = potCourse(strengthAbv, Math.min(0.9, refluxShare + 0.01), table);
  const drier = potCourse(strengthAbv, Math.max(0, refluxShare - 0.01), table);
  const span = (Math.min(0.9, refluxShare + 0.01) - Math.max(0, refluxShare - 0.01)) / 0.01;
  const rate = (perUnit: number) => fill((_, index) => ofRate(profile, index, perUnit));
  return [
    { cause: 'charge-strength', effect: between({ course: weak }, { course: strong }, 1) },
    {
      cause: 'charge-misjudged',
      effect: between(
        { course: weak, share: scaled(strengthAbv - 0.005) },
        { course: strong, share: scaled(strengthAbv + 0.005) },
        1,
      ),
    },
    { cause: 'heating', effect: between({ course: less }, { course: more }, 10, rate(0.01 / (1 - refluxShare))) },
    { cause: 'reflux', effect: between({ course: drier }, { course: wetter }, span, rate(-0.01 / (1 - refluxShare))) },
    {
      cause: 'share-counted',
      effect: between({ course, share: (share) => share / 0.99 }, { course, share: (share) => share / 1.01 }, 2),
    },
  ];
}

function ofRate(profile: Profile, index: number, part: number): number | null {
  const rate = profile.rate[index];
  return rate == null ? null : rate * part;
}

/** Light heads hold the vapour down at the front of the run, and are gone after a tenth of the alcohol. */
const headsPercent = 4;

/** Signatures that need no model: probes, air pressure, light heads. One unit is 1 K or 1 hPa. */
function plainSignatures(profile: Profile, referenceHPa: number): Signature[] {
  const ones = fill(() => 1);
  // Compare at another pressure than the right one, and both temperatures are moved too far.
  const high = referenceHPa < 1099;
  const moved = (shift: typeof shiftVapourTemp, quantity: 'vapour' | 'boiler') =>
    fill((_, index) => {
      const tempC = profile[quantity][index];
      if (tempC == null) return null;
      const hereC = shift(tempC, referenceHPa, referenceHPa + (high ? 1 : -1));
      return high ? tempC - hereC : hereC - tempC;
    });
  return [
    { cause: 'vapour-probe', effect: { vapour: ones, boiler: none, strength: none, rate: none } },
    { cause: 'boiler-probe', effect: { vapour: none, boiler: ones, strength: none, rate: none } },
    {
      cause: 'air-pressure',
      effect: {
        vapour: moved(shiftVapourTemp, 'vapour'),
        boiler: moved(shiftBoilerTemp, 'boiler'),
        strength: none,
        rate: none,
      },
    },
    {
      cause: 'light-heads',
      effect: { vapour: fill((share) => -Math.exp(-share / headsPercent)), boiler: none, strength: none, rate: none },
    },
  ];
}

/**
 * What every known cause would do to runs like the reference.
 *
 * @param reference the run the recipe came from
 * @param isPot whether the still is a pot; for a column only probes, pressure and light heads have a signature
 */
export function signaturesOf(reference: ComparedRun, isPot: boolean): readonly Signature[] {
  const profile = profileOf(reference);
  const plain = plainSignatures(profile, reference.referenceHPa);
  if (!isPot) return plain;
  const along = grid.flatMap((sharePercent, index) => {
    const vapourC = profile.vapour[index];
    return vapourC == null ? [] : [{ sharePercent, vapourC }];
  });
  const fit = fitReflux(reference.charge.strengthAbv, along, tabulateEquilibrium(reference.referenceHPa));
  return fit === null ? plain : [...potSignatures(fit, profile), ...plain];
}
