import { halfCapacityJPerK } from './condenser';
import type { StillState } from './state';

/** What is not accounted for, as a share of what the charge and the heat brought in. All are 0 in exact arithmetic. */
export interface Balance {
  readonly ethanolShare: number;
  readonly waterShare: number;
  readonly energyShare: number;
  /** Distillate between condenser and receivers: ethanol that left the condenser against ethanol found behind it. */
  readonly spoutEthanolShare: number;
}

function heldEnergyJ(state: StillState): number {
  const { spec, condenser } = state;
  let sum = state.boiler.energyJ + (condenser.upperC + condenser.lowerC) * halfCapacityJPerK(spec.condenser);
  for (const { vessel } of state.stages) sum += vessel.energyJ;
  for (const [id, source] of Object.entries(state.sources)) sum += source.tempC * spec.heat[id]!.bodyJPerK;
  return sum;
}

/** Heat held by the cold still at the start [J], on the same footing as heldEnergyJ. */
function startEnergyJ(state: StillState): number {
  const { spec, start } = state;
  let sum = start.energyJ + 2 * spec.condenser.coolantInC * halfCapacityJPerK(spec.condenser);
  for (const id of Object.keys(state.sources)) sum += spec.charge.tempC * spec.heat[id]!.bodyJPerK;
  return sum;
}

function foundBehindSpout(state: StillState): { ethanolMol: number; waterMol: number } {
  const { spout } = state;
  let ethanolMol = spout.parrot.ethanolMol + spout.overrun.ethanolMol;
  let waterMol = spout.parrot.waterMol + spout.overrun.waterMol;
  for (const part of spout.line) {
    ethanolMol += part.ethanolMol;
    waterMol += part.waterMol;
  }
  for (const receiver of Object.values(state.receivers)) {
    ethanolMol += receiver.ethanolMol + receiver.spilledEthanolMol;
    waterMol += receiver.waterMol + receiver.spilledWaterMol;
  }
  return { ethanolMol, waterMol };
}

/** Accounts for everything that went in. */
export function balanceOf(state: StillState): Balance {
  const { totals, start, boiler } = state;
  let ethanolMol = boiler.ethanolMol + totals.productEthanolMol + totals.escapedEthanolMol + totals.drainedEthanolMol;
  let waterMol = boiler.waterMol + totals.productWaterMol + totals.escapedWaterMol + totals.drainedWaterMol;
  for (const { vessel } of state.stages) {
    ethanolMol += vessel.ethanolMol;
    waterMol += vessel.waterMol;
  }
  const outJ =
    totals.lossJ +
    totals.escapedJ +
    totals.productJ +
    totals.drainedJ +
    state.condenser.carriedOffJ +
    heldEnergyJ(state);
  const inJ = startEnergyJ(state) + totals.heatInJ;
  return {
    ethanolShare: (ethanolMol - start.ethanolMol) / Math.max(start.ethanolMol, 1e-9),
    waterShare: (waterMol - start.waterMol) / Math.max(start.waterMol, 1e-9),
    energyShare: (outJ - inJ) / Math.max(inJ, 1),
    spoutEthanolShare:
      (foundBehindSpout(state).ethanolMol - totals.productEthanolMol) / Math.max(totals.productEthanolMol, 1e-9),
  };
}
