import { zeroCelsiusK } from './constants';

const criticalTempK = 513.92;
const criticalPressureHPa = 61_320;
const a = -8.68587;
const b = 1.17831;
const c = -4.8762;
const d = 1.588;

const lowestTempK = 159.05;
const lowestPressureHPa = 1e-3;

/**
 * Saturation pressure of ethanol [hPa] from absolute temperature [K]; the form the solvers use. NaN outside 159.05..513.92 K.
 * Source: as ethanolSaturationHPa.
 */
export function ethanolSaturationAtKelvinHPa(tempK: number): number {
  if (!(tempK >= lowestTempK && tempK <= criticalTempK)) return Number.NaN;
  const theta = 1 - tempK / criticalTempK;
  const root = Math.sqrt(theta);
  const square = theta * theta;
  const sum = theta * (a + b * root) + square * root * (c + d * square * root);
  return criticalPressureHPa * Math.exp((criticalTempK / tempK) * sum);
}

/**
 * Saturation (boiling) pressure of pure ethanol.
 *
 * Wagner 2.5-5: ln(p/pc) = (Tc/T)(aθ + bθ^1.5 + cθ^2.5 + dθ^5), θ = 1 − T/Tc.
 *
 * @param tempC temperature [°C, −114..240.7]
 * @returns pressure [hPa]; NaN outside the range
 * Accuracy: 78.287 °C at 1013.25 hPa; published boiling points there lie between 78.24 and 78.32 °C.
 * @example ethanolSaturationHPa(78.287) // 1013.2
 * Source: Poling, Prausnitz & O'Connell, The Properties of Gases and Liquids, 5th ed., appendix A.
 */
export function ethanolSaturationHPa(tempC: number): number {
  return ethanolSaturationAtKelvinHPa(tempC + zeroCelsiusK);
}

/**
 * Boiling point of pure ethanol: the inverse of ethanolSaturationHPa.
 *
 * Secant steps in ln p over 1/T, which is nearly a straight line.
 *
 * @param pressureHPa absolute (station) pressure [hPa, 0.001..61320]
 * @returns temperature [°C]; NaN outside the range
 * Accuracy: the inverse is good to 1e-10 K.
 * @example ethanolBoilingPointC(1013.25) // 78.287
 * Source: as ethanolSaturationHPa.
 */
export function ethanolBoilingPointC(pressureHPa: number): number {
  if (!(pressureHPa >= lowestPressureHPa && pressureHPa <= criticalPressureHPa)) return Number.NaN;
  const target = Math.log(pressureHPa);
  let reciprocal = 1 / 351.4;
  let error = Math.log(ethanolSaturationAtKelvinHPa(1 / reciprocal)) - target;
  let slopeK = -4900;
  for (let step = 0; step < 30 && Math.abs(error) > 1e-14; step++) {
    const next = Math.min(Math.max(reciprocal - error / slopeK, 1 / criticalTempK), 1 / lowestTempK);
    if (next === reciprocal) break;
    const nextError = Math.log(ethanolSaturationAtKelvinHPa(1 / next)) - target;
    if (nextError !== error) slopeK = (nextError - error) / (next - reciprocal);
    reciprocal = next;
    error = nextError;
  }
  return 1 / reciprocal - zeroCelsiusK;
}
