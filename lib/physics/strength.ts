import { ethanolMolarMassGPerMol, waterMolarMassGPerMol } from './constants';
import { densityKgM3, ethanolDensity20KgM3, sixtyFahrenheitC } from './density';
import { findRoot } from './root';

/*
 * Strength, three ways and two bases: by mass, by mole, by volume at 20 °C (the OIML and EU basis, `Abv`), by volume at 60 °F (the US basis,
 * `Abv60F`, and proof). The volume bases differ by up to 0.1 % vol and are never exchanged without passing through the mass fraction.
 */

const ethanolDensity60FKgM3 = densityKgM3(1, sixtyFahrenheitC);
const abvOfPure = densityKgM3(1, 20) / ethanolDensity20KgM3;

/**
 * Strength by volume at 20 °C from the mass fraction: p ρ(p, 20) / 789.24.
 * @param massFraction ethanol by mass [0..1]
 * @returns strength by volume at 20 °C [0..1]; NaN outside
 * Source: OIML R 22.
 */
export function abvFromMassFraction(massFraction: number): number {
  return Math.min((massFraction * densityKgM3(massFraction, 20)) / ethanolDensity20KgM3, 1);
}

/**
 * Mass fraction from strength by volume at 20 °C: the inverse of abvFromMassFraction.
 * @param strengthAbv strength by volume at 20 °C [0..1]
 * @returns ethanol by mass [0..1]; NaN outside
 * Source: OIML R 22.
 */
export function massFractionFromAbv(strengthAbv: number): number {
  if (!(strengthAbv >= 0 && strengthAbv <= 1)) return Number.NaN;
  if (strengthAbv >= abvOfPure) return 1;
  return findRoot((p) => (p * densityKgM3(p, 20)) / ethanolDensity20KgM3 - strengthAbv, 0, 1);
}

/**
 * Mole fraction from mass fraction [0..1].
 * Source: IUPAC molar masses.
 */
export function moleFractionFromMassFraction(massFraction: number): number {
  if (!(massFraction >= 0 && massFraction <= 1)) return Number.NaN;
  const ethanolMol = massFraction / ethanolMolarMassGPerMol;
  return ethanolMol / (ethanolMol + (1 - massFraction) / waterMolarMassGPerMol);
}

/**
 * Mass fraction from mole fraction [0..1].
 * Source: IUPAC molar masses.
 */
export function massFractionFromMoleFraction(moleFraction: number): number {
  if (!(moleFraction >= 0 && moleFraction <= 1)) return Number.NaN;
  const ethanolG = moleFraction * ethanolMolarMassGPerMol;
  return ethanolG / (ethanolG + (1 - moleFraction) * waterMolarMassGPerMol);
}

/**
 * Mole fraction from strength by volume at 20 °C [0..1].
 * Source: OIML R 22; IUPAC molar masses.
 */
export function moleFractionFromAbv(strengthAbv: number): number {
  return moleFractionFromMassFraction(massFractionFromAbv(strengthAbv));
}

/**
 * Strength by volume at 20 °C from mole fraction [0..1].
 * Source: OIML R 22; IUPAC molar masses.
 */
export function abvFromMoleFraction(moleFraction: number): number {
  return abvFromMassFraction(massFractionFromMoleFraction(moleFraction));
}

/**
 * Mean molar mass of a mixture [g/mol] from its mole fraction of ethanol [0..1].
 * Source: IUPAC molar masses.
 */
export function molarMassGPerMol(moleFraction: number): number {
  return moleFraction * ethanolMolarMassGPerMol + (1 - moleFraction) * waterMolarMassGPerMol;
}

/**
 * Strength by volume at 60 °F from the mass fraction: p ρ(p, 60 °F) / ρ(1, 60 °F).
 * @param massFraction ethanol by mass [0..1]
 * @returns strength by volume at 60 °F [0..1]; half the US proof, in hundredths
 * Source: basis of 27 CFR 30; densities by OIML R 22 (ethanol at 60/60 °F 0.7939, 27 CFR 30.11).
 */
export function abv60FFromMassFraction(massFraction: number): number {
  return Math.min((massFraction * densityKgM3(massFraction, sixtyFahrenheitC)) / ethanolDensity60FKgM3, 1);
}

/**
 * Mass fraction from strength by volume at 60 °F [0..1]: the inverse of abv60FFromMassFraction.
 * Source: as abv60FFromMassFraction.
 */
export function massFractionFromAbv60F(strengthAbv60F: number): number {
  if (!(strengthAbv60F >= 0 && strengthAbv60F <= 1)) return Number.NaN;
  return findRoot((p) => abv60FFromMassFraction(p) - strengthAbv60F, 0, 1);
}

/**
 * US proof (0..200, at 60 °F) from the mass fraction [0..1].
 * Source: 27 CFR 30.11.
 */
export function proofFromMassFraction(massFraction: number): number {
  return 200 * abv60FFromMassFraction(massFraction);
}

/**
 * Mass fraction [0..1] from US proof (0..200, at 60 °F).
 * Source: 27 CFR 30.11.
 */
export function massFractionFromProof(proof: number): number {
  return massFractionFromAbv60F(proof / 200);
}
