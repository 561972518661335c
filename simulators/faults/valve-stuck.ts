import { drivesOfKind, type FaultRule } from './types';

/** A valve or diverter that does not move: where it is (size below 0), shut (0) or open (1). */
export const valveStuck: FaultRule = {
  what: 'a valve sticks',
  unit: 'position; below 0 where it is',
  usualSize: -1,
  targetsOf: (still) => drivesOfKind(still, 'receiver-valve', 'diverter'),
  drives: (faults, { isOn, target, size }) =>
    isOn ? { ...faults, [target]: { ...faults[target], stuckAt: size < 0 ? 'here' : size } } : faults,
};
