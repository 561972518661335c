import { nextUnit } from '../model';
import { changeReadings, type FaultRule, measuringPoints } from './types';

/** Single wild readings, up or down: a bad contact, an interference. */
export const spike: FaultRule = {
  what: 'one reading in twenty is wild',
  unit: 'the point’s own',
  usualSize: 12,
  targetsOf: measuringPoints,
  readings: changeReadings((reading, { random, size }) => {
    if (nextUnit(random) >= 0.05 || reading.value === null) return reading;
    return { ...reading, value: reading.value + (nextUnit(random) < 0.5 ? -size : size) };
  }),
};
