import { densityKgM3, ethanolMolarMassGPerMol, waterMolarMassGPerMol } from '../../lib/physics';
import type { Parcel } from './vessel';

/** Distillate somewhere behind the condenser. Volumes are at 20 °C. */
export interface Distillate {
  ethanolMol: number;
  waterMol: number;
  volumeL: number;
  readonly tracersMol: number[];
}

export interface ReceiverState extends Distillate {
  /** Something else in it that takes room: left from before, never emptied [L]. */
  ballastL: number;
  spilledL: number;
  spilledEthanolMol: number;
  spilledWaterMol: number;
}

/** The way from the condenser to the receivers: first in, first out, then the parrot, where it mixes. */
export interface SpoutState {
  readonly line: Distillate[];
  lineL: number;
  readonly parrot: Distillate;
  /** Since the start [L]. */
  dischargedL: number;
  flowLPerH: number;
  /** Distillate that ran over at the vent because no receiver was open [L], with what was in it. */
  readonly overrun: Distillate;
}

const freeFlowLPerS = 0.05;

export function createDistillate(tracerCount: number): Distillate {
  return { ethanolMol: 0, waterMol: 0, volumeL: 0, tracersMol: new Array<number>(tracerCount).fill(0) };
}

export function createReceiver(tracerCount: number): ReceiverState {
  return { ...createDistillate(tracerCount), ballastL: 0, spilledL: 0, spilledEthanolMol: 0, spilledWaterMol: 0 };
}

export function createSpout(tracerCount: number): SpoutState {
  return {
    line: [],
    lineL: 0,
    parrot: createDistillate(tracerCount),
    dischargedL: 0,
    flowLPerH: 0,
    overrun: createDistillate(tracerCount),
  };
}

/** Volume at 20 °C of ethanol and water mixed [L], contraction included. */
export function volumeOfL(ethanolMol: number, waterMol: number): number {
  const ethanolG = Math.max(0, ethanolMol) * ethanolMolarMassGPerMol;
  const totalG = ethanolG + Math.max(0, waterMol) * waterMolarMassGPerMol;
  if (totalG <= 0) return 0;
  return totalG / densityKgM3(Math.min(1, ethanolG / totalG), 20);
}

/** Adds a share of some distillate to another and works out the volume anew. */
export function mixInto(to: Distillate, from: Pick<Parcel, 'ethanolMol' | 'waterMol' | 'tracersMol'>, share = 1): void {
  to.ethanolMol += from.ethanolMol * share;
  to.waterMol += from.waterMol * share;
  for (let index = 0; index < to.tracersMol.length; index++) to.tracersMol[index]! += from.tracersMol[index]! * share;
  to.volumeL = volumeOfL(to.ethanolMol, to.waterMol);
}

/** Takes a share out of some distillate. */
export function takeShare(from: Distillate, share: number): void {
  from.ethanolMol *= 1 - share;
  from.waterMol *= 1 - share;
  from.volumeL *= 1 - share;
  for (let index = 0; index < from.tracersMol.length; index++) from.tracersMol[index]! *= 1 - share;
}

/** Puts distillate into the line behind the condenser. Small amounts join the last one, so the line never holds more than some 60. */
export function feedLine(spout: SpoutState, product: Parcel, holdUpL: number): void {
  if (product.ethanolMol + product.waterMol <= 0) return;
  const last = spout.line.at(-1);
  if (last !== undefined && last.volumeL < holdUpL / 50) {
    spout.lineL -= last.volumeL;
    mixInto(last, product);
    spout.lineL += last.volumeL;
    return;
  }
  const next = createDistillate(product.tracersMol.length);
  mixInto(next, product);
  spout.line.push(next);
  spout.lineL += next.volumeL;
}

/**
 * Lets out of the line what is above its hold-up, through the parrot.
 *
 * @param parrotL liquid that the parrot holds [L]; the outflow has its mixed strength
 */
export function drawLine(spout: SpoutState, holdUpL: number, parrotL: number, dtS: number, out: Distillate): void {
  takeShare(out, 1);
  let wantedL = Math.min(Math.max(0, spout.lineL - holdUpL), freeFlowLPerS * dtS);
  const into = parrotL > 0 ? spout.parrot : out;
  while (wantedL > 0) {
    const first = spout.line[0];
    if (first === undefined) break;
    const share = first.volumeL <= wantedL ? 1 : wantedL / first.volumeL;
    const movedL = first.volumeL * share;
    mixInto(into, first, share);
    if (share === 1) spout.line.shift();
    else takeShare(first, share);
    spout.lineL -= movedL;
    wantedL -= movedL;
  }
  if (spout.line.length === 0) spout.lineL = 0;
  if (parrotL <= 0 || spout.parrot.volumeL <= parrotL) return;
  const share = 1 - parrotL / spout.parrot.volumeL;
  mixInto(out, spout.parrot, share);
  takeShare(spout.parrot, share);
}

/** Runs distillate into a receiver; what it can't hold is spilled and counted. */
export function fillReceiver(receiver: ReceiverState, capacityL: number, product: Distillate, share: number): void {
  const roomL = capacityL - receiver.volumeL - receiver.ballastL;
  const wantedL = product.volumeL * share;
  const keep = wantedL <= roomL ? 1 : Math.max(0, roomL) / wantedL;
  if (keep > 0) mixInto(receiver, product, share * keep);
  if (keep < 1) {
    receiver.spilledL += wantedL * (1 - keep);
    receiver.spilledEthanolMol += product.ethanolMol * share * (1 - keep);
    receiver.spilledWaterMol += product.waterMol * share * (1 - keep);
  }
}
