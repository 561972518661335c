import { liquidEnthalpyJPerMol, liquidHeatCapacityJPerMolK } from '../../lib/physics';
import type { CondenserSpec } from './spec';
import { emptyParcel, type Parcel } from './vessel';

/** Coolant held in the condenser, lower (cold) and upper half; it flows upwards against the vapour. */
export interface CondenserState {
  upperC: number;
  lowerC: number;
  /** At the outlet probe, a little way down the hose: it cools when the flow stops. */
  outletC: number;
  productC: number;
  flowLPerH: number;
  /** Heat the coolant has carried off since the start [J]. */
  carriedOffJ: number;
}

const coolantJPerKgK = 4186;
const hoseKg = 0.2;
const hoseForgetsS = 240;
const productForgetsS = 200;

export function createCondenser(spec: CondenserSpec, roomTempC: number): CondenserState {
  return {
    upperC: spec.coolantInC,
    lowerC: spec.coolantInC,
    outletC: roomTempC,
    productC: roomTempC,
    flowLPerH: 0,
    carriedOffJ: 0,
  };
}

/** Heat capacity of one half of the condenser's coolant [J/K]. */
export function halfCapacityJPerK(spec: CondenserSpec): number {
  return (spec.coolantHeldL * coolantJPerKgK) / 2;
}

/** Moves the coolant on by one step, without vapour. */
export function flowCoolant(state: CondenserState, spec: CondenserSpec, share: number, roomC: number, dtS: number) {
  state.flowLPerH = spec.coolantLPerH * Math.max(0, share);
  const wPerK = (state.flowLPerH / 3600) * coolantJPerKgK;
  const capacity = halfCapacityJPerK(spec);
  // Implicit in each half: stable at any flow and step.
  const lowerC = (capacity * state.lowerC + dtS * wPerK * spec.coolantInC) / (capacity + dtS * wPerK);
  const upperC = (capacity * state.upperC + dtS * wPerK * lowerC) / (capacity + dtS * wPerK);
  state.carriedOffJ += dtS * wPerK * (upperC - spec.coolantInC);
  state.lowerC = lowerC;
  state.upperC = upperC;
  const pull = wPerK / coolantJPerKgK / hoseKg;
  const forget = 1 / hoseForgetsS;
  state.productC = (state.productC + (dtS / productForgetsS) * roomC) / (1 + dtS / productForgetsS);
  state.outletC = (state.outletC + dtS * (pull * upperC + forget * roomC)) / (1 + dtS * (pull + forget));
}

/**
 * Condenses vapour: the upper half takes what it can, the lower half the rest; what neither can take goes on as vapour.
 *
 * @param vapour what comes from the head; left holding only what escapes uncondensed
 * @param tempC its dew temperature [°C]
 * @param liquid filled with the distillate, cooled down
 */
export function condense(
  state: CondenserState,
  spec: CondenserSpec,
  vapour: Parcel,
  tempC: number,
  dtS: number,
  liquid: Parcel,
): void {
  emptyParcel(liquid);
  const totalMol = vapour.ethanolMol + vapour.waterMol;
  if (totalMol <= 1e-12) return;
  const y = Math.min(1, Math.max(0, vapour.ethanolMol / totalMol));
  const saturatedJ = totalMol * liquidEnthalpyJPerMol(y, tempC);
  const neededJ = Math.max(1e-9, vapour.energyJ - saturatedJ);
  const upperJ = Math.min(neededJ, Math.max(0, spec.halfWPerK * (tempC - state.upperC) * dtS));
  const lowerJ = Math.min(neededJ - upperJ, Math.max(0, spec.halfWPerK * (tempC - state.lowerC) * dtS));
  const share = (upperJ + lowerJ) / neededJ;
  const flowWPerK = (totalMol * share * liquidHeatCapacityJPerMolK(y, tempC)) / dtS;
  const warmest = Math.min(tempC, state.lowerC);
  const cooling = share > 0 ? Math.exp(-spec.subcoolWPerK / Math.max(flowWPerK, 1e-9)) : 0;
  state.productC = warmest + (tempC - warmest) * cooling;
  const liquidJ = totalMol * share * liquidEnthalpyJPerMol(y, state.productC);
  const capacity = halfCapacityJPerK(spec);
  state.upperC += upperJ / capacity;
  state.lowerC += (lowerJ + saturatedJ * share - liquidJ) / capacity;
  liquid.ethanolMol = vapour.ethanolMol * share;
  liquid.waterMol = vapour.waterMol * share;
  liquid.energyJ = liquidJ;
  for (let index = 0; index < liquid.tracersMol.length; index++) {
    liquid.tracersMol[index] = vapour.tracersMol[index]! * share;
    vapour.tracersMol[index]! *= 1 - share;
  }
  vapour.energyJ -= upperJ + lowerJ + saturatedJ * share;
  vapour.ethanolMol *= 1 - share;
  vapour.waterMol *= 1 - share;
}

/** Cools liquid that was carried over down to the distillate's temperature and joins it to the distillate. */
export function coolCarried(state: CondenserState, spec: CondenserSpec, carried: Parcel, liquid: Parcel): void {
  const totalMol = carried.ethanolMol + carried.waterMol;
  if (totalMol <= 0) return;
  const coldJ = totalMol * liquidEnthalpyJPerMol(carried.ethanolMol / totalMol, state.productC);
  state.lowerC += (carried.energyJ - coldJ) / halfCapacityJPerK(spec);
  liquid.ethanolMol += carried.ethanolMol;
  liquid.waterMol += carried.waterMol;
  liquid.energyJ += coldJ;
  for (let index = 0; index < liquid.tracersMol.length; index++)
    liquid.tracersMol[index]! += carried.tracersMol[index]!;
}
