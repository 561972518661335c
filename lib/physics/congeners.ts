import { standardAirPressureHPa, zeroCelsiusK } from './constants';
import { bubbleTempC } from './equilibrium';

/*
 * How strongly traces of minor compounds go with the vapour. PREDICTIONS of a group-contribution model (modified UNIFAC, Dortmund 2006) with
 * Wagner vapour pressures, not measurements: good for showing where heads and tails lie in a simulated run, never as an analysis of a spirit.
 * Published constants for the same pairs disagree strongly for ethyl acetate at low ethanol (about 3 against 11 for its volatility relative to
 * ethanol at x = 0.01) and for isoamyl alcohol (crossover near x = 0.03 against 0.13); methanol agrees within about 15 %.
 */

/** True of every number from this module: a prediction. Show it wherever the numbers are shown. */
export const congenersArePredictions = true;

interface Congener {
  /** ln of the activity coefficient at infinite dilution as a polynomial in x, on the boiling line at 1013.25 hPa. */
  readonly lnGamma: readonly [number, number, number, number, number];
  /** ln of the saturation pressure in hPa at 360 K, and its slope over 1/T [K]. */
  readonly lnSaturationAt360K: number;
  readonly slopeK: number;
}

const congeners = {
  acetaldehyde: {
    lnGamma: [1.72174, -6.75479, 13.4684, -13.3364, 5.18008],
    lnSaturationAt360K: 8.92428,
    slopeK: -3143.0,
  },
  'ethyl acetate': {
    lnGamma: [4.27745, -11.8154, 18.6618, -16.0924, 5.7392],
    lnSaturationAt360K: 7.2296,
    slopeK: -4002.5,
  },
  methanol: {
    lnGamma: [0.834023, -3.28836, 5.72384, -5.13349, 1.86767],
    lnSaturationAt360K: 7.73786,
    slopeK: -4423.9,
  },
  acetone: {
    lnGamma: [2.17393, -7.65338, 13.0182, -10.8842, 3.95013],
    lnSaturationAt360K: 7.86999,
    slopeK: -3620.7,
  },
  '1-propanol': {
    lnGamma: [2.71305, -9.31821, 15.0484, -13.1499, 4.75038],
    lnSaturationAt360K: 6.51502,
    slopeK: -5278.0,
  },
  isobutanol: {
    lnGamma: [3.67759, -11.6956, 17.859, -15.0957, 5.33638],
    lnSaturationAt360K: 6.08915,
    slopeK: -5520.5,
  },
  'isoamyl alcohol': {
    lnGamma: [4.65658, -14.0528, 20.5983, -16.9481, 5.88028],
    lnSaturationAt360K: 5.16899,
    slopeK: -6009.6,
  },
  'acetic acid': {
    lnGamma: [1.12535, -3.90876, 6.58445, -5.51362, 1.88865],
    lnSaturationAt360K: 5.87751,
    slopeK: -4781.2,
  },
  furfural: {
    lnGamma: [3.8915, -11.2085, 21.9769, -22.1439, 8.63996],
    lnSaturationAt360K: 4.36965,
    slopeK: -5529.9,
  },
} as const satisfies Record<string, Congener>;

/** A minor compound known by name. */
export type CongenerName = keyof typeof congeners;

/** All minor compounds, those that lead the run first. */
export const congenerNames = Object.freeze(Object.keys(congeners)) as readonly CongenerName[];

/**
 * Volatility of a trace of a minor compound: its mole fraction in the vapour over that in the liquid.
 *
 * K = γ∞(x) · psat(T) / P
 *
 * @param name the compound
 * @param x mole fraction of ethanol in the liquid [0..1]
 * @param tempC boiling temperature [°C, 60..105]; the liquid's own at this pressure unless given
 * @param pressureHPa absolute (station) pressure [hPa, 500..1100]; 1013.25 unless given
 * @returns volatility [–]; NaN outside the range of x or pressure
 * Accuracy: a prediction; it repeats the model within 3 %, the model itself may be wrong by a factor of two or three (see above). The change of γ∞
 * with temperature at other pressures is left out.
 * @example congenerVolatility('methanol', 0.1) // 3.8, a prediction
 * Source: predicted with modified UNIFAC (Dortmund) 2006 and the vapour pressures of Poling et al. and the VDI Heat Atlas.
 */
export function congenerVolatility(
  name: CongenerName,
  x: number,
  tempC?: number,
  pressureHPa: number = standardAirPressureHPa,
): number {
  const boilingC = tempC ?? bubbleTempC(x, pressureHPa);
  if (!(x >= 0 && x <= 1) || !(pressureHPa > 0)) return Number.NaN;
  const { lnGamma, lnSaturationAt360K, slopeK } = congeners[name];
  const [g0, g1, g2, g3, g4] = lnGamma;
  const lnActivity = g0 + x * (g1 + x * (g2 + x * (g3 + x * g4)));
  const lnSaturation = lnSaturationAt360K + slopeK * (1 / (boilingC + zeroCelsiusK) - 1 / 360);
  return Math.exp(lnActivity + lnSaturation) / pressureHPa;
}
