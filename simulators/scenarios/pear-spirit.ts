import type { RecipeDocument } from '../../lib/recipe/schema';

/**
 * Pear spirit in the pot, from perry low wines of 28–30 % vol. Invented for the demo: heads by volume and share, for in a bare pot the
 * vapour hardly warms meanwhile; tails by temperature, a little deeper when the spirit will rest in oak. Temperatures are those at 1013.25 hPa.
 */
export const pearSpirit: RecipeDocument = {
  recipe: 1,
  name: 'Pear spirit',
  about: 'Perry low wines, second run. Foreshots are discarded; heads and tails go to the feints.',
  kind: 'spirit',
  stillKind: 'pot',
  developedFrom: {
    still: 'The orchard still',
    charge: 'perry low wines',
    chargeL: 55,
    chargeVolPercent: 29,
    airPressureHPa: 962,
    heaterW: 5000,
  },
  phases: [
    { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 }, holdS: 10, maxS: 7200 },
    { phase: 'foreshots', endsWhen: { test: 'volume', atLeastL: 0.2 }, holdS: 5, heatShare: 0.6, maxS: 1800 },
    {
      phase: 'heads',
      endsWhen: { test: 'alcohol-share', atLeastPercent: 5 },
      notBefore: { volumeL: 0.5 },
      holdS: 30,
      heatShare: 0.6,
      maxS: 5400,
    },
    {
      phase: 'hearts',
      endsWhen: { test: 'vapour-temp', atLeastC: 90.8 },
      notBefore: { sharePercent: 40 },
      holdS: 45,
      heatShare: 0.8,
      maxS: 21600,
    },
    { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 97 }, holdS: 60, maxS: 14400 },
  ],
  variants: {
    white: {
      about: 'Drunk young: a shallower tails cut',
      cuts: { hearts: { endsWhen: { test: 'vapour-temp', atLeastC: 90.2 } } },
    },
    'for-oak': {
      about: 'Rests in oak: a little deeper into the tails',
      cuts: { hearts: { endsWhen: { test: 'vapour-temp', atLeastC: 92.2 } } },
    },
  },
};

/** Stripping run of perry in the pot: everything worth keeping into one can, as low wines. */
export const perryStripping: RecipeDocument = {
  recipe: 1,
  name: 'Perry to low wines',
  about: 'First run: strips the alcohol from perry of 6–7 % vol, without cuts.',
  kind: 'stripping',
  stillKind: 'pot',
  phases: [
    { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 }, holdS: 10, maxS: 7200 },
    {
      phase: 'tails',
      endsWhen: { test: 'vapour-temp', atLeastC: 98.8 },
      holdS: 60,
      maxS: 14400,
    },
  ],
};

/** Neutral pear spirit in the column: hearts end when the vapour leaves its settled plateau. */
export const pearNeutral: RecipeDocument = {
  recipe: 1,
  name: 'Light pear spirit',
  about: 'Perry low wines in the column, for a light spirit. The plateau is found anew in each run.',
  kind: 'spirit',
  stillKind: 'column',
  phases: [
    { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 }, holdS: 10, takeOffShare: 0, maxS: 9000 },
    {
      phase: 'equalise',
      endsWhen: { test: 'settled', withinK: 0.15, overS: 600, atLeastS: 1800 },
      holdS: 30,
      takeOffShare: 0,
      maxS: 9000,
    },
    { phase: 'foreshots', endsWhen: { test: 'volume', atLeastL: 0.25 }, holdS: 5, takeOffShare: 0.2, maxS: 5400 },
    { phase: 'heads', endsWhen: { test: 'alcohol-share', atLeastPercent: 6 }, takeOffShare: 0.25, maxS: 9000 },
    {
      phase: 'hearts',
      endsWhen: { test: 'vapour-rise', byK: 0.3 },
      notBefore: { sharePercent: 40 },
      holdS: 60,
      takeOffShare: 0.75,
      maxS: 36000,
    },
    { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 96 }, holdS: 60, maxS: 14400 },
  ],
};
