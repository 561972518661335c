import { type Checked, parseDocument } from '../../lib/problems';
import { type RecipeDocument, recipeSchema } from '../../lib/recipe/schema';
import { type StillDocument, stillSchema } from '../../lib/still/schema';
import { describeStill, mergeOptions, perryCongenersMgPerL, type StillOptions, type StillSpec } from '../model';
import { hurried } from './hurried';
import { orchardColumn } from './orchard-column';
import { orchardPot } from './orchard-pot';
import { pearNeutral, pearSpirit, perryStripping } from './pear-spirit';

/** A still, a recipe and a charge that belong together, ready to be simulated. Invented, for the demo and the tests. */
export interface Scenario {
  readonly name: string;
  readonly about: string;
  readonly still: StillDocument;
  readonly recipe: RecipeDocument;
  readonly variant: string | null;
  readonly options: StillOptions;
}

export { orchardColumn, orchardPot, pearNeutral, pearSpirit, perryStripping };

// Low wines whose foreshots were kept back in the first run.
const lightened = { acetaldehyde: 30, 'ethyl acetate': 80 } as const;

/** Perry of 6.5 % vol holds about a fifth of what its low wines hold; of acids, which stay behind, much more. Invented. */
const washCongenersMgPerL = {
  ...Object.fromEntries(Object.entries(perryCongenersMgPerL).map(([name, mgPerL]) => [name, mgPerL / 4.5])),
  'acetic acid': 500,
} as const;

export const scenarios = {
  'pot-spirit': {
    name: 'pot-spirit',
    about: 'Perry low wines in the orchard still: pear spirit',
    still: orchardPot,
    recipe: pearSpirit,
    variant: 'white',
    options: {
      charge: { volumeL: 55, strengthAbv: 0.29 },
      site: { weather: { offsetHPa: -4, wanderHPaPerRootH: 0.6, front: null } },
    },
  },
  demo: {
    name: 'demo',
    about: 'Half a charge of perry low wines, filled in warm: pear spirit within the hour',
    still: hurried(orchardPot),
    recipe: pearSpirit,
    variant: 'white',
    options: {
      charge: { volumeL: 30, strengthAbv: 0.29, tempC: 55 },
      site: { weather: { offsetHPa: -4, wanderHPaPerRootH: 0.6, front: null } },
    },
  },
  'column-spirit': {
    name: 'column-spirit',
    about: 'Perry low wines in the column: light pear spirit',
    still: orchardColumn,
    recipe: pearNeutral,
    variant: null,
    options: { charge: { volumeL: 50, strengthAbv: 0.28, congenersMgPerL: { ...perryCongenersMgPerL, ...lightened } } },
  },
  'pot-stripping': {
    name: 'pot-stripping',
    about: 'Perry in the orchard still: low wines',
    still: orchardPot,
    recipe: perryStripping,
    variant: null,
    options: { charge: { volumeL: 58, strengthAbv: 0.065, solidsRiseK: 0.1, congenersMgPerL: washCongenersMgPerL } },
  },
} as const satisfies Record<string, Scenario>;

export type ScenarioName = keyof typeof scenarios;

export const scenarioNames = Object.keys(scenarios) as readonly ScenarioName[];

function read<T>(checked: Checked<T>, what: string): T {
  if (checked.kind === 'ok') return checked.value;
  throw new Error(`assertion: the ${what} of a scenario is not sound: ${checked.problems[0]?.message ?? ''}`);
}

/** The simulated still of a scenario. */
export function specOf(scenario: Scenario, options: StillOptions = {}): StillSpec {
  const still = read(parseDocument(stillSchema, scenario.still), 'still');
  return describeStill(still, mergeOptions(scenario.options, options));
}

/** The recipe of a scenario, defaults filled in. */
export function recipeOf(scenario: Scenario) {
  return read(parseDocument(recipeSchema, scenario.recipe), 'recipe');
}
