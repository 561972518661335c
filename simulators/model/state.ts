import {
  densityKgM3,
  ethanolMolarMassGPerMol,
  liquidEnthalpyJPerMol,
  massFractionFromAbv,
  waterMolarMassGPerMol,
} from '../../lib/physics';
import { type CondenserState, createCondenser } from './condenser';
import { createRandom } from './random';
import { type StillSpec, tracerNames } from './spec';
import {
  createDistillate,
  createReceiver,
  createSpout,
  type Distillate,
  type ReceiverState,
  type SpoutState,
} from './spout';
import { tracerMolarMassGPerMol } from './tracers';
import { createParcel, createVessel, type Parcel, settleTemp, type Vessel } from './vessel';
import { createWeather, stationPressureAtHPa, type Weather } from './weather';

/** What the drives really do at this moment. */
export interface Actuators {
  /** Power share of each heat drive, 0..1. */
  readonly heat: Record<string, number>;
  /** Second contactor: open takes the power from every electric heat drive. */
  contactorClosed: boolean;
  coolantShare: number;
  takeOffShare: number;
  /** Opening of each receiver's path, 0..1. */
  readonly receivers: Record<string, number>;
}

/** What the world does to the still, apart from the drives. Undisturbed by default. */
export interface World {
  /** Mains and coolant supply. */
  mainsOn: boolean;
  coolantSupplyShare: number;
  /** How open the vapour path behind the head is; 1 is free, 0 is shut. */
  pathOpenShare: number;
  /** Share of the head's vapour that leaks into the room. */
  leakShare: number;
  /** Liquid carried over [mol a mole of vapour]. */
  pukeShare: number;
  /** Liquid lost from the boiler by a drain or a split seam [L/h]. */
  drainLPerH: number;
  /** Share of the element's heat transfer lost under scorched solids. */
  fouledShare: number;
  /** Something else standing in a receiver [L]. */
  readonly ballastL: Record<string, number>;
}

export function undisturbed(): World {
  return {
    mainsOn: true,
    coolantSupplyShare: 1,
    pathOpenShare: 1,
    leakShare: 0,
    pukeShare: 0,
    drainLPerH: 0,
    fouledShare: 0,
    ballastL: {},
  };
}

export interface Stage {
  readonly vessel: Vessel;
  /** Share of the vapour that meets the stage's liquid; the rest passes by. */
  readonly share: number;
}

/** One heat source's body. */
export interface SourceState {
  tempC: number;
  powerW: number;
}

export interface HeadState {
  /** Vapour that passes the probe [mol/s], its composition and dew temperature. */
  flowMolPerS: number;
  y: number;
  vapourTempC: number;
  /** Temperature around the probe: the vapour's once it has come, the room's before. */
  tempC: number;
  pressureHPa: number;
  /** Liquid in balance with the vapour, as last solved. */
  dewX: number;
}

/** What has crossed the still's boundary since the start; amounts in mol, heat in J from the pure liquids at 0 °C. */
export interface Totals {
  heatInJ: number;
  lossJ: number;
  escapedEthanolMol: number;
  escapedWaterMol: number;
  escapedJ: number;
  productJ: number;
  productEthanolMol: number;
  productWaterMol: number;
  drainedEthanolMol: number;
  drainedWaterMol: number;
  drainedJ: number;
}

/** A still at one moment. Mutable for speed; `snapshot` and `restore` in index.ts copy it. */
export interface StillState {
  readonly spec: StillSpec;
  atS: number;
  airHPa: number;
  boilerHPa: number;
  readonly weather: Weather;
  readonly boiler: Vessel;
  readonly stages: readonly Stage[];
  readonly sources: Record<string, SourceState>;
  readonly head: HeadState;
  readonly condenser: CondenserState;
  readonly spout: SpoutState;
  readonly receivers: Record<string, ReceiverState>;
  readonly totals: Totals;
  /** Ethanol vapour about the still [share of the lower explosive limit]. */
  gasShare: number;
  /** Liquid in the boiler [L at 20 °C] and the share of the element it covers. */
  boilerL: number;
  coveredShare: number;
  boiledMolPerS: number;
  powerW: number;
  readonly start: {
    readonly ethanolMol: number;
    readonly waterMol: number;
    readonly energyJ: number;
    readonly volumeL: number;
  };
}

/** Room for a step's moving parcels; holds nothing between steps. */
export interface Workspace {
  readonly vapour: Parcel;
  readonly bypass: Parcel;
  readonly liquid: Parcel;
  readonly moving: Parcel;
  readonly out: Distillate;
}

export function createWorkspace(tracerCount: number): Workspace {
  return {
    vapour: createParcel(tracerCount),
    bypass: createParcel(tracerCount),
    liquid: createParcel(tracerCount),
    moving: createParcel(tracerCount),
    out: createDistillate(tracerCount),
  };
}

export function tracerCountOf(spec: StillSpec): number {
  return spec.tracers ? tracerNames.length : 0;
}

/** Receiver that stands under the spout where the still's document names none. */
export const onlyReceiver = 'collected';

export function receiverIdsOf(spec: StillSpec): readonly string[] {
  const ids = Object.keys(spec.still.receivers);
  return ids.length === 0 ? [onlyReceiver] : ids;
}

function fillBoiler(boiler: Vessel, spec: StillSpec): void {
  const { charge } = spec;
  const massFraction = massFractionFromAbv(charge.strengthAbv);
  const massG = charge.volumeL * densityKgM3(massFraction, 20);
  boiler.ethanolMol = (massG * massFraction) / ethanolMolarMassGPerMol;
  boiler.waterMol = (massG * (1 - massFraction)) / waterMolarMassGPerMol;
  const total = boiler.ethanolMol + boiler.waterMol;
  boiler.tempC = charge.tempC;
  if (total > 0) boiler.energyJ += total * liquidEnthalpyJPerMol(boiler.ethanolMol / total, charge.tempC);
  settleTemp(boiler);
  if (!spec.tracers) return;
  tracerNames.forEach((name, index) => {
    const mgPerL = charge.congenersMgPerL[name] ?? 0;
    boiler.tracersMol[index] = (mgPerL * charge.volumeL) / 1000 / tracerMolarMassGPerMol[name];
  });
}

function createStages(spec: StillSpec, tracerCount: number): Stage[] {
  const stages: Stage[] = [];
  for (let left = spec.tower.stages; left > 1e-9; left -= 1) {
    const vessel = createVessel(spec.tower.metalJPerKPerStage, spec.site.roomTempC, tracerCount);
    stages.push({ vessel, share: Math.min(1, left) });
  }
  return stages;
}

/**
 * A still that has been charged and is cold.
 *
 * @param spec the still, its charge and its site
 * @param seed seed of the run; the weather draws from it
 */
export function createStill(spec: StillSpec, seed: number): StillState {
  const tracerCount = tracerCountOf(spec);
  const boiler = createVessel(spec.body.boilerMetalJPerK, spec.charge.tempC, tracerCount);
  fillBoiler(boiler, spec);
  const stages = createStages(spec, tracerCount);
  const weather = createWeather(createRandom(seed, 'weather'));
  const airHPa = stationPressureAtHPa(weather, spec.site, 0);
  const roomC = spec.site.roomTempC;
  const energyJ = stages.reduce((sum, stage) => sum + stage.vessel.energyJ, boiler.energyJ);
  return {
    spec,
    atS: 0,
    airHPa,
    boilerHPa: airHPa,
    weather,
    boiler,
    stages,
    sources: Object.fromEntries(Object.keys(spec.heat).map((id) => [id, { tempC: spec.charge.tempC, powerW: 0 }])),
    head: { flowMolPerS: 0, y: 0, vapourTempC: roomC, tempC: roomC, pressureHPa: airHPa, dewX: 0.2 },
    condenser: createCondenser(spec.condenser, roomC),
    spout: createSpout(tracerCount),
    receivers: Object.fromEntries(receiverIdsOf(spec).map((id) => [id, createReceiver(tracerCount)])),
    totals: {
      heatInJ: 0,
      lossJ: 0,
      escapedEthanolMol: 0,
      escapedWaterMol: 0,
      escapedJ: 0,
      productJ: 0,
      productEthanolMol: 0,
      productWaterMol: 0,
      drainedEthanolMol: 0,
      drainedWaterMol: 0,
      drainedJ: 0,
    },
    gasShare: 0,
    boilerL: spec.charge.volumeL,
    coveredShare: 1,
    boiledMolPerS: 0,
    powerW: 0,
    start: { ethanolMol: boiler.ethanolMol, waterMol: boiler.waterMol, energyJ, volumeL: spec.charge.volumeL },
  };
}
