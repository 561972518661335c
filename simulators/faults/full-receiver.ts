import type { FaultRule } from './types';

/** Somebody forgot to empty a receiver; the size is the room left in it. */
export const fullReceiver: FaultRule = {
  what: 'a receiver is nearly full before it begins',
  unit: 'L left',
  usualSize: 0.3,
  targetsOf: (still) => Object.keys(still.receivers),
  world(world, { isOn, target, size, spec }) {
    const capacityL = spec.still.receivers[target]?.capacityL;
    if (!isOn || capacityL === undefined) return world;
    return { ...world, ballastL: { ...world.ballastL, [target]: Math.max(0, capacityL - size) } };
  },
};
