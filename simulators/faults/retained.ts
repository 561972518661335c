import type { Reading } from '../../lib/engine/types';
import { nextUnit } from '../model';
import { type FaultRule, measuringPoints } from './types';

/**
 * The broker repeats the very first value of a point on each reconnection: an old reading that looks like a new one. Size 1 loses the mark
 * that tells it was retained, as some bridges do; nothing reconnects within 10 s. Size 2 does even that, three times running.
 */
export const retained: FaultRule = {
  what: 'an old retained value comes again, about every 20 s',
  unit: '0 marked as retained, 1 unmarked, 2 unmarked and at any moment',
  usualSize: 0,
  targetsOf: measuringPoints,
  readings(batch, memory, { isOn, target, atS, dtS, size, random }) {
    const first = batch.find((one) => one.point === target && one.value !== null);
    const value = memory.lastByPoint[target] ?? first?.value ?? undefined;
    if (value === undefined) return { batch, memory };
    const remembered = { ...memory, lastByPoint: { [target]: value } };
    if (!isOn) return { batch, memory: remembered };
    // At once when it begins, then again about every 20 s.
    const last = memory.kept[0];
    const [restS, meanS] = size < 2 ? [10, 10] : [0, 20];
    if (last !== undefined && (atS - last.atS < restS || nextUnit(random) > dtS / meanS))
      return { batch, memory: remembered };
    const old: Reading = { point: target, value, atS, ...(size < 1 ? { fault: 'retained' as const } : {}) };
    return { batch: [...batch, old], memory: { ...remembered, kept: [old] } };
  },
};
