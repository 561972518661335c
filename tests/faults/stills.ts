import type { RecipeDocument } from '../../lib/recipe/schema';
import type { StillDocument } from '../../lib/still/schema';
import {
  orchardColumn,
  orchardPot,
  pearNeutral,
  pearSpirit,
  perryStripping,
  type Scenario,
} from '../../simulators/scenarios';

/** The kinds of still of the campaign. Every number is our own. */
export const stillTypes = ['pot', 'column', 'bare', 'stripping'] as const;
export type StillType = (typeof stillTypes)[number];

/** As little as a run can be made with: two thermometers, a barometer, and a person who moves the spout and opens the water. */
const bareStill: StillDocument = {
  still: 1,
  id: 'bare',
  name: 'A bare pot',
  kind: 'pot',
  boilerVolumeL: 60,
  heelL: 12,
  altitudeM: 420,
  points: {
    'vapour-temp': { kind: 'vapour-temp', resolution: 0.0625, accuracy: 0.2 },
    'boiler-temp': { kind: 'boiler-temp', resolution: 0.0625, accuracy: 0.3 },
    'air-pressure': { kind: 'air-pressure', accuracy: 1 },
  },
  drives: { heat: { kind: 'heat', source: 'element', ratedW: 5000, control: 'modulating', deadManS: 30 } },
  receivers: {
    'heads-jar': { capacityL: 3, takes: ['foreshots', 'heads'] },
    'hearts-can': { capacityL: 25, takes: ['hearts'] },
    'feints-can': { capacityL: 30, takes: ['tails'] },
  },
  boilUp: { efficiency: 0.95, lossW: 1030, refluxShare: 0 },
  spout: { holdUpL: 0.08, transitS: 20 },
  vent: { unvalved: true, feintsPathFailsOpen: true },
};

/** The orchard pot with a scale under the feints can, a meter at the spout, and somebody who must answer. */
const strippingStill: StillDocument = {
  ...orchardPot,
  id: 'stripping',
  points: {
    ...orchardPot.points,
    'feints-volume': { kind: 'receiver-volume', receiver: 'feints-can' },
    'product-flow': { kind: 'product-flow' },
    attended: { kind: 'attendance' },
  },
  attendanceS: 1200,
};

/** A small charge and a quicker take-off, so that a whole column run takes three hours rather than nine. */
const quickNeutral: RecipeDocument = {
  ...pearNeutral,
  phases: pearNeutral.phases.map((phase) =>
    phase.phase === 'heads' || phase.phase === 'foreshots' ? { ...phase, takeOffShare: 0.4 } : phase,
  ),
};

const weather = { offsetHPa: -4, wanderHPaPerRootH: 0.6, front: null } as const;

export const campaignStills: Readonly<Record<StillType, Scenario>> = {
  pot: {
    name: 'pot',
    about: 'Pot with valves and every protection but scales',
    still: orchardPot,
    recipe: pearSpirit,
    variant: 'white',
    options: { charge: { volumeL: 36, strengthAbv: 0.29 }, site: { weather }, tracers: false },
  },
  column: {
    name: 'column',
    about: 'Column with a diverter and liquid take-off',
    still: orchardColumn,
    recipe: quickNeutral,
    variant: null,
    options: { charge: { volumeL: 22, strengthAbv: 0.28 }, site: { weather }, tracers: false },
  },
  bare: {
    name: 'bare',
    about: 'Pot with two thermometers and a spout moved by hand',
    still: bareStill,
    recipe: pearSpirit,
    variant: 'for-oak',
    options: { charge: { volumeL: 34, strengthAbv: 0.3 }, site: { weather }, tracers: false },
  },
  stripping: {
    name: 'stripping',
    about: 'Stripping run with a scale, a meter at the spout and an attendance button',
    still: strippingStill,
    recipe: perryStripping,
    variant: null,
    options: { charge: { volumeL: 36, strengthAbv: 0.065, solidsRiseK: 0.1 }, site: { weather }, tracers: false },
  },
};
