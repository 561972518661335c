import {
  liquidEnthalpyJPerMol,
  liquidHeatCapacityJPerMolK,
  vaporisationHeatJPerMol,
  vapourEnthalpyJPerMol,
} from '../../lib/physics';
import { boundedPressureHPa, createEquilibrium, type Equilibrium, refreshEquilibrium } from './equilibrium';
import { boilOffTracers } from './tracers';

/** An amount of liquid or vapour on its way, with its heat counted from the pure liquids at 0 °C. Reused, never kept. */
export interface Parcel {
  ethanolMol: number;
  waterMol: number;
  energyJ: number;
  readonly tracersMol: number[];
}

/** A place that holds liquid: the boiler, a stage. Metal and liquid share one temperature. */
export interface Vessel {
  ethanolMol: number;
  waterMol: number;
  /** Heat in liquid and metal, counted from 0 °C. */
  energyJ: number;
  tempC: number;
  readonly metalJPerK: number;
  readonly tracersMol: number[];
  readonly equilibrium: Equilibrium;
}

const tiniestMol = 1e-9;

export function createParcel(tracerCount: number): Parcel {
  return { ethanolMol: 0, waterMol: 0, energyJ: 0, tracersMol: new Array<number>(tracerCount).fill(0) };
}

export function emptyParcel(parcel: Parcel): void {
  parcel.ethanolMol = 0;
  parcel.waterMol = 0;
  parcel.energyJ = 0;
  parcel.tracersMol.fill(0);
}

/** Adds a share of one parcel to another. */
export function addParcel(to: Parcel, from: Parcel, share = 1): void {
  to.ethanolMol += from.ethanolMol * share;
  to.waterMol += from.waterMol * share;
  to.energyJ += from.energyJ * share;
  for (let index = 0; index < to.tracersMol.length; index++) to.tracersMol[index]! += from.tracersMol[index]! * share;
}

/** Takes a share out of a parcel, after addParcel has put it elsewhere. */
export function scaleParcel(parcel: Parcel, share: number): void {
  parcel.ethanolMol *= share;
  parcel.waterMol *= share;
  parcel.energyJ *= share;
  for (let index = 0; index < parcel.tracersMol.length; index++) parcel.tracersMol[index]! *= share;
}

export function createVessel(metalJPerK: number, tempC: number, tracerCount: number): Vessel {
  return {
    ethanolMol: 0,
    waterMol: 0,
    energyJ: metalJPerK * tempC,
    tempC,
    metalJPerK,
    tracersMol: new Array<number>(tracerCount).fill(0),
    equilibrium: createEquilibrium(),
  };
}

/** Mole fraction of ethanol in a vessel's liquid; 0 when empty. */
export function compositionOf(vessel: Vessel): number {
  const total = vessel.ethanolMol + vessel.waterMol;
  return total > tiniestMol ? Math.min(1, Math.max(0, vessel.ethanolMol / total)) : 0;
}

function energyAt(vessel: Vessel, total: number, x: number, tempC: number): number {
  return total * liquidEnthalpyJPerMol(x, tempC) + vessel.metalJPerK * tempC;
}

/** Finds the temperature that belongs to the heat in a vessel (Newton; the last temperature is near). */
export function settleTemp(vessel: Vessel): void {
  const total = vessel.ethanolMol + vessel.waterMol;
  const x = compositionOf(vessel);
  let tempC = vessel.tempC;
  for (let step = 0; step < 8; step++) {
    const excessJ = vessel.energyJ - energyAt(vessel, total, x, tempC);
    const capacityJPerK = total * liquidHeatCapacityJPerMolK(x, tempC) + vessel.metalJPerK;
    const change = excessJ / capacityJPerK;
    tempC += change;
    if (Math.abs(change) < 1e-9) break;
  }
  vessel.tempC = tempC;
}

/** How a vessel's vapour leaves. */
export interface Outlet {
  /** Absolute pressure beyond the outlet [hPa]. */
  outsideHPa: number;
  /** Resistance of the outlet: pressure difference over flow squared [hPa s²/mol²]; 0 is none. */
  resistance: number;
  /** Rise of the boiling point above that of water and ethanol alone [K]. */
  riseK: number;
  /** Where between the beginning (0) and the end (1) of the step the vapour's composition is taken. */
  theta: number;
}

/** A vessel about to boil, and what solveBoilOff found; one object, reused. */
const found = { before: 0, totalMol: 0, capacityJPerK: 0, boiledMol: 0, ethanolMol: 0, tempC: 0, x: 0 };

/**
 * How much boils off if the liquid is left with a composition: heat in excess of its boiling point = vapour × heat of vaporisation + heat
 * that goes with the rise of pressure that the vapour makes in the outlet, a quadratic in the flow.
 *
 * @returns composition that is then really left [mole fraction]
 */
function boilTo(vessel: Vessel, after: number, dtS: number, outlet: Outlet): number {
  const eq = vessel.equilibrium;
  const { before, totalMol, capacityJPerK } = found;
  const at = before + outlet.theta * (after - before);
  const y = Math.min(1, Math.max(0, eq.y + eq.slopeY * (at - eq.x)));
  const tempC = eq.tempC + eq.slopeTempC * (after - eq.x) + outlet.riseK;
  const stiffness = capacityJPerK * eq.slopeKPerHPa;
  const excessJ =
    vessel.energyJ - energyAt(vessel, totalMol, before, tempC) - stiffness * (outlet.outsideHPa - eq.pressureHPa);
  found.tempC = tempC;
  found.boiledMol = 0;
  found.ethanolMol = 0;
  if (excessJ <= 0) return before;
  const latentJPerMol = vaporisationHeatJPerMol(y, tempC);
  const square = (stiffness * outlet.resistance) / (dtS * dtS);
  const root = Math.sqrt(latentJPerMol * latentJPerMol + 4 * square * excessJ);
  const boiledMol = Math.min((2 * excessJ) / (latentJPerMol + root), 0.5 * totalMol);
  const ethanolMol = Math.min(boiledMol * y, 0.98 * vessel.ethanolMol);
  const waterMol = Math.min(boiledMol - boiledMol * y, 0.98 * vessel.waterMol);
  found.ethanolMol = ethanolMol;
  found.boiledMol = ethanolMol + waterMol;
  return (vessel.ethanolMol - ethanolMol) / (totalMol - found.boiledMol);
}

/** Finds the composition at which boilTo leaves what it assumed, by secant steps; plain repetition where they don't help. */
function solveBoilOff(vessel: Vessel, dtS: number, outlet: Outlet): void {
  let after = Math.min(1, Math.max(0, vessel.equilibrium.x));
  let left = boilTo(vessel, after, dtS, outlet);
  let lastAfter = after;
  let lastError = left - after;
  after = left;
  for (let round = 0; round < 12; round++) {
    left = boilTo(vessel, after, dtS, outlet);
    const error = left - after;
    if (Math.abs(error) < 1e-11) break;
    const slope = (error - lastError) / (after - lastAfter);
    lastAfter = after;
    lastError = error;
    const next = slope < -0.05 ? after - error / slope : left;
    after = Math.min(1, Math.max(0, next));
    if (after === lastAfter) break;
  }
  found.x = left;
}

/**
 * Lets a vessel boil for one step: takes vapour out of it into `vapour` (emptied first) and leaves liquid and metal at the boiling point,
 * or takes nothing when it is colder. Ethanol, water and heat are moved, never made.
 *
 * @returns absolute pressure in the vessel [hPa]
 */
export function boilOff(vessel: Vessel, dtS: number, outlet: Outlet, vapour: Parcel): number {
  emptyParcel(vapour);
  const totalMol = vessel.ethanolMol + vessel.waterMol;
  if (totalMol < tiniestMol) {
    settleTemp(vessel);
    return outlet.outsideHPa;
  }
  const eq = vessel.equilibrium;
  found.before = compositionOf(vessel);
  found.totalMol = totalMol;
  if (eq.x < 0) refreshEquilibrium(eq, found.before, outlet.outsideHPa);
  found.capacityJPerK = totalMol * liquidHeatCapacityJPerMolK(found.before, eq.tempC) + vessel.metalJPerK;
  let pressureHPa = outlet.outsideHPa;
  for (let round = 0; round < 6; round++) {
    solveBoilOff(vessel, dtS, outlet);
    const flow = found.boiledMol / dtS;
    pressureHPa = outlet.outsideHPa + outlet.resistance * flow * flow;
    const isNear =
      Math.abs(found.x - eq.x) < 0.02 * (eq.x + 0.01) && Math.abs(pressureHPa - eq.pressureHPa) < 0.01 * eq.pressureHPa;
    if (isNear) break;
    refreshEquilibrium(eq, found.x, boundedPressureHPa(pressureHPa));
  }
  if (found.boiledMol > 0) takeVapour(vessel, pressureHPa, outlet.riseK, vapour);
  settleTemp(vessel);
  return pressureHPa;
}

/** Carries out what solveBoilOff found. */
function takeVapour(vessel: Vessel, pressureHPa: number, riseK: number, vapour: Parcel): void {
  const { boiledMol, ethanolMol, tempC, x, totalMol } = found;
  const energyJ = boiledMol * vapourEnthalpyJPerMol(ethanolMol / boiledMol, tempC);
  boilOffTracers(vessel.tracersMol, vapour.tracersMol, x, tempC - riseK, pressureHPa, totalMol, boiledMol);
  vapour.ethanolMol = ethanolMol;
  vapour.waterMol = boiledMol - ethanolMol;
  vapour.energyJ = energyJ;
  vessel.ethanolMol -= ethanolMol;
  vessel.waterMol -= vapour.waterMol;
  vessel.energyJ -= energyJ;
  refreshEquilibrium(vessel.equilibrium, x, boundedPressureHPa(pressureHPa));
}
