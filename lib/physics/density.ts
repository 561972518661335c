/*
 * Density of ethanol-water mixtures by the general formula of OIML R 22 (1975), identical to the annex of Directive 76/766/EEC.
 * ρ(p,t) = A1 + Σ Ak p^(k−1) + Σ Bk (t−20)^k + ΣΣ Ci,k p^k (t−20)^i
 */

const a = [
  998.20123, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388, 306287.4042, -613838.1234, 747017.2998,
  -547846.1354, 223446.0334, -39032.85426,
] as const;

const b = [-0.20618513, -0.0052682542, 3.6130013e-5, -3.8957702e-7, 7.169354e-9, -9.9739231e-11] as const;

const c1 = [
  0.1693443461530087, -10.46914743455169, 71.96353469546523, -704.7478054272792, 3924.090430035045, -12101.64659068747,
  22486.46550400788, -26055.62982188164, 18523.73922069467, -7420.201433430137, 1285.617841998974,
] as const;

const c2 = [
  -0.0119301300505701, 0.2517399633803461, -2.170575700536993, 13.53034988843029, -50.29988758547014, 109.635566657757,
  -142.2753946421155, 108.043594285623, -44.14153236817392, 7.442971530188783,
] as const;

const c3 = [
  -0.0006802995733503803, 0.01876837790289664, -0.2002561813734156, 1.02299296671922, -2.895696483903638,
  4.810060584300675, -4.672147440794683, 2.458043105903461, -0.5411227621436812,
] as const;

const c4 = [4.075376675622027e-6, -8.76305857347111e-6, 6.515031360099368e-6, -1.51578483698721e-6] as const;

const c5 = [-2.788074354782409e-8, 1.345612883493354e-8] as const;

/** Temperatures for which the formula holds [°C]. */
export const densityTempRangeC = { lowest: -20, highest: 40 } as const;

/** Density of ethanol at 20 °C by convention [kg/m³]. Source: OIML R 22. */
export const ethanolDensity20KgM3 = 789.24;

/** 60 °F in °C, the reference temperature of US proof. */
export const sixtyFahrenheitC = 140 / 9;

/** Σ coefficients[k] · value^k, by Horner's rule. */
function polynomial(coefficients: readonly number[], value: number): number {
  let sum = 0;
  for (let k = coefficients.length - 1; k >= 0; k--) sum = sum * value + coefficients[k]!;
  return sum;
}

/**
 * Density of an ethanol-water mixture.
 *
 * OIML R 22 general formula (above), temperatures of IPTS-68; the 0.005 K to ITS-90 at 20 °C is 0.004 kg/m³ at the most and is not corrected.
 *
 * @param massFraction ethanol in the liquid by mass [0..1]
 * @param tempC temperature [°C, −20..40; the liquid must not be frozen]
 * @returns density [kg/m³]; NaN outside the range: the formula is never extrapolated
 * Accuracy: 0.005 kg/m³ against the published 20 °C values; 0.09 kg/m³ against handbook values of 10..30 °C (NBS).
 * @example densityKgM3(0.333, 20) // 948.1
 * Source: OIML R 22 (1975); Council Directive 76/766/EEC, annex.
 */
export function densityKgM3(massFraction: number, tempC: number): number {
  if (!(massFraction >= 0 && massFraction <= 1)) return Number.NaN;
  if (!(tempC >= densityTempRangeC.lowest && tempC <= densityTempRangeC.highest)) return Number.NaN;
  const p = massFraction;
  const t = tempC - 20;
  const warmth =
    t *
    (p * polynomial(c1, p) +
      t *
        (p * polynomial(c2, p) +
          t * (p * polynomial(c3, p) + t * (p * polynomial(c4, p) + t * p * polynomial(c5, p)))));
  return polynomial(a, p) + t * polynomial(b, t) + warmth;
}
