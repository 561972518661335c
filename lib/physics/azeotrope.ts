import { zeroCelsiusK } from './constants';
import type { Azeotrope } from './equilibrium';
import { bubbleTempC } from './equilibrium';
import {
  evaluate,
  evaluateComposition,
  evaluatePressureSlope,
  evaluateTemperature,
  evaluateVolatility,
  scratch,
  slot,
} from './nrtl';
import { waterSaturationAtKelvinHPa } from './water';

/** Leaves in `slot.x` the azeotrope at the temperature evaluated before: where ethanol and water are equally volatile. */
function solveAzeotropeAtTemperature(): void {
  let low = 0.7;
  let high = 1;
  let x = 0.9;
  let lastX = Number.NaN;
  let lastError = Number.NaN;
  for (let step = 0; step < 60; step++) {
    scratch[slot.x] = x;
    evaluateComposition();
    evaluateVolatility();
    const error = scratch[slot.lnVolatility]!;
    if (error > 0) low = x;
    else high = x;
    if (Math.abs(error) < 1e-15 || high - low < 1e-16) break;
    const slope = (error - lastError) / (x - lastX);
    let next = x - error / (slope < -0.1 ? slope : -1.6);
    if (!(next > low && next < high)) next = (low + high) / 2;
    if (next === x) break;
    lastX = x;
    lastError = error;
    x = next;
  }
}

/**
 * Mole fraction of the azeotrope, the fast form: no object is made.
 * @returns mole fraction; NaN outside 200..2000 hPa
 * Source: the NRTL refit in accuracy.md.
 */
export function azeotropeMoleFraction(pressureHPa: number): number {
  if (!(pressureHPa >= 200 && pressureHPa <= 2000)) return Number.NaN;
  let x = 0.9;
  let tempC = 78;
  for (let step = 0; step < 20; step++) {
    tempC = bubbleTempC(x, pressureHPa, tempC);
    scratch[slot.tempK] = tempC + zeroCelsiusK;
    evaluateTemperature();
    solveAzeotropeAtTemperature();
    const next = scratch[slot.x]!;
    if (Math.abs(next - x) < 1e-15) return next;
    x = next;
  }
  return x;
}

/**
 * The azeotrope: the strongest spirit that distillation at this pressure can reach.
 *
 * @param pressureHPa absolute (station) pressure [hPa, 500..1100; solved from 200 to 2000]
 * @returns mole fraction and boiling temperature [°C]
 * Accuracy: x 0.8984 and 78.143 °C at 1013.25 hPa; published 0.894 ± 0.006 and 78.14 ± 0.03 °C.
 * @example azeotrope(1013.25)
 * Source: see accuracy.md.
 */
export function azeotrope(pressureHPa: number): Azeotrope {
  const x = azeotropeMoleFraction(pressureHPa);
  return { x, tempC: bubbleTempC(x, pressureHPa, 78) };
}

/**
 * Liquid that boils at a temperature and pressure, on the water side of the azeotrope; leaves the scratch array at the solution unless clamped.
 * Newton steps rise to the answer from the water side, because pressure over composition is concave there.
 */
function solveLiquid(tempK: number, pressureHPa: number): number {
  scratch[slot.tempK] = tempK;
  evaluateTemperature();
  solveAzeotropeAtTemperature();
  let high = scratch[slot.x]!;
  if (scratch[slot.totalHPa]! <= pressureHPa) return azeotropeMoleFraction(pressureHPa);
  let low = 0;
  let x = Math.min(0.02, high / 2);
  const target = Math.log(pressureHPa);
  for (let step = 0; step < 40; step++) {
    scratch[slot.x] = x;
    evaluateComposition();
    const error = Math.log(scratch[slot.totalHPa]!) - target;
    if (error > 0) high = x;
    else low = x;
    if (Math.abs(error) < 2e-16 || high - low < 1e-16) break;
    evaluatePressureSlope();
    let next = x - error / scratch[slot.lnPressureSlope]!;
    if (!(next > low && next < high)) next = (low + high) / 2;
    const moved = Math.abs(next - x);
    x = next;
    if (moved < 1e-15) break;
  }
  return x;
}

/**
 * Composition of a liquid from its boiling temperature, on the water side of the azeotrope.
 *
 * Two compositions share a temperature between the azeotrope and pure ethanol; the water side is meant. Near the azeotrope a temperature
 * can't measure strength: 0.1 K spans about 0.1 in x.
 *
 * @param tempC temperature of the boiling liquid [°C]
 * @param pressureHPa absolute (station) pressure [hPa, 500..1100]
 * @returns mole fraction of ethanol in the liquid; 0 at or above the boiling point of water; that of the azeotrope at or below its temperature
 * Accuracy: as bubblePoint, divided by the slope of the boiling line.
 * @example liquidAtBubbleTemp(86.01, 1013.25) // 0.1
 * Source: the NRTL refit in accuracy.md.
 */
export function liquidAtBubbleTemp(tempC: number, pressureHPa: number): number {
  if (!(pressureHPa >= 200 && pressureHPa <= 2000) || !(tempC > -273.15)) return Number.NaN;
  const tempK = tempC + zeroCelsiusK;
  if (tempK < zeroCelsiusK) return azeotropeMoleFraction(pressureHPa);
  if (tempK > 640 || waterSaturationAtKelvinHPa(tempK) >= pressureHPa) return 0;
  return solveLiquid(tempK, pressureHPa);
}

/**
 * Composition of a vapour from its dew temperature, on the water side of the azeotrope.
 *
 * @param tempC temperature of the condensing vapour [°C]
 * @param pressureHPa absolute (station) pressure [hPa, 500..1100]
 * @returns mole fraction of ethanol in the vapour; 0 at or above the boiling point of water; that of the azeotrope at or below its temperature
 * Accuracy: as bubblePoint, divided by the slope of the dew line; no measure of strength near the azeotrope.
 * @example vapourAtDewTemp(86.01, 1013.25) // 0.4501
 * Source: the NRTL refit in accuracy.md.
 */
export function vapourAtDewTemp(tempC: number, pressureHPa: number): number {
  const x = liquidAtBubbleTemp(tempC, pressureHPa);
  if (!(x > 0)) return x;
  evaluate(x, tempC + zeroCelsiusK);
  // Below the azeotrope's temperature the liquid is clamped, and the vapour with it.
  if (scratch[slot.totalHPa]! < pressureHPa * (1 - 1e-12)) return x;
  return scratch[slot.ethanolPartialHPa]! / scratch[slot.totalHPa]!;
}
