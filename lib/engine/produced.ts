import {
  densityKgM3,
  massFractionFromAbv,
  molarMassGPerMol,
  moleFractionFromMassFraction,
  vaporisationHeatJPerMol,
} from '../physics';
import type { Fraction } from '../recipe/schema';
import { vapourThereC } from './hot';
import { pointOf, valueOfKind } from './image';
import { trusted } from './reading';
import type { Image, Plant, Produced, Run, VolumeSource } from './types';

const nothing = { volumeL: 0, alcoholL: 0 };

export const producedNothing: Produced = {
  source: 'none',
  volumeL: 0,
  alcoholL: 0,
  rateLPerH: 0,
  byFraction: { foreshots: nothing, heads: nothing, hearts: nothing, tails: nothing },
  byReceiver: {},
  meterL: {},
  energyJ: 0,
};

interface Step {
  readonly source: VolumeSource;
  readonly volumeL: number;
  readonly meterL: Readonly<Record<string, number>>;
}

/** A meter that falls by more than its noise was emptied or reset; within it only a new highest value counts [L]. */
const emptiedL = 0.15;

/**
 * What came over since the last scan and since the start, from the best source there is: a meter of the whole, meters
 * of the receivers, a flow, or the heat put in. A meter that falls was emptied or reset: it only starts a new count.
 */
export function followProduced(
  plant: Plant,
  run: Run,
  image: Image,
  now: number,
  strengthAbv: number | null,
  vapourTempC: number | null,
): Produced {
  const before = run.estimate.produced;
  const gapS = Math.max(0, Math.min(now - run.now, 60));
  const heatW = heatNow(plant, run, image);
  const step = stepOf(plant, run, image, gapS, heatW, strengthAbv, vapourTempC);
  const energyJ = before.energyJ + heatW * gapS * plant.still.boilUp.efficiency;
  if (!isCounting(run)) return { ...before, meterL: step.meterL, source: step.source, rateLPerH: 0 };
  const alcoholL = strengthAbv === null ? 0 : step.volumeL * strengthAbv;
  const instantLPerH = gapS > 0 ? (step.volumeL / gapS) * 3600 : before.rateLPerH;
  const weight = gapS / (gapS + 60);
  const fraction = run.spout.fraction;
  const receiver = run.receiver;
  return {
    source: step.source,
    meterL: step.meterL,
    volumeL: before.volumeL + step.volumeL,
    alcoholL: before.alcoholL + alcoholL,
    rateLPerH: rateAfter(before.rateLPerH, instantLPerH, weight),
    byFraction:
      fraction === null || step.volumeL === 0
        ? before.byFraction
        : addTo(before.byFraction, fraction, step.volumeL, alcoholL),
    byReceiver:
      receiver === null || step.volumeL === 0
        ? before.byReceiver
        : { ...before.byReceiver, [receiver]: (before.byReceiver[receiver] ?? 0) + step.volumeL },
    energyJ,
  };
}

/** Smoothed over about a minute; what is less than a drop an hour is none. */
function rateAfter(before: number, instantLPerH: number, weight: number): number {
  const rateLPerH = before + weight * (instantLPerH - before);
  return rateLPerH < 1e-4 ? 0 : rateLPerH;
}

function isCounting(run: Run): boolean {
  return run.startedAtS !== null && run.phase !== 'idle' && run.state !== 'complete' && run.state !== 'stopped';
}

function addTo(
  all: Produced['byFraction'],
  fraction: Fraction,
  volumeL: number,
  alcoholL: number,
): Produced['byFraction'] {
  const had = all[fraction];
  return { ...all, [fraction]: { volumeL: had.volumeL + volumeL, alcoholL: had.alcoholL + alcoholL } };
}

/** Heat going in now [W]: as measured, else as commanded. */
export function heatNow(plant: Plant, run: Run, image: Image): number {
  const measured = valueOfKind(plant, image, 'heat-power');
  if (measured !== null) return Math.max(0, measured);
  let heatW = 0;
  for (const id in plant.still.drives) {
    const drive = plant.still.drives[id];
    const value = run.drives[id]?.value;
    if (drive?.kind === 'heat' && typeof value === 'number') heatW += value * drive.ratedW;
  }
  return heatW;
}

function stepOf(
  plant: Plant,
  run: Run,
  image: Image,
  gapS: number,
  heatW: number,
  strengthAbv: number | null,
  vapourTempC: number | null,
): Step {
  const meterL = run.estimate.produced.meterL;
  const meter = pointOf(plant, 'collected-volume');
  if (meter !== null) return countMeters(image, meterL, [meter.id], 'measured');
  const receivers = Object.keys(plant.still.points).filter((id) => plant.still.points[id]?.kind === 'receiver-volume');
  if (receivers.length > 0 && receivers.length >= Object.keys(plant.still.receivers).length) {
    return countMeters(image, meterL, receivers, 'receivers');
  }
  const flowLPerH = valueOfKind(plant, image, 'product-flow');
  if (flowLPerH !== null) return { source: 'flow', volumeL: (flowLPerH * gapS) / 3600, meterL };
  if (strengthAbv === null || vapourTempC === null || vapourTempC < vapourThereC)
    return { source: 'heat', volumeL: 0, meterL };
  return { source: 'heat', volumeL: distilledByHeatL(plant, run, heatW, strengthAbv, vapourTempC) * gapS, meterL };
}

function countMeters(image: Image, before: Produced['meterL'], points: readonly string[], source: VolumeSource): Step {
  let volumeL = 0;
  const meterL: Record<string, number> = { ...before };
  for (const id of points) {
    const value = trusted(image[id]);
    if (value === null) continue;
    const was = before[id];
    if (was === undefined || value < was - emptiedL) meterL[id] = value;
    else if (value > was) {
      volumeL += value - was;
      meterL[id] = value;
    }
  }
  return { source, volumeL, meterL };
}

/** Distillate a second that the net heat can boil up and that does not run back [L/s at 20 °C]. */
export function distilledByHeatL(
  plant: Plant,
  run: Run,
  heatW: number,
  strengthAbv: number,
  vapourTempC: number,
): number {
  const { efficiency, lossW, refluxShare } = plant.still.boilUp;
  const netW = Math.max(0, heatW * efficiency - lossW - warmingW(plant, run));
  const massFraction = massFractionFromAbv(strengthAbv);
  const moleFraction = moleFractionFromMassFraction(massFraction);
  const molesPerS =
    (netW / vaporisationHeatJPerMol(moleFraction, vapourTempC)) * (1 - refluxShare) * takeOffShare(plant, run);
  const kgPerS = (molesPerS * molarMassGPerMol(moleFraction)) / 1000;
  return (kgPerS / densityKgM3(massFraction, 20)) * 1000;
}

/** About what a litre of low wines or of water takes up a kelvin [J/(L K)]. */
const heatCapacityJPerLK = 4050;

/** A boiling charge warms no faster; what is faster is the smoothed end of the heat-up [K/s]. */
const fastestBoilingKPerS = 0.005;

/** Heat that only warms the liquid left in the boiler, which boils ever hotter as it gets weaker [W]. */
function warmingW(plant: Plant, run: Run): number {
  const { boilerSlopeKPerS, produced } = run.estimate;
  if (boilerSlopeKPerS === null || plant.charge === null) return 0;
  const leftL = Math.max(plant.still.heelL, plant.charge.volumeL - produced.volumeL);
  return Math.min(fastestBoilingKPerS, Math.max(0, boilerSlopeKPerS)) * leftL * heatCapacityJPerLK;
}

function takeOffShare(plant: Plant, run: Run): number {
  for (const id in plant.still.drives) {
    const value = run.drives[id]?.value;
    if (plant.still.drives[id]?.kind === 'take-off') return typeof value === 'number' ? value : 0;
  }
  // No take-off of ours: the operator sets it by hand as the recipe says.
  return plant.plan[run.step]?.step.takeOffShare ?? 1;
}
