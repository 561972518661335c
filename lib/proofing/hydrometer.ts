import { densityKgM3, sixtyFahrenheitC } from '../physics/density';
import { findRoot } from '../physics/root';
import {
  abv60FFromMassFraction,
  abvFromMassFraction,
  massFractionFromAbv,
  massFractionFromAbv60F,
} from '../physics/strength';
import { type Checked, type Problem, problem } from '../problems';
import { cautionFarTemp, checkSampleTemp, checkStrength } from './checks';

/** Temperature at which an instrument is true: 20 °C (OIML, EU) or 60 °F (US). */
export type StrengthBasis = '20C' | '60F';

/**
 * Cubic expansion of hydrometer glass by convention [1/K].
 * Source: ISO 1768:1975.
 */
export const hydrometerGlassPerK = 25e-6;

/** A strength on every basis in use; never mix two of them. */
export interface Strength {
  readonly massFraction: number;
  /** By volume at 20 °C. */
  readonly strengthAbv: number;
  /** By volume at 60 °F; twice this in hundredths is the US proof. */
  readonly strengthAbv60F: number;
  readonly proofUs: number;
  readonly density20KgM3: number;
}

/** What an alcoholometer showed. */
export interface HydrometerReading {
  /** Reading as a fraction: 0.40 for 40 % vol; on the 60 °F basis half the proof, in hundredths. */
  readonly readingAbv: number;
  readonly tempC: number;
  readonly basis: StrengthBasis;
  /** Cubic expansion of the instrument; that of glass unless given (brass about 5e-5). */
  readonly expansionPerK?: number;
}

/** A mass fraction [0..1] put on every basis. */
export function strengthOfMassFraction(massFraction: number): Strength {
  const strengthAbv60F = abv60FFromMassFraction(massFraction);
  return {
    massFraction,
    strengthAbv: abvFromMassFraction(massFraction),
    strengthAbv60F,
    proofUs: 200 * strengthAbv60F,
    density20KgM3: densityKgM3(massFraction, 20),
  };
}

/** Temperature of a basis [°C]. */
export function basisTempC(basis: StrengthBasis): number {
  return basis === '20C' ? 20 : sixtyFahrenheitC;
}

/** Mass fraction [0..1] from a strength by volume [0..1] on either basis. */
export function massFractionOfStrength(strengthAbv: number, basis: StrengthBasis): number {
  return basis === '20C' ? massFractionFromAbv(strengthAbv) : massFractionFromAbv60F(strengthAbv);
}

/** Pure water and pure ethanol may seem this much beyond their ends [kg/m³]: the last digit of an instrument, not an impossible liquid. */
const endToleranceKgM3 = 0.05;

/**
 * Mass fraction of the liquid that has a density at a temperature.
 *
 * @param measuredKgM3 density [kg/m³]
 * @param tempC temperature [°C, −20..40]
 * @returns mass fraction [0..1]; NaN when no mixture has this density there
 */
function massFractionAtDensity(measuredKgM3: number, tempC: number): number {
  const waterKgM3 = densityKgM3(0, tempC);
  const ethanolKgM3 = densityKgM3(1, tempC);
  const beyond = Math.max(measuredKgM3 - waterKgM3, ethanolKgM3 - measuredKgM3);
  if (!(beyond <= endToleranceKgM3)) return Number.NaN;
  return findRoot((p) => densityKgM3(p, tempC) - measuredKgM3, 0, 1);
}

/**
 * True strength from an alcoholometer read at another temperature than its own.
 *
 * The instrument is true at its basis temperature t0. At t the glass is larger, so the liquid's density is ρ(t) = ρ(reading, t0) / (1 + γ (t − t0));
 * the strength is that whose density by OIML R 22 at t is this.
 *
 * @param reading reading as a fraction [0..1], sample temperature [°C, −20..40], basis
 * @returns the strength on every basis, with cautions; or all problems. Refused outside the range of the density formula
 * Accuracy: that of the reading and the temperature: 1 K is worth about 0.3 % vol, half a kelvin more than most scales can show. Sugar, oak extract
 * and other solids make an alcoholometer read low (obscuration), and this cannot see them.
 * @example correctHydrometer({ readingAbv: 0.5, tempC: 10, basis: '20C' }) // 53.7 % vol
 * Source: OIML R 22 (1975), tables VIII of the same formula; ISO 1768.
 */
export function correctHydrometer(reading: HydrometerReading): Checked<Strength> {
  const problems = [...checkStrength('readingAbv', reading.readingAbv), ...checkSampleTemp('tempC', reading.tempC)];
  if (problems.length > 0) return { kind: 'bad', problems };
  const trueAtC = basisTempC(reading.basis);
  const shownKgM3 = densityKgM3(massFractionOfStrength(reading.readingAbv, reading.basis), trueAtC);
  const expansion = 1 + (reading.expansionPerK ?? hydrometerGlassPerK) * (reading.tempC - trueAtC);
  const massFraction = massFractionAtDensity(shownKgM3 / expansion, reading.tempC);
  if (Number.isNaN(massFraction)) return { kind: 'bad', problems: [impossibleReading(reading)] };
  return { kind: 'ok', value: strengthOfMassFraction(massFraction), warnings: cautionFarTemp('tempC', reading.tempC) };
}

function impossibleReading(reading: HydrometerReading): Problem {
  return problem(
    'readingAbv',
    reading.readingAbv,
    `no mixture of ethanol and water gives this reading at ${reading.tempC} °C`,
    'Read instrument and thermometer again; look for sugar or solids',
  );
}

/**
 * What an alcoholometer shows in a liquid of known strength: the inverse of correctHydrometer.
 *
 * @param massFraction ethanol by mass [0..1]
 * @param tempC sample temperature [°C, −20..40]
 * @param basis the instrument's basis
 * @returns reading as a fraction; NaN outside the range or off the scale (warm strong spirit reads above 1)
 */
export function hydrometerReadingAbv(
  massFraction: number,
  tempC: number,
  basis: StrengthBasis,
  expansionPerK: number = hydrometerGlassPerK,
): number {
  const trueAtC = basisTempC(basis);
  const shownKgM3 = densityKgM3(massFraction, tempC) * (1 + expansionPerK * (tempC - trueAtC));
  const shown = massFractionAtDensity(shownKgM3, trueAtC);
  return basis === '20C' ? abvFromMassFraction(shown) : abv60FFromMassFraction(shown);
}

/**
 * Strength from a density measured with a density meter or pycnometer.
 *
 * @param measuredKgM3 density in vacuo [kg/m³]
 * @param tempC sample temperature [°C, −20..40]
 * @returns the strength on every basis, or all problems
 * Accuracy: 0.1 kg/m³ is worth 0.05 to 0.1 % vol.
 * Source: OIML R 22 (1975).
 */
export function strengthFromDensity(measuredKgM3: number, tempC: number): Checked<Strength> {
  const problems = checkSampleTemp('tempC', tempC);
  if (problems.length > 0) return { kind: 'bad', problems };
  const massFraction = massFractionAtDensity(measuredKgM3, tempC);
  if (!Number.isNaN(massFraction)) return { kind: 'ok', value: strengthOfMassFraction(massFraction), warnings: [] };
  const range = `${densityKgM3(1, tempC).toFixed(2)}..${densityKgM3(0, tempC).toFixed(2)} kg/m³`;
  const message = `mixtures of ethanol and water have ${range} at ${tempC} °C`;
  return {
    kind: 'bad',
    problems: [problem('densityKgM3', measuredKgM3, message, 'Measure again; look for sugar or solids')],
  };
}
