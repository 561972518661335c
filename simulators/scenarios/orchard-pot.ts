import type { StillDocument } from '../../lib/still/schema';

/**
 * The pot of an invented orchard stillhouse: 60 L of copper on a 5 kW element, 420 m up, perry low wines in, pear spirit out.
 * Every number is our own.
 */
export const orchardPot: StillDocument = {
  still: 1,
  id: 'orchard',
  name: 'The orchard still',
  kind: 'pot',
  boilerVolumeL: 60,
  heelL: 12,
  altitudeM: 420,
  points: {
    'vapour-temp': { kind: 'vapour-temp', resolution: 0.0625, accuracy: 0.2 },
    'boiler-temp': { kind: 'boiler-temp', resolution: 0.0625, accuracy: 0.3 },
    'element-temp': { kind: 'element-temp' },
    'product-temp': { kind: 'product-temp', resolution: 0.0625 },
    'coolant-flow': { kind: 'coolant-flow' },
    'air-pressure': { kind: 'air-pressure', accuracy: 1 },
    'boiler-pressure': { kind: 'boiler-pressure' },
    'boiler-level': { kind: 'boiler-level' },
    'vapour-gas': { kind: 'vapour-gas' },
    'heat-power': { kind: 'heat-power', drive: 'heat' },
    'heads-valve-state': { kind: 'drive-state', drive: 'heads-valve' },
    'hearts-valve-state': { kind: 'drive-state', drive: 'hearts-valve' },
    'tails-valve-state': { kind: 'drive-state', drive: 'tails-valve' },
  },
  drives: {
    heat: { kind: 'heat', source: 'element', ratedW: 5000, control: 'modulating', deadManS: 30 },
    'main-contactor': { kind: 'contactor' },
    coolant: { kind: 'coolant', control: 'on-off', failPosition: 'on' },
    'heads-valve': {
      kind: 'receiver-valve',
      receiver: 'heads-jar',
      failPosition: 'closed',
      travelS: 4,
      reported: 'heads-valve-state',
    },
    'hearts-valve': {
      kind: 'receiver-valve',
      receiver: 'hearts-can',
      failPosition: 'closed',
      travelS: 4,
      reported: 'hearts-valve-state',
    },
    'tails-valve': {
      kind: 'receiver-valve',
      receiver: 'feints-can',
      failPosition: 'open',
      travelS: 4,
      reported: 'tails-valve-state',
    },
  },
  receivers: {
    'heads-jar': { capacityL: 3, takes: ['foreshots', 'heads'], overflowTo: 'feints-can' },
    'hearts-can': { capacityL: 25, takes: ['hearts'], overflowTo: 'feints-can' },
    'feints-can': { capacityL: 30, takes: ['tails'] },
  },
  ratings: { coolantFlowMinLPerH: 60 },
  // As an earlier run showed: what the head and arm condense back counts as loss.
  boilUp: { efficiency: 0.95, lossW: 1030, refluxShare: 0 },
  spout: { holdUpL: 0.08, transitS: 20 },
  vent: { unvalved: true, feintsPathFailsOpen: true },
};
