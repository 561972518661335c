import { type FaultRule, wholeSite } from './types';

/** The mains fail: no probe speaks, no drive hears, each drive falls to where it fails to. */
export const powerDip: FaultRule = {
  what: 'the mains fail',
  unit: '',
  usualSize: 0,
  targetsOf: wholeSite,
  readings: (batch, memory, { isOn }) => ({ batch: isOn ? [] : batch, memory }),
  commands: (batch, { isOn }) => (isOn ? [] : batch),
  world: (world, { isOn }) => (isOn ? { ...world, mainsOn: false } : world),
};
