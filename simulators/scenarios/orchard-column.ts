import type { StillDocument } from '../../lib/still/schema';

/** The column of the same invented stillhouse: 60 L boiler, ten stages, liquid take-off, one diverter at the spout. Every number is our own. */
export const orchardColumn: StillDocument = {
  still: 1,
  id: 'long-tom',
  name: 'Long Tom, the column',
  kind: 'column',
  boilerVolumeL: 60,
  heelL: 10,
  altitudeM: 420,
  points: {
    'vapour-temp': { kind: 'vapour-temp', resolution: 0.0625, accuracy: 0.15 },
    'boiler-temp': { kind: 'boiler-temp', resolution: 0.0625, accuracy: 0.3 },
    'element-temp': { kind: 'element-temp' },
    'product-temp': { kind: 'product-temp', resolution: 0.0625 },
    'coolant-flow': { kind: 'coolant-flow' },
    'air-pressure': { kind: 'air-pressure', accuracy: 1 },
    'boiler-pressure': { kind: 'boiler-pressure' },
    'collected-volume': { kind: 'collected-volume' },
    'heat-power': { kind: 'heat-power', drive: 'heat' },
    'spout-state': { kind: 'drive-state', drive: 'spout' },
  },
  drives: {
    heat: { kind: 'heat', source: 'element', ratedW: 4000, control: 'modulating', deadManS: 30 },
    'main-contactor': { kind: 'contactor' },
    coolant: { kind: 'coolant', control: 'on-off', failPosition: 'on' },
    'take-off': { kind: 'take-off', control: 'modulating', maxLPerH: 3 },
    spout: {
      kind: 'diverter',
      positions: ['feints-can', 'heads-jar', 'hearts-can'],
      travelS: 6,
      reported: 'spout-state',
    },
  },
  receivers: {
    'heads-jar': { capacityL: 3, takes: ['foreshots', 'heads'], overflowTo: 'feints-can' },
    'hearts-can': { capacityL: 25, takes: ['hearts'], overflowTo: 'feints-can' },
    'feints-can': { capacityL: 20, takes: ['tails'] },
  },
  ratings: { coolantFlowMinLPerH: 60 },
  boilUp: { efficiency: 0.95, lossW: 190, refluxShare: 0.8 },
  spout: { holdUpL: 0.05, transitS: 30 },
  vent: { unvalved: true, feintsPathFailsOpen: true },
};
