import { type FaultRule, wholeSite } from './types';

/** The boiler foams over: liquid goes up the head and out with the distillate. */
export const puking: FaultRule = {
  what: 'liquid is carried over with the vapour',
  unit: 'mol a mole of vapour',
  usualSize: 0.5,
  targetsOf: wholeSite,
  world: (world, { isOn, size }) => (isOn ? { ...world, pukeShare: world.pukeShare + size } : world),
};
