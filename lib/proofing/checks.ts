import { densityTempRangeC } from '../physics/density';
import { type Problem, problem, warning } from '../problems';

/** The checks every sum of proofing begins with. Each returns the problems found, none when all is well. */

/** Strength as a fraction 0..1. A value above 1 is most likely a percentage. */
export function checkStrength(path: string, strengthAbv: number): readonly Problem[] {
  if (strengthAbv >= 0 && strengthAbv <= 1) return [];
  const remedy =
    strengthAbv > 1 && strengthAbv <= 100
      ? `Give a fraction: ${strengthAbv} per cent is ${strengthAbv / 100}`
      : 'Give 0..1';
  return [problem(path, strengthAbv, 'strength is outside 0..1', remedy)];
}

/** Temperature inside the range of the density formula, which is never extrapolated. */
export function checkSampleTemp(path: string, tempC: number): readonly Problem[] {
  const { lowest, highest } = densityTempRangeC;
  if (tempC >= lowest && tempC <= highest) return [];
  const remedy =
    tempC > highest
      ? `Cool the sample to ${highest} °C or less, best to 20 °C`
      : `Warm the sample to ${lowest} °C or more`;
  return [problem(path, tempC, `densities are known from ${lowest} to ${highest} °C`, remedy)];
}

/** A volume or mass that must be there. */
export function checkAmount(path: string, amount: number): readonly Problem[] {
  if (amount > 0 && Number.isFinite(amount)) return [];
  return [problem(path, amount, 'amount is not a positive number', 'Give an amount above 0')];
}

/** A volume or mass that may be nothing. */
export function checkAmountOrNone(path: string, amount: number): readonly Problem[] {
  if (amount >= 0 && Number.isFinite(amount)) return [];
  return [problem(path, amount, 'amount is negative or no number', 'Give 0 or more')];
}

/** Volumes and strengths taken far from 20 °C carry more of the thermometer's error. */
export function cautionFarTemp(path: string, tempC: number): readonly Problem[] {
  if (Math.abs(tempC - 20) <= 10) return [];
  return [
    warning(
      path,
      tempC,
      'far from 20 °C: each kelvin of error is worth about 0.3 % vol',
      'Bring the sample near 20 °C if you can',
    ),
  ];
}
