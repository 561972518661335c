import type { Plant, Run } from '../engine/types';
import {
  bubbleTempC,
  densityKgM3,
  liquidHeatCapacityJPerMolK,
  massFractionFromAbv,
  molarMassGPerMol,
  moleFractionFromAbv,
  moleFractionFromMassFraction,
  waterBoilingPointC,
} from '../physics';

const standardHPa = 1013.25;
/** Rise of the boiling point by the height of the liquid and by a clean smooth boiler that boils late [K]. */
const lateBoilingK = 1;

/** Absolute pressure over the boiling liquid [hPa]: the air, and what the boiler stands above it where that is measured. */
export function boilerPressureHPa(run: Run, gaugeHPa: number | null): number {
  return (run.estimate.pressure.medianHPa ?? standardHPa) + Math.max(0, gaugeHPa ?? 0);
}

/**
 * What should be left in the boiler: the charge without what was collected [L]. Energy does not enter, so a still at
 * total reflux is not taken for empty.
 *
 * @returns litres; null without a charge or with nothing that tells how much came over
 */
export function leftL(plant: Plant, run: Run): number | null {
  const { produced } = run.estimate;
  if (plant.charge === null || run.startedAtS === null || produced.source === 'none') return null;
  return Math.max(0, plant.charge.volumeL - produced.volumeL);
}

/** How far off the count of alcohol that came over is allowed to be. */
const countedWithin = 0.25;

/**
 * Boiling point of what should be left in the boiler, as a range.
 *
 * Alcohol left = alcohol charged − (1 ± 0.25) × alcohol counted; with that strength, the bubble point at the pressure
 * over the liquid. The upper end has 1 K more, for a clean boiler that boils late.
 *
 * @returns lowest and highest temperature [°C]; null without a charge
 * Accuracy: the range is narrow at the beginning of a run and 3 to 5 K wide in its middle; sugar and solids (up to 3 K) are not in it.
 */
export function leftBubbleC(
  plant: Plant,
  run: Run,
  pressureHPa: number,
): { readonly lowC: number; readonly highC: number } | null {
  const { charge } = plant;
  const left = leftL(plant, run);
  if (charge === null || left === null) return null;
  const water = waterBoilingPointC(pressureHPa);
  const boilsAtC = (countedShare: number): number => {
    const alcoholL = charge.volumeL * charge.strengthAbv - countedShare * run.estimate.produced.alcoholL;
    const strengthAbv = left <= 0 ? 0 : Math.min(charge.strengthAbv, Math.max(0, alcoholL / left));
    return strengthAbv <= 0 ? water : Math.min(water, bubbleTempC(moleFractionFromAbv(strengthAbv), pressureHPa));
  };
  return { lowC: boilsAtC(1 - countedWithin), highC: boilsAtC(1 + countedWithin) + lateBoilingK };
}

/**
 * Heat capacity of the charge, the liquid alone [J/K].
 *
 * @param volumeL charge at 20 °C [L]
 * @param strengthAbv [0..1]
 * Accuracy: right for water, up to 12 % low about 30 % vol, since the heat of mixing is left out; so is the still's metal.
 * A charge therefore looks fuller than it is, and a missing half of it is found, a missing third is not.
 */
export function chargeHeatJPerK(volumeL: number, strengthAbv: number): number {
  const massFraction = massFractionFromAbv(strengthAbv);
  const x = moleFractionFromMassFraction(massFraction);
  const moles = (volumeL * densityKgM3(massFraction, 20)) / molarMassGPerMol(x);
  return moles * liquidHeatCapacityJPerMolK(x, 50);
}

const capacities = new WeakMap<Plant, number | null>();

/** Heat capacity of this plant's charge [J/K], worked out once; null without a charge. */
export function chargeHeatOf(plant: Plant): number | null {
  const known = capacities.get(plant);
  if (known !== undefined) return known;
  const { charge } = plant;
  const heat = charge === null ? null : chargeHeatJPerK(charge.volumeL, charge.strengthAbv);
  capacities.set(plant, heat);
  return heat;
}
