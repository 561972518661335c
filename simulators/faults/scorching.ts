import { type FaultRule, wholeSite } from './types';

/** Solids burn onto the element: its skin runs hot while the liquid notices nothing. */
export const scorching: FaultRule = {
  what: 'solids burn onto the element',
  unit: 'share of the heat transfer lost',
  usualSize: 0.92,
  targetsOf: wholeSite,
  world: (world, { isOn, size }) => (isOn ? { ...world, fouledShare: Math.max(world.fouledShare, size) } : world),
};
