import { nextGaussian } from '../model';
import { changeReadings, type FaultRule, measuringPoints } from './types';

/** A probe noisier than it should be. */
export const noise: FaultRule = {
  what: 'a probe is noisier than it should be',
  unit: 'the point’s own (standard deviation)',
  usualSize: 0.3,
  targetsOf: measuringPoints,
  readings: changeReadings((reading, { random, size }) =>
    reading.value === null ? reading : { ...reading, value: reading.value + size * nextGaussian(random) },
  ),
};
