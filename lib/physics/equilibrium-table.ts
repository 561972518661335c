import { standardAirPressureHPa } from './constants';
import { bubblePoint } from './equilibrium';
import { abvFromMoleFraction } from './strength';

/** Equilibrium at one pressure as a table over ln x, the water side of the azeotrope. */
export interface EquilibriumTable {
  readonly pressureHPa: number;
  readonly lnX: readonly number[];
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly tempC: readonly number[];
  /** Strength of the vapour condensed [0..1 at 20 °C]. */
  readonly abvOfY: readonly number[];
}

/** The richest liquid of a table [mole fraction]: short of the azeotrope, beyond which one temperature belongs to two liquids. */
export const tableEndsAtX = 0.88;

/**
 * Tabulates boiling liquids, for marching through a run cheaply.
 *
 * @param pressureHPa air pressure [hPa, 500..1100]; 1013.25 unless given
 * @param points number of liquids [2 or more]; 140 unless given
 * @param lowestX the weakest liquid [mole fraction, 0..0.88]; 0.0002 unless given
 * @returns liquids from the weakest to x = 0.88, evenly in ln x
 * Accuracy: at its points that of bubblePoint; between 140 of them 0.01 K and 0.0005 in y.
 * Outside the range of pressures: temperatures and y are NaN.
 * Source: the NRTL refit in accuracy.md.
 */
export function tabulateEquilibrium(
  pressureHPa: number = standardAirPressureHPa,
  points = 140,
  lowestX = 2e-4,
): EquilibriumTable {
  const from = Math.log(lowestX);
  const step = (Math.log(tableEndsAtX) - from) / (points - 1);
  const lnX = Array.from({ length: points }, (_, i) => from + i * step);
  const x = lnX.map(Math.exp);
  const bubbles = x.map((one) => bubblePoint(one, pressureHPa));
  const y = bubbles.map((one) => one.y);
  return { pressureHPa, lnX, x, y, tempC: bubbles.map(({ tempC }) => tempC), abvOfY: y.map(abvFromMoleFraction) };
}
