import { distilledByHeatL, heatNow } from '../engine/produced';
import type { Estimate, FlowForecast, Image, Plant, Run } from '../engine/types';
import { flowNothing } from './nothing';

/** How long the comparison of what is measured with what the heat should bring remembers [s]. */
const memoryS = 400;
/** What the heat should bring counts as much as so long of measuring, to begin with [s]. */
const beliefS = 90;

/** Rate at which distillate comes, and how well it is known. */
export interface Flow {
  readonly litresPerS: number;
  /** Standard uncertainty [share of it]. */
  readonly within: number;
}

/** What the heat should bring over now [L/s]; 1 where no heat is known, so that the rate is the measured one. */
function byHeatLPerS(plant: Plant, run: Run, estimate: Estimate, image: Image): number | null {
  const knowsHeat =
    Object.values(plant.still.drives).some(({ kind }) => kind === 'heat') || heatNow(plant, run, image) > 0;
  if (!knowsHeat) return null;
  const { strengthAbv, vapourTempC } = estimate;
  if (strengthAbv === null || vapourTempC === null || vapourTempC < 60) return 0;
  return distilledByHeatL(plant, { ...run, estimate }, heatNow(plant, run, image), strengthAbv, vapourTempC);
}

/** Follows measured volume against what the heat should have brought, both fading alike. */
export function followFlow(
  plant: Plant,
  run: Run,
  before: FlowForecast,
  estimate: Estimate,
  image: Image,
  gapS: number,
): { readonly memory: FlowForecast; readonly flow: Flow | null } {
  const { source, volumeL } = estimate.produced;
  const byHeat = byHeatLPerS(plant, run, estimate, image);
  if (source === 'heat') {
    const flow = byHeat === null || byHeat <= 0 ? null : { litresPerS: byHeat, within: 0.01 };
    return { memory: flowNothing, flow };
  }
  const modelLPerS = byHeat ?? 1;
  const fade = Math.exp(-gapS / memoryS);
  const cameL = before.atL === null ? 0 : Math.max(0, volumeL - before.atL);
  // Nothing has come yet: the way to the spout is still filling, and says nothing of the rate.
  const counts = before.atL !== null && (volumeL > 0 || before.weightS > 0) && cameL + before.measuredL > 0;
  const memory: FlowForecast = counts
    ? {
        atL: volumeL,
        measuredL: fade * before.measuredL + cameL,
        modelL: fade * before.modelL + modelLPerS * gapS,
        weightS: fade * before.weightS + gapS,
      }
    : { ...flowNothing, atL: volumeL };
  return { memory, flow: flowOf(memory, modelLPerS, byHeat !== null) };
}

function flowOf(memory: FlowForecast, modelLPerS: number, byHeat: boolean): Flow | null {
  if (modelLPerS <= 0) return null;
  if (!byHeat) {
    return memory.weightS < 60 || memory.measuredL <= 0
      ? null
      : { litresPerS: memory.measuredL / memory.weightS, within: 0.05 };
  }
  const expectedL = memory.weightS <= 0 ? modelLPerS : memory.modelL / memory.weightS;
  const factor = (memory.measuredL + beliefS * expectedL) / (memory.modelL + beliefS * expectedL);
  const unsure = beliefS / (memory.weightS + beliefS);
  return { litresPerS: factor * modelLPerS, within: 0.015 + 0.4 * unsure ** 2 };
}
