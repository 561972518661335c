import { liquidEnthalpyJPerMol } from '../../lib/physics';
import type { HeatSpec } from './spec';
import { volumeOfL } from './spout';
import type { Actuators, SourceState, StillState, World } from './state';
import { compositionOf, type Parcel } from './vessel';

/**
 * One step of a heat source's body: power in, heat out to the liquid it touches and to the air. Implicit, so a light body never overshoots.
 *
 * @returns heat given to the liquid [J]
 */
function warmSource(
  source: SourceState,
  spec: HeatSpec,
  touchingShare: number,
  liquidC: number,
  roomC: number,
  dtS: number,
): number {
  const toLiquid = spec.toLiquidWPerK * touchingShare;
  const excess = Math.max(0, source.tempC - roomC) / 400;
  // A bare glowing body loses far more than a warm one: radiation, roughly.
  const toAir = spec.toAirWPerK * (1 + excess * excess);
  const inJ = source.powerW * spec.efficiency * dtS;
  const capacity = spec.bodyJPerK + dtS * (toLiquid + toAir);
  source.tempC = (spec.bodyJPerK * source.tempC + inJ + dtS * (toLiquid * liquidC + toAir * roomC)) / capacity;
  return toLiquid * (source.tempC - liquidC) * dtS;
}

/** Share of the element that liquid covers. */
export function coveredShareOf(state: StillState): number {
  const { elementTopL, elementBottomL } = state.spec.body;
  if (elementTopL <= elementBottomL) return state.boilerL > elementTopL ? 1 : 0;
  return Math.min(1, Math.max(0, (state.boilerL - elementBottomL) / (elementTopL - elementBottomL)));
}

function isElectric(state: StillState, id: string): boolean {
  const drive = state.spec.still.drives[id];
  return drive?.kind === 'heat' && drive.source === 'element';
}

/** Heats the boiler's liquid from every source and lets it lose heat to the room. */
export function heatBoiler(state: StillState, actuators: Actuators, world: World, dtS: number): void {
  const { spec, boiler, totals } = state;
  const roomC = spec.site.roomTempC;
  state.boilerL = volumeOfL(boiler.ethanolMol, boiler.waterMol);
  state.coveredShare = coveredShareOf(state);
  state.powerW = 0;
  for (const [id, source] of Object.entries(state.sources)) {
    const heat = spec.heat[id]!;
    const allowed = isElectric(state, id) ? world.mainsOn && actuators.contactorClosed : true;
    source.powerW = allowed ? heat.ratedW * Math.min(1, Math.max(0, actuators.heat[id] ?? 0)) : 0;
    const touching = state.coveredShare * (1 - world.fouledShare);
    const bodyBeforeJ = source.tempC * heat.bodyJPerK;
    const givenJ = warmSource(source, heat, touching, boiler.tempC, roomC, dtS);
    boiler.energyJ += givenJ;
    state.powerW += source.powerW;
    totals.heatInJ += source.powerW * dtS;
    totals.lossJ += source.powerW * dtS - givenJ - (source.tempC * heat.bodyJPerK - bodyBeforeJ);
  }
  const lossJ = spec.body.boilerLossWPerK * (boiler.tempC - roomC) * dtS;
  boiler.energyJ -= lossJ;
  totals.lossJ += lossJ;
}

/** Lets liquid out of the boiler by the drain. */
export function drainBoiler(state: StillState, litresPerH: number, dtS: number, moving: Parcel): void {
  if (litresPerH <= 0 || state.boilerL <= 0) return;
  const share = Math.min(0.5, (litresPerH * dtS) / 3600 / Math.max(state.boilerL, 1e-6));
  takeLiquid(state, share, moving);
  state.totals.drainedEthanolMol += moving.ethanolMol;
  state.totals.drainedWaterMol += moving.waterMol;
  state.totals.drainedJ += moving.energyJ;
}

/** Takes a share of the boiler's liquid, with its heat and its traces. */
export function takeLiquid(state: StillState, share: number, moving: Parcel): void {
  const { boiler } = state;
  const total = boiler.ethanolMol + boiler.waterMol;
  moving.ethanolMol = boiler.ethanolMol * share;
  moving.waterMol = boiler.waterMol * share;
  moving.energyJ = total * share * liquidEnthalpyJPerMol(compositionOf(boiler), boiler.tempC);
  for (let index = 0; index < moving.tracersMol.length; index++) {
    moving.tracersMol[index] = boiler.tracersMol[index]! * share;
    boiler.tracersMol[index]! *= 1 - share;
  }
  boiler.ethanolMol *= 1 - share;
  boiler.waterMol *= 1 - share;
  boiler.energyJ -= moving.energyJ;
}
