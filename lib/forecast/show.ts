import type { Plant, Run } from '../engine/types';
import { countWithin, heldUpL } from './charge';

/** What the charge has come to, by count and boiling temperature together. */
export interface ChargeView {
  /** Of the alcohol there really was, come over [%]; and one standard uncertainty. */
  readonly sharePercent: number;
  readonly withinPercent: number;
  /** Left in the boiler [L], and its strength [% vol]. */
  readonly leftL: number;
  readonly leftVolPercent: number;
  /** Distillate coming over [L/h]. */
  readonly rateLPerH: number;
}

/** What stands between the boiler and the count, in head, condenser and parrot, as a share of the charge's alcohol; one standard uncertainty. */
const onTheWayShare = 0.009;

/** What the estimator makes of the charge, for people to see; null before it boils and where nothing tells. */
export function viewCharge(plant: Plant, run: Run): ChargeView | null {
  const { produced, forecast } = run.estimate;
  const charge = forecast?.charge ?? null;
  if (plant.charge === null || charge === null || produced.source === 'none') return null;
  if (run.phase === 'idle' || run.phase === 'heat-up' || run.phase === 'cool-down') return null;
  const thereL = charge.countedL + charge.alcoholL + heldUpL(plant, charge);
  // share = counted / (counted + left): either may be off.
  const byLeft = (charge.countedL * Math.sqrt(charge.varL2)) / thereL ** 2;
  const byCount = (countWithin * charge.countedL * (thereL - charge.countedL)) / thereL ** 2;
  const leftL = Math.max(0.01, plant.charge.volumeL - produced.volumeL);
  return {
    sharePercent: (100 * charge.countedL) / thereL,
    withinPercent: 100 * Math.hypot(byLeft, byCount, onTheWayShare),
    leftL,
    leftVolPercent: Math.min(100, (100 * charge.alcoholL) / leftL),
    rateLPerH: produced.rateLPerH,
  };
}
