import { type FaultRule, wholeSite } from './types';

/** The boiler loses its liquid until the element is bare: drain left open, split seam. Size is the flow. */
export const elementExposed: FaultRule = {
  what: 'the boiler runs dry and bares the element',
  unit: 'L/h',
  usualSize: 3000,
  targetsOf: wholeSite,
  world: (world, { isOn, size, boilerL, spec }) =>
    isOn && boilerL > spec.body.elementBottomL * 0.8 ? { ...world, drainLPerH: world.drainLPerH + size } : world,
};
