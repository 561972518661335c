import { type FaultRule, wholeSite } from './types';

/** Broker or network gone: nothing is heard and nothing is told; the site itself goes on. */
export const linkLost: FaultRule = {
  what: 'the link between site and engine is lost',
  unit: '',
  usualSize: 0,
  targetsOf: wholeSite,
  readings: (batch, memory, { isOn }) => ({ batch: isOn ? [] : batch, memory }),
  commands: (batch, { isOn }) => (isOn ? [] : batch),
};
