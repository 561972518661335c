import { changeReadings, type FaultRule, measuringPoints } from './types';

/** A point that says nothing any more. */
export const dropout: FaultRule = {
  what: 'a point falls silent',
  unit: '',
  usualSize: 0,
  targetsOf: measuringPoints,
  readings: changeReadings(() => null),
};
