import { bubblePressureHPa } from '../../lib/physics';
import { condense, coolCarried, flowCoolant } from './condenser';
import { drainBoiler, heatBoiler, takeLiquid } from './heating';
import { drawLine, feedLine, fillReceiver, mixInto, volumeOfL } from './spout';
import {
  type Actuators,
  createWorkspace,
  onlyReceiver,
  type StillState,
  tracerCountOf,
  type Workspace,
  type World,
} from './state';
import { climb, readHead, warmProbePocket } from './tower';
import { addParcel, boilOff, compositionOf, emptyParcel, type Outlet, type Parcel, scaleParcel } from './vessel';
import { advanceWeather, stationPressureAtHPa } from './weather';

const boilerOutlet: Outlet = { outsideHPa: 0, resistance: 0, riseK: 0, theta: 0.5 };
/** A path this closed is shut; a shut path still seeps, so the pressure stays defined. */
const leastOpenShare = 1e-6;
const lowerExplosiveLimit = 0.031;
const workspaces = new Map<number, Workspace>();

function workspaceOf(state: StillState): Workspace {
  const count = tracerCountOf(state.spec);
  const known = workspaces.get(count);
  if (known !== undefined) return known;
  const made = createWorkspace(count);
  workspaces.set(count, made);
  return made;
}

/** How open the way to the receivers is, all together. */
function receiverOpening(state: StillState, actuators: Actuators): number {
  if (state.receivers[onlyReceiver] !== undefined && Object.keys(state.spec.still.receivers).length === 0) return 1;
  let sum = 0;
  for (const id in state.receivers) sum += Math.max(0, actuators.receivers[id] ?? 0);
  return sum;
}

function holdUpOf(state: StillState): number {
  const { spout, boilUp } = state.spec.still;
  if (spout.holdUpL > 0) return spout.holdUpL;
  const ratedW = Object.values(state.spec.heat).reduce((sum, heat) => sum + heat.ratedW, 0);
  // 5 kW bring over about 15 L/h: transit at full heat as a volume.
  return (spout.transitS * ratedW * (1 - boilUp.refluxShare) * 15) / 5000 / 3600;
}

/** Boils the boiler against the resistance of the vapour path; over the relief valve's pressure vapour goes into the room. */
function boil(state: StillState, world: World, opening: number, dtS: number, work: Workspace): void {
  const { spec, boiler, head } = state;
  const ratedW = Object.values(spec.heat).reduce((sum, heat) => sum + heat.ratedW, 0) || 5000;
  const ratedMolPerS = ratedW / 40_000;
  const backedUp = opening <= 0 && state.spout.lineL > holdUpOf(state) + spec.backUpL && !spec.still.vent.unvalved;
  const openShare = Math.max(leastOpenShare, backedUp ? 0 : world.pathOpenShare);
  const below = spec.tower.dropHPa / (ratedMolPerS * ratedMolPerS);
  const behind = spec.tower.dropBehindHPa / (ratedMolPerS * ratedMolPerS * openShare * openShare);
  const solidsLeft = boiler.ethanolMol + boiler.waterMol;
  const full = state.start.ethanolMol + state.start.waterMol;
  const solidsK = solidsLeft > 0 ? spec.charge.solidsRiseK * Math.min(10, full / solidsLeft) : 0;
  boilerOutlet.outsideHPa = state.airHPa;
  boilerOutlet.resistance = below + behind;
  boilerOutlet.riseK = spec.body.superheatK + solidsK;
  state.boilerHPa = boilOff(boiler, dtS, boilerOutlet, work.vapour);
  const boiled = work.vapour.ethanolMol + work.vapour.waterMol;
  state.boiledMolPerS = boiled / dtS;
  head.pressureHPa = state.airHPa + behind * state.boiledMolPerS * state.boiledMolPerS;
  const reliefHPa = state.airHPa + spec.body.reliefHPa;
  if (state.boilerHPa > reliefHPa) {
    boilerOutlet.outsideHPa = reliefHPa;
    boilerOutlet.resistance = 0;
    boilOff(boiler, dtS, boilerOutlet, work.moving);
    letEscape(state, work.moving);
    state.boilerHPa = reliefHPa;
    head.pressureHPa = Math.min(head.pressureHPa, reliefHPa);
  }
  const isShut = (opening <= 0 && !spec.still.vent.unvalved) || world.pathOpenShare <= leastOpenShare;
  if (boiled === 0 && isShut) pullVacuum(state);
}

/** A shut still that cools: the pressure falls to that of its own vapour, until the breaker lets air in. */
function pullVacuum(state: StillState): void {
  const { boiler, spec } = state;
  if (boiler.ethanolMol + boiler.waterMol < 1) return;
  const vapourHPa = bubblePressureHPa(compositionOf(boiler), boiler.tempC);
  const lowestHPa = state.airHPa - spec.body.vacuumBreakerHPa;
  state.boilerHPa = Math.min(state.airHPa, Math.max(lowestHPa, vapourHPa));
}

/** Vapour into the room: counted, and seen by the gas detector. */
function letEscape(state: StillState, vapour: Parcel): void {
  const { totals, spec } = state;
  totals.escapedEthanolMol += vapour.ethanolMol;
  totals.escapedWaterMol += vapour.waterMol;
  totals.escapedJ += vapour.energyJ;
  const roomK = spec.site.roomTempC + 273.15;
  const volumeM3 = (vapour.ethanolMol * 8.314 * roomK) / (state.airHPa * 100);
  // Nothing is richer than pure vapour.
  state.gasShare =
    Math.min(1, volumeM3 / spec.site.zoneM3 + state.gasShare * lowerExplosiveLimit) / lowerExplosiveLimit;
}

function ventilate(state: StillState, dtS: number): void {
  state.gasShare /= 1 + (dtS * state.spec.site.airChangesPerH) / 3600;
}

/** Liquid thrown over with the vapour: by a fault, or by foam when the boiler is over-full and driven hard. */
function carryOver(state: StillState, world: World, vapourMol: number, moving: Parcel): number {
  emptyParcel(moving);
  const { spec, boiler } = state;
  const fill = state.boilerL / spec.still.boilerVolumeL;
  const foam = spec.body.foamShare * Math.min(1, Math.max(0, (fill - 0.8) / 0.2));
  const wantedMol = vapourMol * (world.pukeShare + foam);
  const total = boiler.ethanolMol + boiler.waterMol;
  if (wantedMol <= 0 || total <= 1) return 0;
  const share = Math.min(0.2, wantedMol / total);
  takeLiquid(state, share, moving);
  return total * share;
}

/** Parts the distillate at the take-off: what is not taken runs back onto the top stage. */
function returnReflux(state: StillState, actuators: Actuators, liquid: Parcel, dtS: number): void {
  const { spec, stages } = state;
  const top = stages.at(-1);
  if (spec.still.kind !== 'column' || top === undefined) return;
  const takeOff = Object.values(spec.still.drives).find((drive) => drive.kind === 'take-off');
  const opening = Math.min(1, Math.max(0, actuators.takeOffShare));
  const volumeL = volumeOfL(liquid.ethanolMol, liquid.waterMol);
  const mostL = takeOff?.maxLPerH === undefined ? volumeL : (takeOff.maxLPerH * dtS) / 3600;
  const taken = volumeL > 0 ? Math.min(1, (opening * mostL) / volumeL) : 0;
  const { vessel } = top;
  const back = 1 - taken;
  vessel.ethanolMol += liquid.ethanolMol * back;
  vessel.waterMol += liquid.waterMol * back;
  vessel.energyJ += liquid.energyJ * back;
  for (let index = 0; index < vessel.tracersMol.length; index++)
    vessel.tracersMol[index]! += liquid.tracersMol[index]! * back;
  scaleParcel(liquid, taken);
}

/** Distillate through the line into the receivers that are open, in proportion; when none is, it backs up and runs over at the vent. */
function collect(
  state: StillState,
  actuators: Actuators,
  liquid: Parcel,
  opening: number,
  dtS: number,
  work: Workspace,
) {
  const { spec, spout, totals } = state;
  totals.productJ += liquid.energyJ;
  totals.productEthanolMol += liquid.ethanolMol;
  totals.productWaterMol += liquid.waterMol;
  const holdUpL = holdUpOf(state);
  feedLine(spout, liquid, holdUpL);
  const { out } = work;
  // A vented still runs over at its vent; a closed one just fills, and `boil` shuts the vapour path.
  const mostL = opening > 0 ? holdUpL : spec.still.vent.unvalved ? holdUpL + spec.backUpL : Number.POSITIVE_INFINITY;
  drawLine(spout, mostL, opening > 0 ? spec.parrotL : 0, dtS, out);
  spout.flowLPerH = opening > 0 ? (out.volumeL / dtS) * 3600 : 0;
  if (out.volumeL <= 0) return;
  if (opening <= 0) {
    mixInto(spout.overrun, out);
    return;
  }
  spout.dischargedL += out.volumeL;
  for (const id in state.receivers) {
    const share = id === onlyReceiver ? 1 : Math.max(0, actuators.receivers[id] ?? 0) / opening;
    if (share > 0) fillReceiver(state.receivers[id]!, spec.still.receivers[id]?.capacityL ?? 1e9, out, share);
  }
}

/** Takes out of the head's vapour what leaks at the joints. */
function leak(state: StillState, world: World, work: Workspace): void {
  if (world.leakShare <= 0) return;
  emptyParcel(work.bypass);
  addParcel(work.bypass, work.vapour, world.leakShare);
  scaleParcel(work.vapour, 1 - world.leakShare);
  letEscape(state, work.bypass);
}

/**
 * Moves a still on by one step.
 *
 * @param state changed in place
 * @param actuators what the drives really do
 * @param world what else happens to the still
 * @param dtS length of the step [s, up to 5]; 1 s is what the figures in model.md are for
 */
export function step(state: StillState, actuators: Actuators, world: World, dtS: number): void {
  const work = workspaceOf(state);
  state.atS += dtS;
  advanceWeather(state.weather, state.spec.site, state.atS);
  state.airHPa = stationPressureAtHPa(state.weather, state.spec.site, state.atS);
  for (const id in state.receivers) state.receivers[id]!.ballastL = world.ballastL[id] ?? 0;
  const opening = receiverOpening(state, actuators);
  heatBoiler(state, actuators, world, dtS);
  drainBoiler(state, world.drainLPerH, dtS, work.moving);
  boil(state, world, opening, dtS, work);
  climb(state, work, dtS);
  readHead(state, work.vapour, dtS);
  leak(state, world, work);
  const carriedMol = carryOver(state, world, work.vapour.ethanolMol + work.vapour.waterMol, work.moving);
  warmProbePocket(state, carriedMol, dtS);
  const supply = actuators.coolantShare * world.coolantSupplyShare;
  flowCoolant(state.condenser, state.spec.condenser, supply, state.spec.site.roomTempC, dtS);
  condense(state.condenser, state.spec.condenser, work.vapour, state.head.vapourTempC, dtS, work.liquid);
  letEscape(state, work.vapour);
  if (carriedMol > 0) coolCarried(state.condenser, state.spec.condenser, work.moving, work.liquid);
  returnReflux(state, actuators, work.liquid, dtS);
  collect(state, actuators, work.liquid, opening, dtS, work);
  ventilate(state, dtS);
}
