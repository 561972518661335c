import { densityKgM3, ethanolDensity20KgM3, sixtyFahrenheitC } from '../physics/density';
import { massFractionFromAbv } from '../physics/strength';

const usGallonL = 3.785411784;

/** Density of air [kg/m³] and of weights [kg/m³] by convention. Source: OIML R 111 (air 1.2, weights 8000 at 20 °C). */
const airKgM3 = 1.2;
const weightsKgM3 = 8000;

/** An amount of spirit known by its masses, from which every other figure follows. */
export interface SpiritMass {
  readonly massKg: number;
  readonly ethanolKg: number;
}

/**
 * Litres of pure alcohol (at 20 °C) in a volume.
 *
 * V ρ(p, t) p / 789.24
 *
 * @param volumeL volume as measured [L]
 * @param strengthAbv strength by volume at 20 °C [0..1]
 * @param tempC temperature at which the volume was measured [°C, −20..40]; 20 unless given
 * @returns litres of pure alcohol; NaN outside the range
 * Accuracy: at 30 °C instead of 20 the volume is about 0.8 % larger for the same alcohol: give the temperature.
 * Source: OIML R 22.
 */
export function pureAlcoholL(volumeL: number, strengthAbv: number, tempC = 20): number {
  const massFraction = massFractionFromAbv(strengthAbv);
  return (volumeL * densityKgM3(massFraction, tempC) * massFraction) / ethanolDensity20KgM3;
}

/** Litres of pure alcohol at 20 °C in a mass of ethanol [kg]. */
export function pureAlcoholOfEthanolL(ethanolKg: number): number {
  return (1000 * ethanolKg) / ethanolDensity20KgM3;
}

/** Masses in a volume [L] of a strength [0..1 at 20 °C], measured at a temperature [°C, −20..40]. */
export function spiritMass(volumeL: number, strengthAbv: number, tempC: number): SpiritMass {
  const massFraction = massFractionFromAbv(strengthAbv);
  const massKg = (volumeL * densityKgM3(massFraction, tempC)) / 1000;
  return { massKg, ethanolKg: massKg * massFraction };
}

/** Volume [L] at a temperature [°C, −20..40] of known masses. */
export function spiritVolumeL(spirit: SpiritMass, tempC: number): number {
  if (spirit.massKg === 0) return 0;
  return (1000 * spirit.massKg) / densityKgM3(spirit.ethanolKg / spirit.massKg, tempC);
}

/**
 * US proof gallons in a mass of ethanol: wine gallons at 60 °F times proof over 100.
 *
 * @param ethanolKg mass of ethanol, in vacuo [kg]
 * @returns proof gallons; one holds 1.9018 L of pure alcohol at 20 °C
 * Source: definition in 27 CFR 30.11; density of ethanol at 60 °F by OIML R 22.
 */
export function proofGallonsOfEthanol(ethanolKg: number): number {
  const ethanolL60F = (1000 * ethanolKg) / densityKgM3(1, sixtyFahrenheitC);
  return (2 * ethanolL60F) / usGallonL;
}

/** US proof gallons from litres of pure alcohol at 20 °C. */
export function proofGallonsFromPureAlcohol(alcoholL: number): number {
  return proofGallonsOfEthanol((alcoholL * ethanolDensity20KgM3) / 1000);
}

/** Litres of pure alcohol at 20 °C in US proof gallons: the inverse of proofGallonsFromPureAlcohol. */
export function pureAlcoholFromProofGallons(proofGallons: number): number {
  return proofGallons / proofGallonsFromPureAlcohol(1);
}

/** Wine gallons (US gallons at 60 °F) of known masses. */
export function wineGallons(spirit: SpiritMass): number {
  return spiritVolumeL(spirit, sixtyFahrenheitC) / usGallonL;
}

/**
 * What a scale shows for a liquid, the air bearing some of it: apparent mass against weights of 8000 kg/m³ in air of 1.2 kg/m³.
 *
 * @param massKg mass in vacuo [kg]
 * @param liquidKgM3 density of the liquid [kg/m³]
 * @returns reading of the scale [kg], about 0.12 % less
 * Source: OIML R 111; the weights in the tables of 27 CFR 30 are in air.
 */
export function weightInAirKg(massKg: number, liquidKgM3: number): number {
  return (massKg * (1 - airKgM3 / liquidKgM3)) / (1 - airKgM3 / weightsKgM3);
}

/** Mass in vacuo [kg] from what a scale shows [kg]: the inverse of weightInAirKg. */
export function massFromWeightKg(weightKg: number, liquidKgM3: number): number {
  return (weightKg * (1 - airKgM3 / weightsKgM3)) / (1 - airKgM3 / liquidKgM3);
}
