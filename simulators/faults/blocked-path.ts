import { type FaultRule, wholeSite } from './types';

/** The vapour path behind the head clogs: pomace in the arm, a flattened hose. Size is how open it still is. */
export const blockedPath: FaultRule = {
  what: 'the vapour path is blocked',
  unit: 'share open',
  usualSize: 0,
  targetsOf: wholeSite,
  world: (world, { isOn, size }) => (isOn ? { ...world, pathOpenShare: Math.min(world.pathOpenShare, size) } : world),
};
