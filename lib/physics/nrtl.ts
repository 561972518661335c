import { ethanolSaturationAtKelvinHPa } from './ethanol';
import { waterSaturationAtKelvinHPa } from './water';

/*
 * The inner loop of every equilibrium solver. Results go into one scratch array instead of objects or returned pairs, because the engine and
 * the simulator call this some hundred thousand times a second and must not feed the garbage collector. Nothing is remembered between public
 * calls: each sets the temperature and the composition before it reads.
 */

// Source: the NRTL equation of Renon & Prausnitz, AIChE J. 14 (1968) 135; constants refitted to the published sets of accuracy.md together with the
// two vapour-pressure equations used here, never to be mixed with others. 1 = ethanol, 2 = water.
const a12 = -0.6199;
const b12K = 203.89;
const a21 = 3.182;
const b21K = -491.43;
const alpha = 0.3369;

/** Where each number lies in the scratch array: temperature, composition and pressure are set by the caller, the rest is worked out. */
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
  totalHPa: 9,
  tempK: 10,
  x: 11,
  lnPressure: 12,
  lnVolatility: 13,
  lnPressureSlope: 14,
} as const;

// Numbers go in and out through this array and not as arguments, because V8 puts a double on the heap whenever it crosses a call.
export const scratch = new Float64Array(15);

/** Works out all that depends on temperature alone, from `scratch[slot.tempK]`. */
export function evaluateTemperature(): void {
  const tempK = scratch[slot.tempK]!;
  const tau12 = a12 + b12K / tempK;
  const tau21 = a21 + b21K / tempK;
  scratch[slot.tau12] = tau12;
  scratch[slot.tau21] = tau21;
  scratch[slot.g12] = Math.exp(-alpha * tau12);
  scratch[slot.g21] = Math.exp(-alpha * tau21);
  scratch[slot.ethanolSaturationHPa] = ethanolSaturationAtKelvinHPa(tempK);
  scratch[slot.waterSaturationHPa] = waterSaturationAtKelvinHPa(tempK);
}

/** Works out activities and pressures for the liquid of mole fraction `scratch[slot.x]` at the temperature evaluated before. */
export function evaluateComposition(): void {
  const x = scratch[slot.x]!;
  const water = 1 - x;
  const tau12 = scratch[slot.tau12]!;
  const tau21 = scratch[slot.tau21]!;
  const g12 = scratch[slot.g12]!;
  const g21 = scratch[slot.g21]!;
  const share21 = g21 / (x + water * g21);
  const share12 = g12 / (water + x * g12);
  const lnGammaEthanol = water * water * (tau21 * share21 * share21 + (tau12 * share12 * share12) / g12);
  const lnGammaWater = x * x * (tau12 * share12 * share12 + (tau21 * share21 * share21) / g21);
  const ethanolPartialHPa = x * Math.exp(lnGammaEthanol) * scratch[slot.ethanolSaturationHPa]!;
  scratch[slot.lnGammaEthanol] = lnGammaEthanol;
  scratch[slot.lnGammaWater] = lnGammaWater;
  scratch[slot.ethanolPartialHPa] = ethanolPartialHPa;
  scratch[slot.totalHPa] = ethanolPartialHPa + water * Math.exp(lnGammaWater) * scratch[slot.waterSaturationHPa]!;
}

/** Works out everything for a liquid at a temperature; for callers outside the solvers' loops. */
export function evaluate(x: number, tempK: number): void {
  scratch[slot.tempK] = tempK;
  scratch[slot.x] = x;
  evaluateTemperature();
  evaluateComposition();
}

/** Works out ln α, the volatility of ethanol relative to water, for the liquid evaluated before: 0 at the azeotrope. */
export function evaluateVolatility(): void {
  const saturations = scratch[slot.ethanolSaturationHPa]! / scratch[slot.waterSaturationHPa]!;
  scratch[slot.lnVolatility] = scratch[slot.lnGammaEthanol]! - scratch[slot.lnGammaWater]! + Math.log(saturations);
}

/**
 * Works out d ln P/dx at constant temperature for the liquid evaluated before.
 *
 * Gibbs and Duhem: d ln P/dx = (y − x) · d ln(x γ1)/dx / (1 − x)
 */
export function evaluatePressureSlope(): void {
  const x = scratch[slot.x]!;
  const water = 1 - x;
  const g12 = scratch[slot.g12]!;
  const g21 = scratch[slot.g21]!;
  const sum21 = x + water * g21;
  const sum12 = water + x * g12;
  const curvature =
    (-2 * scratch[slot.tau21]! * g21 * g21) / (sum21 * sum21 * sum21) -
    (2 * scratch[slot.tau12]! * g12 * g12) / (sum12 * sum12 * sum12);
  const y = scratch[slot.ethanolPartialHPa]! / scratch[slot.totalHPa]!;
  scratch[slot.lnPressureSlope] = ((y - x) * (1 / x + water * curvature)) / water;
}
