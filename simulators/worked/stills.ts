import type { StillDocument } from '../../lib/still/schema';
import { orchardPot } from '../scenarios';

/** The orchard still with what a distillery that repeats its runs has besides: a volume meter, and a parrot read by a sensor. */
export const workedPot: StillDocument = {
  ...orchardPot,
  points: {
    ...orchardPot.points,
    'collected-volume': { kind: 'collected-volume' },
    'parrot-strength': { kind: 'parrot-strength' },
    'parrot-temp': { kind: 'parrot-temp' },
  },
};

/** How many times the charge the great still of the same stillhouse takes. */
export const greatFactor = 10;

/** The great still: ten times as large, heated ten times as strongly, of the same shape and with the same probes. Every number is our own. */
export const greatPot: StillDocument = {
  ...workedPot,
  id: 'orchard-great',
  name: 'The great orchard still',
  boilerVolumeL: workedPot.boilerVolumeL * greatFactor,
  heelL: workedPot.heelL * greatFactor,
  drives: {
    ...workedPot.drives,
    heat: { kind: 'heat', source: 'element', ratedW: 5000 * greatFactor, control: 'modulating', deadManS: 30 },
  },
  receivers: {
    'heads-jar': { capacityL: 30, takes: ['foreshots', 'heads'], overflowTo: 'feints-can' },
    'hearts-can': { capacityL: 250, takes: ['hearts'], overflowTo: 'feints-can' },
    'feints-can': { capacityL: 300, takes: ['tails'] },
  },
  ratings: { coolantFlowMinLPerH: 60 * greatFactor },
  boilUp: { efficiency: 0.95, lossW: 1030 * greatFactor, refluxShare: 0 },
  spout: { holdUpL: 0.08 * greatFactor, transitS: 20 },
};
