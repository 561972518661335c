import { type EquilibriumTable, tabulateEquilibrium } from '../physics';
import type { SheetFigures } from './figures';
import { type CoursePoint, courseAt, potCourse } from './pot-course';

/** The pot course that comes nearest to the jars of a sheet. */
export interface PotFit {
  readonly strengthAbv: number;
  /** Share of the vapour that the head lets run back. */
  readonly refluxShare: number;
  /** Distance of the sheet's vapour temperatures from the course [K, root mean square]; null where none could be compared. */
  readonly distanceK: number | null;
  /** Fitted to the sheet, or assumed because the sheet says too little or behaves otherwise. */
  readonly basis: 'fitted' | 'assumed';
  readonly table: EquilibriumTable;
  readonly course: readonly CoursePoint[];
}

/** Reflux of a small copper pot with a bare head; our own figure, of the simulated still. */
const usualReflux = 0.2;
/** Beyond this the sheet does not behave like the model, and its reflux would mean nothing [K]. */
const farK = 1.5;

/** A vapour temperature and where in the run it was. */
export interface SeenVapour {
  readonly sharePercent: number;
  readonly vapourC: number;
}

function distance(course: readonly CoursePoint[], seen: readonly SeenVapour[]): number {
  const squares = seen.map((one) => (courseAt(course, 'vapourC', one.sharePercent) - one.vapourC) ** 2);
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length);
}

/** Lowest point of a function with one valley, by golden section. */
function lowest(of: (value: number) => number, from: number, to: number, steps: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let low = from;
  let high = to;
  let left = high - golden * (high - low);
  let right = low + golden * (high - low);
  let atLeft = of(left);
  let atRight = of(right);
  for (let i = 0; i < steps; i++) {
    if (atLeft < atRight) {
      high = right;
      right = left;
      atRight = atLeft;
      left = high - golden * (high - low);
      atLeft = of(left);
    } else {
      low = left;
      left = right;
      atLeft = atRight;
      right = low + golden * (high - low);
      atRight = of(right);
    }
  }
  return atLeft < atRight ? left : right;
}

/**
 * Finds the reflux of a pot still from vapour temperatures along a run.
 *
 * Least squares of the vapour temperature over the share of the alcohol come over. The first 2 % and the last 3 % are passed over: light heads hold
 * the vapour colder, and at the end small errors of share are many kelvin.
 *
 * @param strengthAbv strength of the charge [0..1 at 20 °C]
 * @param along vapour temperatures at the pressure of the table
 * @param table equilibrium
 * @returns the fit; null for a charge the course cannot follow. Assumed (reflux 0.2) below three comparable temperatures or when the nearest course
 * stays more than 1.5 K away
 */
export function fitReflux(strengthAbv: number, along: readonly SeenVapour[], table: EquilibriumTable): PotFit | null {
  const assumed = potCourse(strengthAbv, usualReflux, table);
  if (assumed.length === 0) return null;
  const seen = along.filter((one) => one.sharePercent >= 2 && one.sharePercent <= 97);
  const fallback: PotFit = {
    strengthAbv,
    refluxShare: usualReflux,
    distanceK: seen.length === 0 ? null : distance(assumed, seen),
    basis: 'assumed',
    table,
    course: assumed,
  };
  if (seen.length < 3) return fallback;
  const refluxShare = lowest((reflux) => distance(potCourse(strengthAbv, reflux, table), seen), 0, 0.8, 14);
  const course = potCourse(strengthAbv, refluxShare, table);
  const distanceK = distance(course, seen);
  return distanceK > farK ? fallback : { strengthAbv, refluxShare, distanceK, basis: 'fitted', table, course };
}

/** The reflux of a pot still from the jars of a sheet, as fitReflux; null for a column. */
export function fitPot(figures: SheetFigures): PotFit | null {
  if (figures.sheet.still.kind === 'column') return null;
  const along = figures.changeovers.flatMap(({ sharePercent, vapourAtReferenceC }): SeenVapour[] =>
    sharePercent === null || vapourAtReferenceC === null ? [] : [{ sharePercent, vapourC: vapourAtReferenceC }],
  );
  return fitReflux(figures.sheet.charge.strengthVolPercent / 100, along, tabulateEquilibrium(figures.referenceHPa));
}

/** What the vapour temperature at one share of the alcohol does when the run is not quite the same. */
export interface PotSensitivity {
  /** Rise of the vapour along the run [K per % of the charge's alcohol]. */
  readonly slopeKPerPercent: number;
  /** For a charge 1 % vol stronger [K]: negative, for a stronger liquid boils colder. */
  readonly perVolPercentK: number;
  /** For 1 % more heat [K]: positive, for the head's share of condensed vapour falls. */
  readonly perHeatPercentK: number;
}

/**
 * How the vapour temperature at a share of the alcohol depends on charge and heat, by central differences of the pot course.
 *
 * The head is taken to condense the same amount whatever the heat, so its share goes with the inverse of the heat.
 *
 * @param sharePercent alcohol come over [%]
 * @returns the three slopes
 * Accuracy: about a fifth; the model is one number. At 10 % come over of a 30 % vol charge with a fifth of reflux: 0.04 K per %, −0.19 K per % vol,
 * 0.02 K per % of heat, so that 1 % vol or a tenth of the heat moves a cut by temperature by about 5 % of the alcohol.
 */
export function potSensitivity(fit: PotFit, sharePercent: number): PotSensitivity {
  const at = (course: readonly CoursePoint[], share: number) => courseAt(course, 'vapourC', share);
  const stronger = potCourse(fit.strengthAbv + 0.005, fit.refluxShare, fit.table);
  const weaker = potCourse(fit.strengthAbv - 0.005, fit.refluxShare, fit.table);
  const more = potCourse(fit.strengthAbv, fit.refluxShare / 1.05, fit.table);
  const less = potCourse(fit.strengthAbv, Math.min(0.9, fit.refluxShare / 0.95), fit.table);
  return {
    slopeKPerPercent: (at(fit.course, sharePercent + 1.5) - at(fit.course, sharePercent - 1.5)) / 3,
    perVolPercentK: at(stronger, sharePercent) - at(weaker, sharePercent),
    perHeatPercentK: (at(more, sharePercent) - at(less, sharePercent)) / 10,
  };
}
