import { nextUnit } from '../model';
import type { FaultRule } from './types';

/** Commands to a drive that never arrive. */
export const lostCommand: FaultRule = {
  what: 'commands to a drive are lost',
  unit: 'share lost',
  usualSize: 0.5,
  targetsOf: (still) => Object.keys(still.drives),
  commands: (batch, { isOn, target, size, random }) =>
    isOn ? batch.filter((one) => one.drive !== target || nextUnit(random) >= size) : batch,
};
