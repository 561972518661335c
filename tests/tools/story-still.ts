import { checkRecipe, checkStill, compilePlant, type Plant, type RecipeDocument, type StillDocument } from '../../lib';
import { good } from './plants';

/** The pot of the stories: 60 L on a 5 kW element, 420 m up, with everything fitted that a detector can use. */
const pot: StillDocument = {
  still: 1,
  id: 'story-pot',
  name: 'The pot of the stories',
  kind: 'pot',
  boilerVolumeL: 60,
  heelL: 10,
  altitudeM: 420,
  points: {
    'vapour-temp': { kind: 'vapour-temp', resolution: 0.0625, accuracy: 0.2 },
    'boiler-temp': { kind: 'boiler-temp', resolution: 0.0625, accuracy: 0.3 },
    'element-temp': { kind: 'element-temp' },
    'product-temp': { kind: 'product-temp' },
    'coolant-flow': { kind: 'coolant-flow' },
    'air-pressure': { kind: 'air-pressure' },
    'boiler-pressure': { kind: 'boiler-pressure' },
    'boiler-level': { kind: 'boiler-level' },
    'vapour-gas': { kind: 'vapour-gas' },
    'heat-power': { kind: 'heat-power', drive: 'heat' },
    'collected-volume': { kind: 'collected-volume' },
    'parrot-strength': { kind: 'parrot-strength' },
    'heads-volume': { kind: 'receiver-volume', receiver: 'heads' },
    'hearts-volume': { kind: 'receiver-volume', receiver: 'hearts' },
    'feints-volume': { kind: 'receiver-volume', receiver: 'feints' },
    'coolant-state': { kind: 'drive-state', drive: 'coolant' },
    'heads-state': { kind: 'drive-state', drive: 'heads-valve' },
    'hearts-state': { kind: 'drive-state', drive: 'hearts-valve' },
    'feints-state': { kind: 'drive-state', drive: 'feints-valve' },
    button: { kind: 'attendance' },
  },
  drives: {
    heat: { kind: 'heat', ratedW: 5000, deadManS: 30 },
    contactor: { kind: 'contactor' },
    coolant: { kind: 'coolant', reported: 'coolant-state' },
    'heads-valve': { kind: 'receiver-valve', receiver: 'heads', travelS: 4, reported: 'heads-state' },
    'hearts-valve': { kind: 'receiver-valve', receiver: 'hearts', travelS: 4, reported: 'hearts-state' },
    'feints-valve': {
      kind: 'receiver-valve',
      receiver: 'feints',
      travelS: 4,
      failPosition: 'open',
      reported: 'feints-state',
    },
  },
  receivers: {
    heads: { capacityL: 8, takes: ['foreshots', 'heads'], overflowTo: 'feints' },
    hearts: { capacityL: 25, takes: ['hearts'], overflowTo: 'feints' },
    feints: { capacityL: 30, takes: ['tails'] },
  },
  ratings: { coolantFlowMinLPerH: 60 },
  attendanceS: 1200,
  runMaxS: 9000,
  vent: { unvalved: true, feintsPathFailsOpen: true },
};

const potRecipe: RecipeDocument = {
  recipe: 1,
  name: 'Story spirit',
  kind: 'spirit',
  stillKind: 'pot',
  phases: [
    { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 }, holdS: 10, maxS: 5400 },
    { phase: 'heads', endsWhen: { test: 'vapour-temp', atLeastC: 82.6 }, heatShare: 0.5, maxS: 3600 },
    { phase: 'hearts', endsWhen: { test: 'vapour-temp', atLeastC: 91 }, heatShare: 0.8 },
    { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 95 } },
  ],
};

const { 'heads-volume': _h, 'hearts-volume': _e, 'feints-volume': _f, ...columnPoints } = pot.points;
const { 'heads-state': _a, 'hearts-state': _b, 'feints-state': _c, ...driven } = columnPoints;

/** The column of the stories: liquid take-off, one diverter at the spout, a meter for the whole. */
const column: StillDocument = {
  ...pot,
  id: 'story-column',
  name: 'The column of the stories',
  kind: 'column',
  points: {
    ...driven,
    'spout-state': { kind: 'drive-state', drive: 'spout' },
    'take-off-state': { kind: 'drive-state', drive: 'take-off' },
  },
  drives: {
    heat: { kind: 'heat', ratedW: 5000, deadManS: 30 },
    contactor: { kind: 'contactor' },
    coolant: { kind: 'coolant', reported: 'coolant-state' },
    'take-off': { kind: 'take-off', reported: 'take-off-state' },
    spout: { kind: 'diverter', positions: ['feints', 'heads', 'hearts'], travelS: 5, reported: 'spout-state' },
  },
  boilUp: { refluxShare: 0.7 },
};

const columnRecipe: RecipeDocument = {
  recipe: 1,
  name: 'Story column spirit',
  kind: 'spirit',
  stillKind: 'column',
  phases: [
    { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 }, holdS: 10, takeOffShare: 0 },
    { phase: 'equalise', endsWhen: { test: 'time', atLeastS: 900 }, takeOffShare: 0 },
    { phase: 'heads', endsWhen: { test: 'volume', atLeastL: 0.5, since: 'run' }, takeOffShare: 0.5 },
    { phase: 'hearts', endsWhen: { test: 'vapour-temp', atLeastC: 86 } },
    { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 97 } },
  ],
};

/** A pot with two vapour probes in one well. */
const twinPot: StillDocument = {
  ...pot,
  id: 'twin-pot',
  points: { ...pot.points, 'second-vapour-temp': { kind: 'vapour-temp', resolution: 0.0625, accuracy: 0.2 } },
};

/** A pot with a spout that is moved by hand, and nothing but the two temperatures and a barometer. */
const barePot: StillDocument = {
  still: 1,
  id: 'bare-pot',
  name: 'A pot with next to nothing',
  kind: 'pot',
  boilerVolumeL: 60,
  heelL: 10,
  points: {
    'vapour-temp': { kind: 'vapour-temp', resolution: 0.0625 },
    'boiler-temp': { kind: 'boiler-temp', resolution: 0.0625 },
    'air-pressure': { kind: 'air-pressure' },
  },
  drives: { heat: { kind: 'heat', ratedW: 5000, deadManS: 30 } },
  receivers: {
    heads: { capacityL: 8, takes: ['heads'] },
    hearts: { capacityL: 25, takes: ['hearts'] },
    feints: { capacityL: 30, takes: ['tails'] },
  },
};

/** A pot over a steam jacket that goes on giving vapour for a quarter of an hour. */
const steamPot: StillDocument = {
  ...pot,
  id: 'steam-pot',
  drives: { ...pot.drives, heat: { kind: 'heat', source: 'steam', ratedW: 5000, deadManS: 30 } },
};

export const storyStills = {
  pot: [pot, potRecipe],
  column: [column, columnRecipe],
  'twin-pot': [twinPot, potRecipe],
  'bare-pot': [barePot, potRecipe],
  'steam-pot': [steamPot, potRecipe],
} as const satisfies Record<string, readonly [StillDocument, RecipeDocument]>;

export type StoryStill = keyof typeof storyStills;

export const storyCharge = { volumeL: 50, strengthAbv: 0.3 };

/** Still, recipe and charge of a story, with the run it should follow. */
export function storyPlant(name: StoryStill, charge = storyCharge): Plant {
  const [still, recipe] = storyStills[name];
  const plant = good(compilePlant(good(checkStill(still)), good(checkRecipe(recipe)), null, charge));
  const profile = [
    { sharePercent: 0, vapourTempC: 81.8 },
    { sharePercent: 25, vapourTempC: 83.6 },
    { sharePercent: 62, vapourTempC: 90.3 },
    { sharePercent: 80, vapourTempC: 95 },
    { sharePercent: 100, vapourTempC: 100 },
  ];
  return name === 'pot' ? { ...plant, profile } : plant;
}
