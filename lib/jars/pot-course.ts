import {
  type CongenerName,
  congenerVolatility,
  type EquilibriumTable,
  moleFractionFromAbv,
  tableEndsAtX,
} from '../physics';

/*
 * A pot still in one number: the share of the vapour that the head condenses and lets run back. It is fitted to the jars of a development run and
 * then answers what a stronger charge or another heat would have done to the vapour temperature. A rough model, good for differences.
 */

/** One moment of a run: what comes over, and what is still in the boiler. */
export interface CoursePoint {
  /** Alcohol come over [% of the charge's]. */
  readonly sharePercent: number;
  readonly vapourC: number;
  readonly boilerC: number;
  readonly strengthAbv: number;
  /** Ethanol in the boiler [mole fraction]. */
  readonly boilerX: number;
  /** Liquid on the head's wall, in balance with the vapour that leaves [mole fraction]. */
  readonly headX: number;
  /** Moles left in the boiler of one mole charged. */
  readonly left: number;
}

/** Index i with values[i] <= wanted < values[i + 1], of a rising list; ends are clamped. */
function bracket(values: readonly number[], wanted: number): number {
  let low = 0;
  let high = values.length - 2;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (values[middle]! <= wanted) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** Straight line through a table of two lists; its ends are not passed. */
export function interpolate(from: readonly number[], to: readonly number[], wanted: number): number {
  const i = bracket(from, wanted);
  const span = from[i + 1]! - from[i]!;
  const place = span === 0 ? 0 : Math.min(1, Math.max(0, (wanted - from[i]!) / span));
  return to[i]! + place * (to[i + 1]! - to[i]!);
}

const courseSteps = 160;

/**
 * The course of a pot run by Rayleigh's equation, the head working as a partial condenser.
 *
 * Vapour of the boiler y(x) = (1 − r) yd + r xd, xd in balance with yd; dln n = dx / (yd − x); share = 1 − n x / x0.
 *
 * @param strengthAbv strength of the charge [0..1 at 20 °C]
 * @param refluxShare share r of the vapour that runs back [0..0.9]
 * @param table equilibrium at the pressure wanted
 * @returns the course, first drop first, until the boiler holds x = 0.0005
 * Accuracy: a bare pot (r = 0) within 0.1 % of the charge's alcohol of the integral in lib/proofing. Hold-up of the head and minor compounds are left out.
 * Outside the range: an empty list.
 * Source: Lord Rayleigh, Phil. Mag. 4 (1902) 521; partial condensation as one balance stage.
 */
export function potCourse(strengthAbv: number, refluxShare: number, table: EquilibriumTable): readonly CoursePoint[] {
  const x0 = moleFractionFromAbv(strengthAbv);
  const lowest = 5e-4;
  if (!(x0 > 2 * lowest && x0 < tableEndsAtX && refluxShare >= 0 && refluxShare <= 0.9)) return [];
  const mixed = table.y.map((y, i) => (1 - refluxShare) * y + refluxShare * table.x[i]!);
  const from = Math.log(x0);
  const step = (Math.log(lowest) - from) / courseSteps;
  const course: CoursePoint[] = [];
  let lnLeft = 0;
  let slopeBefore = Number.NaN;
  for (let i = 0; i <= courseSteps; i++) {
    const boilerLnX = from + i * step;
    const boilerX = Math.exp(boilerLnX);
    const boilerY = interpolate(table.lnX, table.y, boilerLnX);
    const headLnX = interpolate(mixed, table.lnX, boilerY);
    const slope = boilerX / (interpolate(table.lnX, table.y, headLnX) - boilerX);
    if (i > 0) lnLeft += (step * (slope + slopeBefore)) / 2;
    slopeBefore = slope;
    const left = Math.exp(lnLeft);
    course.push({
      sharePercent: 100 * (1 - (left * boilerX) / x0),
      vapourC: interpolate(table.lnX, table.tempC, headLnX),
      boilerC: interpolate(table.lnX, table.tempC, boilerLnX),
      strengthAbv: interpolate(table.lnX, table.abvOfY, headLnX),
      boilerX,
      headX: Math.exp(headLnX),
      left,
    });
  }
  return course;
}

/** A figure of the course at a share of the charge's alcohol come over [%]; NaN for an empty course. */
export function courseAt(
  course: readonly CoursePoint[],
  field: 'vapourC' | 'boilerC' | 'strengthAbv' | 'boilerX' | 'headX' | 'left',
  sharePercent: number,
): number {
  if (course.length < 2) return Number.NaN;
  return interpolate(
    course.map((point) => point.sharePercent),
    course.map((point) => point[field]),
    sharePercent,
  );
}

/**
 * How much of a minor compound has come over when a share of the alcohol has: a PREDICTION.
 *
 * dln m = K' dln n, with K' = K(x) / (1 − r + r / K(xd)); K by congenerVolatility.
 *
 * @param course from potCourse, with the same reflux and pressure
 * @returns for each point of the course the share of the compound come over [%]
 * Accuracy: the volatilities may be wrong by a factor of two or three; show only as a prediction.
 */
export function compoundCourse(
  course: readonly CoursePoint[],
  name: CongenerName,
  refluxShare: number,
  pressureHPa: number,
): readonly number[] {
  const leaving = course.map((point) => {
    const overBoiler = congenerVolatility(name, point.boilerX, point.boilerC, pressureHPa);
    const overHead = congenerVolatility(name, point.headX, point.vapourC, pressureHPa);
    return overBoiler / (1 - refluxShare + refluxShare / overHead);
  });
  let lnLeft = 0;
  return course.map((point, i) => {
    if (i > 0) {
      const dLnMoles = Math.log(point.left / course[i - 1]!.left);
      lnLeft += (dLnMoles * (leaving[i]! + leaving[i - 1]!)) / 2;
    }
    return 100 * (1 - Math.exp(lnLeft));
  });
}
