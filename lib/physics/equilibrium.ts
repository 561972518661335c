import { zeroCelsiusK } from './constants';
import { ethanolBoilingPointC } from './ethanol';
import { evaluate, evaluateComposition, evaluateTemperature, evaluateVolatility, scratch, slot } from './nrtl';
import { waterBoilingPointC } from './water';

/*
 * Ethanol-water vapour-liquid equilibrium: NRTL activities over the Wagner and IF97 vapour pressures, ideal vapour.
 * Valid 500..1100 hPa. The accuracy against published sets stands in accuracy.md. A number that can't be had is NaN.
 */

const firstGuessC = 82;

/** Activity coefficients of ethanol and water. */
export interface ActivityCoefficients {
  readonly ethanol: number;
  readonly water: number;
}

/** A liquid's boiling temperature and the vapour it gives. */
export interface BubblePoint {
  readonly tempC: number;
  readonly y: number;
}

/** A vapour's condensing temperature and the liquid in balance with it. */
export interface DewPoint {
  readonly tempC: number;
  readonly x: number;
}

/** The composition that boils unchanged. */
export interface Azeotrope {
  readonly x: number;
  readonly tempC: number;
}

/**
 * Activity coefficients in the liquid.
 *
 * NRTL, τij = aij + bij/T, Gij = exp(−α τij).
 *
 * @param x mole fraction of ethanol in the liquid [0..1]
 * @param tempC temperature [°C, 27..110]
 * @returns activity coefficients [–]
 * Source: constants refitted to the sets named in accuracy.md; model after Renon & Prausnitz, AIChE J. 14 (1968) 135.
 */
export function activityCoefficients(x: number, tempC: number): ActivityCoefficients {
  evaluate(x, tempC + zeroCelsiusK);
  return { ethanol: Math.exp(scratch[slot.lnGammaEthanol]!), water: Math.exp(scratch[slot.lnGammaWater]!) };
}

/**
 * Pressure over a boiling liquid: x γ1 p1 + (1 − x) γ2 p2.
 *
 * @param x mole fraction of ethanol in the liquid [0..1]
 * @param tempC temperature [°C, 27..110]
 * @returns pressure [hPa]
 * Source: the NRTL refit in accuracy.md.
 */
export function bubblePressureHPa(x: number, tempC: number): number {
  evaluate(x, tempC + zeroCelsiusK);
  return scratch[slot.totalHPa]!;
}

/**
 * Vapour over a liquid at a temperature, whatever the pressure: y = x γ1 p1 / P [mole fraction].
 * Source: the NRTL refit in accuracy.md.
 */
export function vapourAtTemp(x: number, tempC: number): number {
  evaluate(x, tempC + zeroCelsiusK);
  return scratch[slot.ethanolPartialHPa]! / scratch[slot.totalHPa]!;
}

/** Boiling temperature of `slot.x` at `slot.lnPressure`, starting from `slot.tempK` and left there. Secant steps in ln P over 1/T. */
function solveBubble(): void {
  const target = scratch[slot.lnPressure]!;
  let reciprocal = 1 / scratch[slot.tempK]!;
  evaluateTemperature();
  evaluateComposition();
  let error = Math.log(scratch[slot.totalHPa]!) - target;
  // Clapeyron: the slope of ln P over 1/T is close to −ΔH/R of the mixture.
  let slopeK = -4950 - 130 * (1 - scratch[slot.x]!);
  for (let step = 0; step < 20; step++) {
    const next = reciprocal - error / slopeK;
    if (!(next > 0) || Math.abs(next - reciprocal) < 1e-18) break;
    scratch[slot.tempK] = 1 / next;
    evaluateTemperature();
    evaluateComposition();
    const nextError = Math.log(scratch[slot.totalHPa]!) - target;
    if (Math.abs(nextError) < 4e-16) break;
    if (nextError !== error) slopeK = (nextError - error) / (next - reciprocal);
    reciprocal = next;
    error = nextError;
  }
}

function isComposition(value: number): boolean {
  return value >= 0 && value <= 1;
}

function isSolvablePressure(pressureHPa: number): boolean {
  return pressureHPa >= 20 && pressureHPa <= 2000;
}

/**
 * Boiling temperature of a liquid, the fast form: no object is made, and a near guess saves steps.
 *
 * @param x mole fraction of ethanol in the liquid [0..1]
 * @param pressureHPa absolute (station) pressure [hPa, 500..1100]
 * @param guessC where to start [°C]; the last answer does well
 * @returns temperature [°C]; NaN when x is outside 0..1 or the pressure outside 20..2000 hPa
 * Source: the NRTL refit in accuracy.md.
 */
export function bubbleTempC(x: number, pressureHPa: number, guessC: number = firstGuessC): number {
  if (!isComposition(x) || !isSolvablePressure(pressureHPa)) return Number.NaN;
  if (x === 0) return waterBoilingPointC(pressureHPa);
  if (x === 1) return ethanolBoilingPointC(pressureHPa);
  scratch[slot.x] = x;
  scratch[slot.tempK] = (guessC > 0 && guessC < 150 ? guessC : firstGuessC) + zeroCelsiusK;
  scratch[slot.lnPressure] = Math.log(pressureHPa);
  solveBubble();
  return scratch[slot.tempK]! - zeroCelsiusK;
}

/**
 * Vapour over a boiling liquid, the fast form.
 *
 * @param x mole fraction of ethanol in the liquid [0..1]
 * @param pressureHPa absolute (station) pressure [hPa, 500..1100]
 * @param guessC where to start looking for the boiling temperature [°C]
 * @returns mole fraction of ethanol in the vapour [0..1]; NaN as bubbleTempC
 * Source: the NRTL refit in accuracy.md.
 */
export function vapourOverLiquid(x: number, pressureHPa: number, guessC: number = firstGuessC): number {
  if (x === 0 || x === 1) return isSolvablePressure(pressureHPa) ? x : Number.NaN;
  if (Number.isNaN(bubbleTempC(x, pressureHPa, guessC))) return Number.NaN;
  return scratch[slot.ethanolPartialHPa]! / scratch[slot.totalHPa]!;
}

/**
 * Bubble point: the temperature at which a liquid boils, and its first vapour.
 *
 * @param x mole fraction of ethanol in the liquid [0..1]
 * @param pressureHPa absolute (station) pressure [hPa, 500..1100]
 * @returns temperature [°C] and vapour mole fraction; NaN as bubbleTempC
 * Accuracy: 0.05 K and 0.003 in y against the best published set; the sets themselves differ by up to 0.65 K and 0.017 (accuracy.md).
 * Between 370 and 980 hPa there is hardly any measured set: there the model interpolates.
 * @example bubblePoint(0.1, 1013.25) // 86.01 °C, y 0.4501
 * Source: the NRTL refit in accuracy.md.
 */
export function bubblePoint(x: number, pressureHPa: number): BubblePoint {
  const tempC = bubbleTempC(x, pressureHPa);
  if (x === 0 || x === 1 || Number.isNaN(tempC)) return { tempC, y: Number.isNaN(tempC) ? Number.NaN : x };
  return { tempC, y: scratch[slot.ethanolPartialHPa]! / scratch[slot.totalHPa]! };
}

/** Liquid in balance with a vapour, by secant steps in the logit of x held inside a bracket; leaves the scratch array at the solution. */
function solveDewLiquid(y: number, pressureHPa: number): number {
  const target = Math.log(y / (1 - y));
  // Relative volatility stays between 0.5 and 50 over all compositions and pressures allowed here.
  let low = target - 3.9;
  let high = target + 0.7;
  let logit = target - 1.2;
  let lastLogit = Number.NaN;
  let lastError = Number.NaN;
  scratch[slot.tempK] = firstGuessC + zeroCelsiusK;
  scratch[slot.lnPressure] = Math.log(pressureHPa);
  for (let step = 0; step < 60; step++) {
    scratch[slot.x] = 1 / (1 + Math.exp(-logit));
    solveBubble();
    evaluateVolatility();
    const error = logit + scratch[slot.lnVolatility]! - target;
    if (error > 0) high = logit;
    else low = logit;
    if (Math.abs(error) < 4e-15 * (1 + Math.abs(target)) || high - low < 1e-15) break;
    const slope = (error - lastError) / (logit - lastLogit);
    let next = logit - error / (slope > 0.05 ? slope : 0.6);
    if (!(next > low && next < high)) next = (low + high) / 2;
    if (next === logit) break;
    lastLogit = logit;
    lastError = error;
    logit = next;
  }
  return scratch[slot.x]!;
}

/**
 * Dew temperature alone, the fast form: no object is made. Arguments and range as dewPoint.
 * @returns temperature [°C]
 * Source: the NRTL refit in accuracy.md.
 */
export function dewTempC(y: number, pressureHPa: number): number {
  if (!isComposition(y) || !isSolvablePressure(pressureHPa)) return Number.NaN;
  if (y === 0) return waterBoilingPointC(pressureHPa);
  if (y === 1) return ethanolBoilingPointC(pressureHPa);
  return bubbleTempC(solveDewLiquid(y, pressureHPa), pressureHPa);
}

/**
 * Dew point: the temperature at which a vapour begins to condense, and its first liquid.
 *
 * @param y mole fraction of ethanol in the vapour [0..1]
 * @param pressureHPa absolute (station) pressure [hPa, 500..1100]
 * @returns temperature [°C] and liquid mole fraction; NaN as bubbleTempC
 * Accuracy: as bubblePoint.
 * @example dewPoint(0.4501, 1013.25) // 86.01 °C, x 0.1
 * Source: the NRTL refit in accuracy.md.
 */
export function dewPoint(y: number, pressureHPa: number): DewPoint {
  const tempC = dewTempC(y, pressureHPa);
  if (Number.isNaN(tempC) || y === 0 || y === 1) return { tempC, x: Number.isNaN(tempC) ? Number.NaN : y };
  return { tempC, x: solveDewLiquid(y, pressureHPa) };
}
