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

/** Alcohol is taken to have come over by this much more than counted, so that the boiling point is never set too low. */
const alcoholMargin = 1.25;

/**
 * Boiling point of what should be left in the boiler, the weaker end of what is possible.
 *
 * Alcohol left = alcohol charged − 1.25 × alcohol counted; with that strength, the bubble point at the pressure over
 * the liquid, and 1 K for a clean boiler that boils late.
 *
 * @returns temperature [°C]; null without a charge
 * Accuracy: high by up to 3 K in the middle of a run, exact at its beginning; sugar and solids (up to 3 K) are not in it.
 */
export function leftBubbleC(plant: Plant, run: Run, pressureHPa: number): number | null {
  const { charge } = plant;
  const left = leftL(plant, run);
  if (charge === null || left === null) return null;
  const alcoholL = charge.volumeL * charge.strengthAbv - alcoholMargin * run.estimate.produced.alcoholL;
  const strengthAbv = left <= 0 ? 0 : Math.min(charge.strengthAbv, Math.max(0, alcoholL / left));
  const water = waterBoilingPointC(pressureHPa);
  if (strengthAbv <= 0) return water + lateBoilingK;
  return Math.min(water, bubbleTempC(moleFractionFromAbv(strengthAbv), pressureHPa)) + lateBoilingK;
}

/**
 * Heat capacity of the charge, the liquid alone [J/K].
 *
 * @param volumeL charge at 20 °C [L]
 * @param strengthAbv [0..1]
 * Accuracy: 1–8 % low, since the heat of mixing is left out; the metal of the still is left out too.
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
