import { type FaultRule, measuringPoints } from './types';

/** Readings that arrive late: a slow link or a busy bridge. The engine's clock sees them when they come. */
export const late: FaultRule = {
  what: 'readings of a point arrive late',
  unit: 's',
  usualSize: 8,
  targetsOf: measuringPoints,
  readings(batch, memory, { isOn, target, atS, size }) {
    const mine = batch.filter((one) => one.point === target);
    const kept = isOn ? [...memory.kept, ...mine] : memory.kept;
    const due = kept.filter((one) => !isOn || one.atS + size <= atS).map((one) => ({ ...one, atS }));
    const rest = kept.filter((one) => isOn && one.atS + size > atS);
    const others = isOn ? batch.filter((one) => one.point !== target) : batch;
    return { batch: [...due, ...others], memory: { ...memory, kept: rest } };
  },
};
