import { liquidAtBubbleTemp, vapourAtDewTemp } from './azeotrope';
import { airPressureRangeHPa, zeroCelsiusK } from './constants';
import { bubbleTempC, dewTempC } from './equilibrium';
import { waterBoilingPointC, waterSaturationAtKelvinHPa } from './water';

/** Which line a probe follows: vapour on the dew line, boiler on the bubble line. */
export type ProbeLine = 'vapour' | 'boiler';

/**
 * The composition at which the shift changes to the azeotrope's side [mole fraction]: the azeotrope at 1100 hPa, which lies on the water side at
 * every pressure in range. The azeotrope itself can't be the joint, because it moves with the pressure.
 */
export const jointMoleFraction = 0.8965;

function inRange(pressureHPa: number): boolean {
  return pressureHPa >= airPressureRangeHPa.lowest && pressureHPa <= airPressureRangeHPa.highest;
}

function jointTempC(pressureHPa: number, line: ProbeLine): number {
  return line === 'vapour' ? dewTempC(jointMoleFraction, pressureHPa) : bubbleTempC(jointMoleFraction, pressureHPa, 78);
}

/** Moves a temperature so that its distance from a guide temperature is kept in 1/T, which is Clapeyron's law for a liquid of equal heat. */
function followGuide(tempK: number, guideFromK: number, guideToK: number): number {
  return 1 / (1 / tempK - (1 / guideFromK - 1 / guideToK)) - zeroCelsiusK;
}

function shiftTemp(tempC: number, fromHPa: number, toHPa: number, line: ProbeLine): number {
  if (!inRange(fromHPa) || !inRange(toHPa) || !(tempC > -zeroCelsiusK && tempC < 300)) return Number.NaN;
  const tempK = tempC + zeroCelsiusK;
  if (fromHPa === toHPa) return tempC;
  const jointFromC = jointTempC(fromHPa, line);
  if (tempC <= jointFromC) return followGuide(tempK, jointFromC + zeroCelsiusK, jointTempC(toHPa, line) + zeroCelsiusK);
  const waterFromC = waterBoilingPointC(fromHPa);
  if (tempC >= waterFromC || waterSaturationAtKelvinHPa(tempK) >= fromHPa) {
    return followGuide(tempK, waterFromC + zeroCelsiusK, waterBoilingPointC(toHPa) + zeroCelsiusK);
  }
  if (line === 'vapour') return dewTempC(vapourAtDewTemp(tempC, fromHPa), toHPa);
  return bubbleTempC(liquidAtBubbleTemp(tempC, fromHPa), toHPa, tempC);
}

/**
 * What a vapour probe would have read at another air pressure, the vapour being the same.
 *
 * Between the joint (y* = 0.8965) and pure water: the dew temperature at the new pressure of the vapour that has this dew temperature at the old one.
 * Below the joint, where light compounds hold the reading down: 1/Tto = 1/T − (1/T*from − 1/T*to). Above the boiling point of water the same with water.
 *
 * @param tempC reading [°C]
 * @param fromHPa air pressure at the reading [hPa, 500..1100]
 * @param toHPa air pressure wanted [hPa, 500..1100]
 * @returns temperature [°C]; NaN outside the pressure range
 * Accuracy: continuous and monotonic; undone by the opposite shift to 1e-9 K. The model's own accuracy largely cancels: see accuracy.md.
 * @example shiftVapourTemp(92.6, 1013.25, 960)
 * Source: the equilibrium in accuracy.md; the joints are ours.
 */
export function shiftVapourTemp(tempC: number, fromHPa: number, toHPa: number): number {
  return shiftTemp(tempC, fromHPa, toHPa, 'vapour');
}

/**
 * What a boiler probe would have read at another air pressure, the liquid being the same: as shiftVapourTemp, on the bubble line.
 *
 * @param tempC reading [°C]
 * @param fromHPa air pressure at the reading [hPa, 500..1100]
 * @param toHPa air pressure wanted [hPa, 500..1100]
 * @returns temperature [°C]; NaN outside the pressure range
 * Source: as shiftVapourTemp.
 */
export function shiftBoilerTemp(tempC: number, fromHPa: number, toHPa: number): number {
  return shiftTemp(tempC, fromHPa, toHPa, 'boiler');
}

/** A threshold prepared for every air pressure: plain data, stored with the run. */
export interface ShiftCurve {
  readonly kind: 'shift-curve';
  readonly line: ProbeLine;
  readonly thresholdC: number;
  readonly referenceHPa: number;
  /** ln of the lowest pressure in hPa. */
  readonly firstLnHPa: number;
  /** Step in ln hPa from point to point. */
  readonly stepLnHPa: number;
  /** 1/T of the threshold at each pressure [1/K]. */
  readonly reciprocalPerK: readonly number[];
}

const curvePoints = 25;

/**
 * Prepares a threshold for use at any air pressure, once when a run starts.
 *
 * 1/T at 25 pressures spaced evenly in ln P from 500 to 1100 hPa. No cache and no history: the same threshold gives the same curve always.
 *
 * @param thresholdC threshold at the reference pressure [°C]
 * @param referenceHPa reference pressure [hPa, 500..1100]
 * @param line which line the probe follows
 * @returns the curve; its points are NaN when the reference pressure is out of range
 * Source: as shiftVapourTemp; Lagrange interpolation as in any textbook.
 */
export function compileShift(thresholdC: number, referenceHPa: number, line: ProbeLine): ShiftCurve {
  const firstLnHPa = Math.log(airPressureRangeHPa.lowest);
  const stepLnHPa = (Math.log(airPressureRangeHPa.highest) - firstLnHPa) / (curvePoints - 1);
  const reciprocalPerK: number[] = [];
  for (let point = 0; point < curvePoints; point++) {
    const exactHPa = Math.exp(firstLnHPa + point * stepLnHPa);
    const pressureHPa = Math.min(Math.max(exactHPa, airPressureRangeHPa.lowest), airPressureRangeHPa.highest);
    reciprocalPerK.push(1 / (shiftTemp(thresholdC, referenceHPa, pressureHPa, line) + zeroCelsiusK));
  }
  return { kind: 'shift-curve', line, thresholdC, referenceHPa, firstLnHPa, stepLnHPa, reciprocalPerK };
}

/**
 * A prepared threshold at today's air pressure.
 *
 * Four-point Lagrange interpolation of 1/T over ln P. Makes no object.
 *
 * @param curve from compileShift
 * @param pressureHPa air pressure now [hPa, 500..1100]
 * @returns temperature [°C]; NaN outside the pressure range, so that no comparison with it is ever true
 * Accuracy: within 1e-8 K of the full calculation (tried over a grid).
 * Source: as compileShift.
 */
export function thresholdAt(curve: ShiftCurve, pressureHPa: number): number {
  if (!inRange(pressureHPa)) return Number.NaN;
  const points = curve.reciprocalPerK;
  const place = (Math.log(pressureHPa) - curve.firstLnHPa) / curve.stepLnHPa;
  const start = Math.min(Math.max(Math.floor(place) - 1, 0), points.length - 4);
  const u = place - start;
  const reciprocal =
    (-points[start]! * (u - 1) * (u - 2) * (u - 3)) / 6 +
    (points[start + 1]! * u * (u - 2) * (u - 3)) / 2 -
    (points[start + 2]! * u * (u - 1) * (u - 3)) / 2 +
    (points[start + 3]! * u * (u - 1) * (u - 2)) / 6;
  return 1 / reciprocal - zeroCelsiusK;
}
