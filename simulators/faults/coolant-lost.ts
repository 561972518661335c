import { type FaultRule, wholeSite } from './types';

/** The coolant supply fails: mains water gone, pump stopped, hose off. Size is what is left of the flow. */
export const coolantLost: FaultRule = {
  what: 'the coolant stops',
  unit: 'share of the flow left',
  usualSize: 0,
  targetsOf: wholeSite,
  world: (world, { isOn, size }) => (isOn ? { ...world, coolantSupplyShare: world.coolantSupplyShare * size } : world),
};
