import { runOnS } from './hot';
import { trusted } from './reading';
import type { Fraction, Plant, Run } from './types';

/** Share of a receiver that stays empty before the next one is taken. */
const marginShare = 0.03;
/** A receiver that was left because it was full is taken again only when this share of it is empty. */
const emptiedShare = 0.2;

/** What stands in a receiver: as measured, else as counted since it was last said to be emptied [L]. */
export function receiverVolumeL(plant: Plant, run: Run, receiver: string): number {
  for (const id in plant.still.points) {
    const point = plant.still.points[id];
    if (point?.kind !== 'receiver-volume' || point.receiver !== receiver) continue;
    const measured = trusted(run.image[id]);
    if (measured !== null) return measured;
  }
  return run.estimate.produced.byReceiver[receiver] ?? 0;
}

/** Room left in a receiver [L]; null where it is none of this still. */
export function roomL(plant: Plant, run: Run, receiver: string): number | null {
  const here = plant.still.receivers[receiver];
  return here === undefined ? null : here.capacityL - receiverVolumeL(plant, run, receiver);
}

/** What still comes over if the heat goes off now: the run-on at the present rate, and what hangs in the still [L]. */
export function runOnL(plant: Plant, run: Run): number {
  return (run.estimate.produced.rateLPerH * runOnS(plant)) / 3600 + plant.still.spout.holdUpL;
}

function isFull(plant: Plant, run: Run, receiver: string, wasLeft: boolean): boolean {
  const room = roomL(plant, run, receiver);
  const capacityL = plant.still.receivers[receiver]?.capacityL ?? 0;
  if (room === null) return false;
  return room <= (wasLeft ? emptiedShare * capacityL : runOnL(plant, run) + marginShare * capacityL);
}

export function isHeartsOnly(plant: Plant, receiver: string): boolean {
  return plant.still.receivers[receiver]?.takes.every((fraction) => fraction === 'hearts') === true;
}

/**
 * Where to go with a fraction whose receiver is full: to the one it overflows to, if that has room. Nothing but hearts
 * ever overflows into a hearts receiver. With nowhere to go it stays, and the overflow alarm takes the heat off.
 */
export function withRoom(plant: Plant, run: Run, receiver: string, fraction: Fraction | null): string {
  const next = plant.still.receivers[receiver]?.overflowTo;
  if (next === undefined || next === receiver || plant.still.receivers[next] === undefined) return receiver;
  if (isHeartsOnly(plant, next) && fraction !== 'hearts') return receiver;
  const wasLeft = run.receiver === next || run.switching?.to === next;
  if (!isFull(plant, run, receiver, wasLeft)) return receiver;
  return isFull(plant, run, next, false) ? receiver : next;
}
