import { nextIndex } from '../model';
import { type FaultRule, measuringPoints } from './types';

/** Readings of some seconds come at once, in no order. */
export const reordered: FaultRule = {
  what: 'readings of a point come in bursts and out of order',
  unit: 's (length of a burst)',
  usualSize: 6,
  targetsOf: measuringPoints,
  readings(batch, memory, { isOn, target, atS, size, random }) {
    const mine = batch.filter((one) => one.point === target);
    const others = batch.filter((one) => one.point !== target);
    const kept = isOn ? [...memory.kept, ...mine] : memory.kept;
    const first = kept[0];
    if (first === undefined || (isOn && first.atS + size > atS)) {
      return { batch: isOn ? others : batch, memory: { ...memory, kept } };
    }
    const burst = kept.map((one) => ({ ...one, atS }));
    for (let index = burst.length - 1; index > 0; index--) {
      const other = nextIndex(random, index + 1);
      [burst[index], burst[other]] = [burst[other]!, burst[index]!];
    }
    return { batch: [...burst, ...(isOn ? others : batch)], memory: { ...memory, kept: [] } };
  },
};
