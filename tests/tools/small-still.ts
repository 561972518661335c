import type { StillDocument } from '../../lib/still/schema';
import { orchardPot } from '../../simulators/scenarios';

/** The orchard pot in small, for runs that are over soon: 18 L charged to a heel of 2 L, on 3 kW. Every number is our own. */
export const smallPot: StillDocument = {
  ...orchardPot,
  id: 'small-pot',
  name: 'The small pot',
  boilerVolumeL: 20,
  heelL: 2,
  drives: { ...orchardPot.drives, heat: { kind: 'heat', ratedW: 3000, deadManS: 30 } },
  receivers: {
    'heads-jar': { capacityL: 2, takes: ['foreshots', 'heads'], overflowTo: 'feints-can' },
    'hearts-can': { capacityL: 10, takes: ['hearts'], overflowTo: 'feints-can' },
    'feints-can': { capacityL: 12, takes: ['tails'] },
  },
  boilUp: { efficiency: 0.95, lossW: 100, refluxShare: 0.13 },
  spout: { holdUpL: 0.04, transitS: 20 },
};
