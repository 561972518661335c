import { nextUnit } from '../model';
import { changeReadings, type FaultRule, measuringPoints } from './types';

/** One where the last reading of a point was wild, by its name. */
const wasWild = 1;

/** Single wild readings, up or down, never two in a row: a bad contact, an interference. */
export const spike: FaultRule = {
  what: 'one reading in twenty is wild, never two in a row',
  unit: 'the point’s own',
  usualSize: 12,
  targetsOf: measuringPoints,
  readings(batch, memory, context) {
    const { target } = context;
    let isWild = memory.lastByPoint[target] === wasWild;
    const spiked = changeReadings((reading, { random, size }) => {
      if (reading.value === null) return reading;
      const isDrawn = nextUnit(random) < 0.05;
      isWild = isDrawn && !isWild;
      return isWild ? { ...reading, value: reading.value + (nextUnit(random) < 0.5 ? -size : size) } : reading;
    });
    const { batch: changed } = spiked(batch, memory, context);
    return { batch: changed, memory: { ...memory, lastByPoint: { [target]: isWild ? wasWild : 0 } } };
  },
};
