import { type FaultRule, wholeSite } from './types';

/** Vapour leaks at a joint of the head. */
export const leak: FaultRule = {
  what: 'vapour leaks into the room',
  unit: 'share of the vapour',
  usualSize: 0.15,
  targetsOf: wholeSite,
  world: (world, { isOn, size }) => (isOn ? { ...world, leakShare: Math.min(1, world.leakShare + size) } : world),
};
