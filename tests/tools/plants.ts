import {
  checkRecipe,
  checkStill,
  compilePlant,
  type Plant,
  type RecipeDocument,
  type StillDocument,
  showProblem,
} from '../../lib';
import type { Checked } from '../../lib/problems';

/** A small pot with three receivers, every drive of its own kind, and a probe of 0.0625 K. */
export const potDocument: StillDocument = {
  still: 1,
  id: 'test-pot',
  name: 'Test pot',
  kind: 'pot',
  boilerVolumeL: 60,
  heelL: 8,
  altitudeM: 420,
  points: {
    vapour: { kind: 'vapour-temp', resolution: 0.0625 },
    boiler: { kind: 'boiler-temp' },
    air: { kind: 'air-pressure' },
  },
  drives: {
    element: { kind: 'heat', ratedW: 5000, deadManS: 30 },
    coolant: { kind: 'coolant' },
    'heads-valve': { kind: 'receiver-valve', receiver: 'heads', failPosition: 'open' },
    'hearts-valve': { kind: 'receiver-valve', receiver: 'hearts' },
    'tails-valve': { kind: 'receiver-valve', receiver: 'tails', failPosition: 'open' },
  },
  receivers: {
    heads: { capacityL: 30, takes: ['foreshots', 'heads'] },
    hearts: { capacityL: 20, takes: ['hearts'] },
    tails: { capacityL: 20, takes: ['tails'] },
  },
};

export const potRecipe: RecipeDocument = {
  recipe: 1,
  name: 'Test spirit',
  kind: 'spirit',
  stillKind: 'pot',
  phases: [
    { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 }, holdS: 10 },
    { phase: 'heads', endsWhen: { test: 'vapour-temp', atLeastC: 82 } },
    { phase: 'hearts', endsWhen: { test: 'vapour-temp', atLeastC: 92 } },
    { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 97 } },
  ],
};

export function good<T>(checked: Checked<T>): T {
  if (checked.kind === 'bad') throw new Error(checked.problems.map(showProblem).join('\n'));
  return checked.value;
}

export function plantOf(
  recipe: RecipeDocument = potRecipe,
  still: StillDocument = potDocument,
  variant: string | null = null,
  charge = { volumeL: 50, strengthAbv: 0.3 },
): Plant {
  return good(compilePlant(good(checkStill(still)), good(checkRecipe(recipe)), variant, charge));
}
