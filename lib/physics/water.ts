import { zeroCelsiusK } from './constants';

// IAPWS-IF97, region 4, Table 34.
const n1 = 0.11670521452767e4;
const n2 = -0.72421316703206e6;
const n3 = -0.17073846940092e2;
const n4 = 0.1202082470247e5;
const n5 = -0.32325550322333e7;
const n6 = 0.1491510861353e2;
const n7 = -0.48232657361591e4;
const n8 = 0.40511340542057e6;
const n9 = -0.23855557567849;
const n10 = 0.65017534844798e3;

const hPaPerMPa = 1e4;
const lowestPressureHPa = 6.11213;
const highestPressureHPa = 220_640;

/**
 * Saturation pressure of water [hPa] from absolute temperature [K]; the form the solvers use. NaN outside 273.15..647.096 K.
 * Source: as waterSaturationHPa.
 */
export function waterSaturationAtKelvinHPa(tempK: number): number {
  if (!(tempK >= zeroCelsiusK && tempK <= 647.096)) return Number.NaN;
  const theta = tempK + n9 / (tempK - n10);
  const a = (theta + n1) * theta + n2;
  const b = (n3 * theta + n4) * theta + n5;
  const c = (n6 * theta + n7) * theta + n8;
  const root = (2 * c) / (-b + Math.sqrt(b * b - 4 * a * c));
  const square = root * root;
  return square * square * hPaPerMPa;
}

/**
 * Saturation (boiling) pressure of pure water.
 *
 * IAPWS-IF97 region 4, forward equation (eq. 30).
 *
 * @param tempC temperature [°C, 0..373.946]
 * @returns pressure [hPa]; NaN outside the range
 * Accuracy: within the 0.025 % of the IAPWS skeleton tables; 1e-9 relative against the release's check values.
 * @example waterSaturationHPa(100) // 1014.18
 * Source: IAPWS R7-97(2012), Revised Release on the Industrial Formulation 1997, section 8.
 */
export function waterSaturationHPa(tempC: number): number {
  return waterSaturationAtKelvinHPa(tempC + zeroCelsiusK);
}

/**
 * Boiling point of pure water.
 *
 * IAPWS-IF97 region 4, backward equation (eq. 31): the exact inverse of the forward one.
 *
 * @param pressureHPa absolute (station) pressure [hPa, 6.112..220640]
 * @returns temperature [°C]; NaN outside the range
 * Accuracy: see waterSaturationHPa; 0.01 K at one atmosphere means 0.36 hPa.
 * @example waterBoilingPointC(1013.25) // 99.974, not 100
 * Source: IAPWS R7-97(2012), section 8.
 */
export function waterBoilingPointC(pressureHPa: number): number {
  if (!(pressureHPa >= lowestPressureHPa && pressureHPa <= highestPressureHPa)) return Number.NaN;
  const beta = Math.sqrt(Math.sqrt(pressureHPa / hPaPerMPa));
  const e = (beta + n3) * beta + n6;
  const f = (n1 * beta + n4) * beta + n7;
  const g = (n2 * beta + n5) * beta + n8;
  const d = (2 * g) / (-f - Math.sqrt(f * f - 4 * e * g));
  const sum = n10 + d;
  return (sum - Math.sqrt(sum * sum - 4 * (n9 + n10 * d))) / 2 - zeroCelsiusK;
}
