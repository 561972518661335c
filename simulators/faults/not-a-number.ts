import type { ReadingFault } from '../../lib/engine/types';
import { nextIndex } from '../model';
import { changeReadings, type FaultRule, measuringPoints } from './types';

const kinds: readonly ReadingFault[] = ['not-a-number', 'text', 'empty', 'null', 'missing', 'infinite', 'sentinel'];

/** Payloads that hold no number: `nan`, words, nothing at all. */
export const notANumber: FaultRule = {
  what: 'payloads of a point hold no number',
  unit: '',
  usualSize: 0,
  targetsOf: measuringPoints,
  readings: changeReadings((reading, { random }) => ({
    point: reading.point,
    atS: reading.atS,
    value: null,
    fault: kinds[nextIndex(random, kinds.length)]!,
  })),
};
