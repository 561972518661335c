import { type FaultRule, measuringPoints } from './types';

/** A probe or its converter that repeats its last value for ever. */
export const stuckProbe: FaultRule = {
  what: 'a probe sticks at its last value',
  unit: '',
  usualSize: 0,
  targetsOf: measuringPoints,
  readings(batch, memory, { isOn, target }) {
    if (isOn) {
      const value = memory.lastByPoint[target];
      if (value === undefined) return { batch, memory };
      return { batch: batch.map((one) => (one.point === target ? { ...one, value } : one)), memory };
    }
    const last = batch.findLast((one) => one.point === target && one.value !== null);
    if (last === undefined) return { batch, memory };
    return { batch, memory: { ...memory, lastByPoint: { [target]: last.value! } } };
  },
};
