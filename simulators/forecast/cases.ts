import type { RecipeDocument } from '../../lib/recipe/schema';
import { createRandom, nextBetween, nextGaussian } from '../model';
import { orchardColumn, pearNeutral, pearSpirit, type Scenario, scenarios } from '../scenarios';
import { workedPot } from '../worked/stills';
import type { Case } from './measure';

type Ends = RecipeDocument['phases'][number]['endsWhen'];

/** Pear spirit with its cuts made by other tests. */
function cutsBy(name: string, ends: Readonly<Partial<Record<'heads' | 'hearts' | 'tails', Ends>>>): RecipeDocument {
  const { variants: _, ...plain } = pearSpirit;
  const phases = plain.phases.map((step) => {
    const endsWhen = step.phase in ends ? ends[step.phase as keyof typeof ends] : undefined;
    return endsWhen === undefined ? step : { ...step, endsWhen };
  });
  return { ...plain, name, phases };
}

const byVapour = cutsBy('by the vapour', {
  heads: { test: 'vapour-temp', atLeastC: 83.4 },
  hearts: { test: 'vapour-temp', atLeastC: 90.2 },
});
const byStrength = cutsBy('by strength', {
  hearts: { test: 'strength', atMostVolPercent: 62 },
  tails: { test: 'boiler-temp', atLeastC: 97.2 },
});
const byParrot = cutsBy('by the parrot', {
  heads: { test: 'volume', atLeastL: 1.5 },
  hearts: { test: 'strength', by: 'parrot', atMostVolPercent: 60 },
  tails: { test: 'strength', by: 'parrot', atMostVolPercent: 30 },
});
const byShare = cutsBy('by share', {
  hearts: { test: 'alcohol-share', atLeastPercent: 74 },
  tails: { test: 'volume', atLeastL: 4 },
});
/** Neutral spirit whose hearts end by share, and whose tails end by the boiler. */
const columnByShare: RecipeDocument = {
  ...pearNeutral,
  name: 'column by share',
  phases: pearNeutral.phases.map((step) =>
    step.phase === 'hearts'
      ? { ...step, endsWhen: { test: 'alcohol-share' as const, atLeastPercent: 80 } }
      : step.phase === 'tails'
        ? { ...step, endsWhen: { test: 'boiler-temp' as const, atLeastC: 98.2 } }
        : step,
  ),
};

const pot = scenarios['pot-spirit'];
const metered: Scenario = { ...pot, name: 'pot-metered', still: workedPot };
const column: Scenario = { ...scenarios['column-spirit'], still: orchardColumn };

const kinds: readonly { readonly scenario: Scenario; readonly recipe: RecipeDocument }[] = [
  { scenario: pot, recipe: byVapour },
  { scenario: pot, recipe: byStrength },
  { scenario: metered, recipe: byVapour },
  { scenario: metered, recipe: byParrot },
  { scenario: metered, recipe: byShare },
  { scenario: pot, recipe: byShare },
  { scenario: column, recipe: pearNeutral },
  { scenario: column, recipe: columnByShare },
];

/**
 * A run with everything a little otherwise than written down: heat ± 15 %, charge ± 0.7 % vol (one standard deviation), air pressure, probes ± 0.2 K
 * and ± 0.3 K, heat lost by the head ± 25 %, and now and then another height above the sea.
 *
 * @param index which run: the same always
 */
export function caseOf(index: number): Case {
  const kind = kinds[index % kinds.length]!;
  const random = createRandom(index, 'forecast');
  return {
    ...kind,
    seed: 1000 + index,
    weatherHPa: nextBetween(random, -30, 30),
    heatFactor: nextBetween(random, 0.85, 1.15),
    chargeVolPercent: 0.7 * nextGaussian(random),
    probeK: 0.2 * nextGaussian(random),
    boilerProbeK: 0.3 * nextGaussian(random),
    lossFactor: nextBetween(random, 0.75, 1.25),
    ...(index % 3 === 2 ? { altitudeM: nextBetween(random, 0, 1500) } : {}),
  };
}

export const kindCount = kinds.length;

/** The runs of the document; uncertainties were set on those below 200. */
export const firstShown = 200;
export const shownRuns = 56;
