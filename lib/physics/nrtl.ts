import { ethanolSaturationAtKelvinHPa } from './ethanol';
import { waterSaturationAtKelvinHPa } from './water';

/*
 * The inner loop of every equilibrium solver. Results go into one scratch array instead of objects or returned pairs, because the engine and
 * the simulator call this some hundred thousand times a second and must not feed the garbage collector. Nothing is remembered between public
 * calls: each sets the temperature and the composition before it reads.
 */

// Refit to published sets together with the two vapour-pressure equations used here; never to be mixed with others. 1 = ethanol, 2 = water.
const a12 = -0.6199;
const b12K = 203.89;
const a21 = 3.182;
const b21K = -491.43;
const alpha = 0.3369;

/** Where each number lies in the scratch array. */
export const slot = {
  tau12: 0,
  tau21: 1,
  g12: 2,
  g21: 3,
  ethanolSaturationHPa: 4,
  waterSaturationHPa: 5,
  lnGammaEthanol: 6,
  lnGammaWater: 7,
  ethanolPartialHPa: 8,
  waterPartialHPa: 9,
} as const;

export const scratch = new Float64Array(10);

/** Works out all that depends on temperature alone. */
export function setTemperature(tempK: number): void {
  const tau12 = a12 + b12K / tempK;
  const tau21 = a21 + b21K / tempK;
  scratch[0] = tau12;
  scratch[1] = tau21;
  scratch[2] = Math.exp(-alpha * tau12);
  scratch[3] = Math.exp(-alpha * tau21);
  scratch[4] = ethanolSaturationAtKelvinHPa(tempK);
  scratch[5] = waterSaturationAtKelvinHPa(tempK);
}

/** Works out activities and partial pressures for a liquid of mole fraction x at the temperature set before. */
export function setComposition(x: number): void {
  const water = 1 - x;
  const tau12 = scratch[0]!;
  const tau21 = scratch[1]!;
  const g12 = scratch[2]!;
  const g21 = scratch[3]!;
  const share21 = g21 / (x + water * g21);
  const share12 = g12 / (water + x * g12);
  const lnGammaEthanol = water * water * (tau21 * share21 * share21 + (tau12 * share12 * share12) / g12);
  const lnGammaWater = x * x * (tau12 * share12 * share12 + (tau21 * share21 * share21) / g21);
  scratch[6] = lnGammaEthanol;
  scratch[7] = lnGammaWater;
  scratch[8] = x * Math.exp(lnGammaEthanol) * scratch[4]!;
  scratch[9] = water * Math.exp(lnGammaWater) * scratch[5]!;
}

/** Total pressure over the liquid set before [hPa]. */
export function totalPressureHPa(): number {
  return scratch[8]! + scratch[9]!;
}

/** Logarithm of the volatility of ethanol relative to water for the liquid set before: 0 at the azeotrope. */
export function lnRelativeVolatility(): number {
  return scratch[6]! - scratch[7]! + Math.log(scratch[4]! / scratch[5]!);
}
