import {
  abvFromMoleFraction,
  type CongenerName,
  densityKgM3,
  ethanolDensity20KgM3,
  ethanolMolarMassGPerMol,
  findRoot,
  massFractionFromMoleFraction,
} from '../../lib/physics';
import type { Point } from '../../lib/still/schema';
import type { Distillate } from './spout';
import type { StillState } from './state';
import { tracersMgPerL } from './tracers';
import { compositionOf } from './vessel';

/** Strength by volume at 20 °C of ethanol and water [0..1]; 0 when there is none. */
export function strengthOf(ethanolMol: number, waterMol: number): number {
  const total = ethanolMol + waterMol;
  return total > 1e-12 ? abvFromMoleFraction(Math.min(1, Math.max(0, ethanolMol / total))) : 0;
}

/** Pure alcohol [L at 20 °C]. */
export function alcoholL(ethanolMol: number): number {
  return (ethanolMol * ethanolMolarMassGPerMol) / ethanolDensity20KgM3;
}

/** What stands in a receiver, in the trade's terms. Minor compounds are predictions. */
export interface FractionTruth {
  readonly volumeL: number;
  readonly strengthAbv: number;
  readonly alcoholL: number;
  readonly spilledL: number;
  readonly predictedCongenersMgPerL: Partial<Record<CongenerName, number>>;
}

export function fractionsOf(state: StillState): Record<string, FractionTruth> {
  return Object.fromEntries(
    Object.entries(state.receivers).map(([id, receiver]) => [
      id,
      {
        volumeL: receiver.volumeL,
        strengthAbv: strengthOf(receiver.ethanolMol, receiver.waterMol),
        alcoholL: alcoholL(receiver.ethanolMol),
        spilledL: receiver.spilledL,
        predictedCongenersMgPerL: tracersMgPerL(receiver.tracersMol, receiver.volumeL),
      },
    ]),
  );
}

/** The truth behind the readings at a moment. */
export interface Truth {
  readonly timeS: number;
  readonly boilerMoleFraction: number;
  readonly boilerStrengthAbv: number;
  readonly boilerTempC: number;
  readonly vapourMoleFraction: number;
  readonly vapourStrengthAbv: number;
  readonly vapourTempC: number;
  readonly airPressureHPa: number;
  /** Of the charge's alcohol, what has left the condenser [0..1]. */
  readonly alcoholShare: number;
  readonly collectedL: number;
}

export function truthOf(state: StillState): Truth {
  const x = compositionOf(state.boiler);
  return {
    timeS: state.atS,
    boilerMoleFraction: x,
    boilerStrengthAbv: abvFromMoleFraction(x),
    boilerTempC: state.boiler.tempC,
    vapourMoleFraction: state.head.y,
    vapourStrengthAbv: abvFromMoleFraction(Math.min(1, state.head.y)),
    vapourTempC: state.head.vapourTempC,
    airPressureHPa: state.airHPa,
    alcoholShare: state.totals.productEthanolMol / Math.max(state.start.ethanolMol, 1e-9),
    collectedL: state.spout.dischargedL,
  };
}

/** Distillate now at the parrot: in it where there is one, else at the end of the line. */
function atParrot(state: StillState): Distillate | undefined {
  return state.spec.parrotL > 0 ? state.spout.parrot : state.spout.line[0];
}

/** Temperature of the distillate in the parrot, warmed by the room on its way. */
function parrotTempC(state: StillState): number {
  const roomC = state.spec.site.roomTempC;
  return roomC + 0.6 * (Math.min(40, state.condenser.productC) - roomC);
}

/** What a hydrometer of glass shows in the parrot: too much when warm, too little when cold. */
function parrotReading(state: StillState): number {
  const liquid = atParrot(state);
  if (liquid === undefined || liquid.ethanolMol + liquid.waterMol <= 0) return 0;
  const x = Math.min(1, Math.max(0, liquid.ethanolMol / (liquid.ethanolMol + liquid.waterMol)));
  if (!state.spec.parrotGlass) return abvFromMoleFraction(x);
  const tempC = Math.min(39.9, Math.max(-19.9, parrotTempC(state)));
  const glass = 1 + 25e-6 * (tempC - 20);
  const shown = densityKgM3(massFractionFromMoleFraction(x), tempC) * glass;
  if (shown >= densityKgM3(0, 20)) return 0;
  if (shown <= densityKgM3(1, 20)) return 1;
  const p = findRoot((share) => densityKgM3(share, 20) - shown, 0, 1);
  return Math.min(1, (p * densityKgM3(p, 20)) / ethanolDensity20KgM3);
}

/** What drives report and draw, for the points that read them. */
export interface DriveReports {
  /** State a drive reports of itself: 0 off or closed, 1 on or open, index of a diverter's position. */
  readonly stateOf: (drive: string) => number;
  readonly attended: boolean;
}

/**
 * True value of a point, in the unit of its kind.
 *
 * @returns NaN where the point names a receiver or drive the still has not
 */
export function pointTruth(state: StillState, point: Point, drives: DriveReports): number {
  switch (point.kind) {
    case 'vapour-temp':
      return state.head.tempC;
    case 'boiler-temp':
      return state.boiler.tempC;
    case 'element-temp':
      return Math.max(state.boiler.tempC, ...Object.values(state.sources).map((source) => source.tempC));
    case 'product-temp':
      return state.condenser.productC;
    case 'coolant-in-temp':
      return state.spec.condenser.coolantInC;
    case 'coolant-out-temp':
      return state.condenser.outletC;
    case 'room-temp':
      return state.spec.site.roomTempC;
    case 'parrot-temp':
      return parrotTempC(state);
    case 'air-pressure':
      return state.airHPa;
    case 'boiler-pressure':
      return state.boilerHPa - state.airHPa;
    case 'boiler-level':
      return state.boilerL / state.spec.still.boilerVolumeL;
    case 'coolant-flow':
      return state.condenser.flowLPerH;
    case 'product-flow':
      return state.spout.flowLPerH;
    case 'collected-volume':
      return state.spout.dischargedL;
    case 'receiver-volume':
      return receiverVolumeL(state, point.receiver);
    case 'parrot-strength':
      return parrotReading(state);
    case 'heat-power':
      return point.drive === undefined ? state.powerW : (state.sources[point.drive]?.powerW ?? Number.NaN);
    case 'vapour-gas':
      return state.gasShare;
    case 'drive-state':
      return point.drive === undefined ? Number.NaN : drives.stateOf(point.drive);
    case 'attendance':
      return drives.attended ? 1 : 0;
  }
}

function receiverVolumeL(state: StillState, id: string | undefined): number {
  const receiver = id === undefined ? undefined : state.receivers[id];
  if (receiver === undefined) return Number.NaN;
  const capacityL = state.spec.still.receivers[id!]?.capacityL ?? Number.POSITIVE_INFINITY;
  return Math.min(capacityL, receiver.volumeL + receiver.ballastL);
}
