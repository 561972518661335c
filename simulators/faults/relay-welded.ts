import { drivesOfKind, type FaultRule } from './types';

/** The contacts of the heat relay weld: heat stays on whatever is commanded; only a second contactor helps. */
export const relayWelded: FaultRule = {
  what: 'the heat relay welds shut',
  unit: '',
  usualSize: 0,
  targetsOf: (still) => drivesOfKind(still, 'heat'),
  drives: (faults, { isOn, target }) => (isOn ? { ...faults, [target]: { ...faults[target], welded: true } } : faults),
};
