import { heatNow } from '../engine/produced';
import type { Plant, Run } from '../engine/types';

/** Coolant cannot be warmed by more than this before it boils itself [K]. */
const mostRiseK = 75;
const waterJPerLK = 4180;

/**
 * The least coolant that can take this heat away: as the still states, else heat over 75 K of warming. After the heat
 * has gone a tenth of the rated power counts, for what still comes over.
 *
 * @returns flow [L/h]
 */
export function leastFlowLPerH(plant: Plant, run: Run): number {
  const stated = plant.still.ratings.coolantFlowMinLPerH;
  if (stated !== undefined) return stated;
  let ratedW = 0;
  for (const id in plant.still.drives) {
    const drive = plant.still.drives[id];
    if (drive?.kind === 'heat') ratedW += drive.ratedW;
  }
  const heatW = Math.max(heatNow(plant, run, run.image), 0.1 * ratedW);
  return (heatW * 3600) / (waterJPerLK * mostRiseK);
}
