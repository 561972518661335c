import { boilerPressureHPa } from '../alarms/content';
import { valueOfKind } from '../engine/image';
import type { ChargeForecast, Estimate, Image, Plant, Run } from '../engine/types';
import { densityKgM3, ethanolDensity20KgM3, massFractionFromAbv } from '../physics';
import { at, boiling, placeOfX, slopeKPerPlace } from './boiling';
import { atStandard } from './standard';

/** Standard uncertainty of the charge's alcohol as it is written down [share of it]. */
const chargeWithin = 0.025;
/** What plates and condenser hold of the charge's alcohol, before anything tells, and its standard uncertainty [share of it]. */
const usualHoldUp = { pot: { share: 0, within: 0 }, column: { share: 0.06, within: 0.03 } } as const;
/** Standard uncertainty of the count of alcohol that came over [share of it]. */
export const countWithin = 0.04;
/** What the boiler probe may read beside the boiling point: its own error, solids, superheat, liquid above it [K]. */
const offsetWithinK = 0.4;
/** How that wanders within an hour [K]. */
const offsetWanderKPerRootH = 0.1;
/** Noise of one comparison; readings ten seconds apart are not independent [K]. */
const comparisonK = 0.5;

const ethanolMolPerL = ethanolDensity20KgM3 / 46.06844;
const waterGPerMol = 18.01528;

/** What the boiler holds. */
export interface Boiler {
  readonly ethanolMol: number;
  readonly waterMol: number;
  /** Mole fraction of ethanol. */
  readonly x: number;
}

function waterMolOf(volumeL: number, alcoholL: number): number {
  if (volumeL <= 0) return 0;
  const massFraction = massFractionFromAbv(Math.min(1, Math.max(0, alcoholL / volumeL)));
  return (volumeL * densityKgM3(massFraction, 20) * (1 - massFraction)) / waterGPerMol;
}

const chargedWaterMol = new WeakMap<Plant, number>();

/** Water of the charge [mol], worked out once a plant. */
function chargedWater(plant: Plant): number {
  const known = chargedWaterMol.get(plant);
  if (known !== undefined) return known;
  const { volumeL, strengthAbv } = plant.charge ?? { volumeL: 0, strengthAbv: 0 };
  const mol = waterMolOf(volumeL, volumeL * strengthAbv);
  chargedWaterMol.set(plant, mol);
  return mol;
}

/** Water left in the boiler: that of the charge without what came over [mol]. */
export function waterLeftMol(plant: Plant, estimate: Estimate): number {
  const chargedMol = chargedWater(plant);
  const { volumeL, alcoholL } = estimate.produced;
  return Math.max(0.05 * chargedMol, chargedMol - waterMolOf(volumeL, alcoholL));
}

/** The boiler's content when so much alcohol is left in it [L]. */
export function boilerOf(waterMol: number, alcoholL: number): Boiler {
  const ethanolMol = Math.max(1e-6, alcoholL) * ethanolMolPerL;
  return { ethanolMol, waterMol, x: ethanolMol / (ethanolMol + waterMol) };
}

export function beginCharge(plant: Plant, run: Run): ChargeForecast | null {
  const { charge } = plant;
  if (charge === null || !(charge.volumeL > 0) || !(charge.strengthAbv > 0)) return null;
  const chargedL = charge.volumeL * charge.strengthAbv;
  const holdUp = usualHoldUp[plant.still.kind];
  const gone = run.estimate.produced.alcoholL;
  return {
    alcoholL: Math.max(0.001 * chargedL, chargedL * (1 - holdUp.share) - gone),
    offsetK: 0,
    varL2: chargedL ** 2 * (chargeWithin ** 2 + holdUp.within ** 2) + (countWithin * gone) ** 2,
    covLK: 0,
    varK2: offsetWithinK ** 2,
    countedL: gone,
  };
}

/**
 * Follows the alcohol left in the boiler and the offset of the boiler probe: the count of what came over says how it falls, the boiling temperature of
 * the rest corrects it. A Kalman filter of two states.
 *
 * @param gapS since the last time [s]
 * @param waterMol water left in the boiler [mol]
 * @param boils the charge boils, so that its temperature says what it is
 */
export function followCharge(
  plant: Plant,
  image: Image,
  before: ChargeForecast,
  estimate: Estimate,
  run: Run,
  gapS: number,
  waterMol: number,
  boils: boolean,
): ChargeForecast {
  const { alcoholL: countedL } = estimate.produced;
  const goneL = Math.max(0, countedL - before.countedL);
  const predicted: ChargeForecast = {
    ...before,
    countedL,
    alcoholL: Math.max(1e-4, before.alcoholL - goneL),
    varL2: before.varL2 + 2 * countWithin ** 2 * countedL * goneL,
    varK2: before.varK2 + (offsetWanderKPerRootH ** 2 * gapS) / 3600,
  };
  const { boilerTempC, pressure } = estimate;
  if (!boils || boilerTempC === null || pressure.medianHPa === null) return predicted;
  const here = boilerPressureHPa({ ...run, estimate }, valueOfKind(plant, image, 'boiler-pressure'));
  const readC = atStandard(boilerTempC, here, 'boiler');
  return readC === null ? predicted : correct(predicted, boilerOf(waterMol, predicted.alcoholL), readC);
}

function correct(before: ChargeForecast, boiler: Boiler, readC: number): ChargeForecast {
  const place = placeOfX(boiler.x);
  const boilsC = at(boiling().tempC, place);
  // d place / d alcohol: places are even in ln x, and d ln x = (1 − x) d ln(ethanol).
  const placesPerLn = placeOfX(0.02) - placeOfX(0.02 / Math.E);
  const kPerL = (slopeKPerPlace(place) * placesPerLn * (1 - boiler.x)) / Math.max(1e-4, before.alcoholL);
  const { varL2, covLK, varK2 } = before;
  const toL = varL2 * kPerL + covLK;
  const toK = covLK * kPerL + varK2;
  const total = toL * kPerL + toK + comparisonK ** 2;
  const apartK = readC - boilsC - before.offsetK;
  const [gainL, gainK] = [toL / total, toK / total];
  return {
    ...before,
    alcoholL: Math.max(0.2 * before.alcoholL, before.alcoholL + gainL * apartK),
    offsetK: before.offsetK + gainK * apartK,
    varL2: Math.max(1e-8, varL2 - gainL * toL),
    covLK: covLK - gainL * toK,
    varK2: Math.max(1e-6, varK2 - gainK * toK),
  };
}

/** Alcohol on the plates: what is missing from the balance is theirs in part, and in part was never charged [L]. */
export function heldUpL(plant: Plant, charge: ChargeForecast): number {
  const chargedL = (plant.charge?.volumeL ?? 0) * (plant.charge?.strengthAbv ?? 0);
  const { share, within } = usualHoldUp[plant.still.kind];
  if (share === 0) return 0;
  const missingL = chargedL * (1 - share) - charge.countedL - charge.alcoholL;
  const theirs = within ** 2 / (within ** 2 + chargeWithin ** 2);
  return Math.min(0.12 * chargedL, Math.max(0.01 * chargedL, share * chargedL + theirs * missingL));
}
