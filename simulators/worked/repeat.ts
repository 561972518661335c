import { createController } from '../../lib/engine/controller';
import { freshRun } from '../../lib/engine/fresh';
import { compilePlant } from '../../lib/engine/plant';
import { type CongenerName, congenerNames, shiftVapourTemp } from '../../lib/physics';
import type { Recipe } from '../../lib/recipe/schema';
import { checkStill } from '../../lib/still/check';
import type { StillDocument } from '../../lib/still/schema';
import { describeStill, fractionsOf, type StillOptions, truthOf } from '../model';
import { createRig } from '../rig';
import { first, good } from './development';
import { createNose } from './nose';

/** What is otherwise in a run than in run 1. */
export interface Deviation {
  readonly weatherHPa?: number;
  /** The charge as it really is, when it was written down as in run 1 [% vol more]. */
  readonly chargeVolPercent?: number;
  /** What the element really gives, over what it is rated for. */
  readonly heatFactor?: number;
  /** Error of the vapour probe that its calibration does not know of [K]. */
  readonly probeK?: number;
}

export interface Repetition {
  readonly still: StillDocument;
  readonly chargeL: number;
  readonly recipe: Recipe;
  readonly variant: string | null;
  readonly seed: number;
  readonly deviation?: Deviation;
}

/** What came of a run, as it really stood in the receivers. */
export interface Hearts {
  readonly volumeL: number;
  readonly strengthAbv: number;
  readonly alcoholL: number;
  /** Alcohol really charged [L], and what of it the hearts hold [%]. */
  readonly chargeAlcoholL: number;
  readonly sharePercent: number;
  /** Litres of hearts a litre of alcohol charged. */
  readonly volumePerAlcohol: number;
  readonly airPressureHPa: number;
  /** Vapour as it really was at the two cuts: there, and at the reference pressure [°C]. */
  readonly headsCutC: readonly [number, number];
  readonly tailsCutC: readonly [number, number];
  readonly headsSharePercent: number;
  readonly tailsSharePercent: number;
  /** Questions put because a cut stood away from where it was tasted. */
  readonly asked: number;
  /** PREDICTED minor compounds [mg in a litre of pure alcohol]. */
  readonly predicted: Readonly<Record<CongenerName, number>>;
}

/** Runs a recipe on the simulated still under the real engine; a person there answers what is asked. */
export function repeatRun(run: Repetition): Hearts {
  const { weatherHPa = first.weatherHPa, chargeVolPercent = 0, heatFactor = 1, probeK = 0 } = run.deviation ?? {};
  const still = good(checkStill(run.still));
  const really = { volumeL: run.chargeL, strengthAbv: (first.chargeVolPercent + chargeVolPercent) / 100 };
  const believed = { volumeL: run.chargeL, strengthAbv: first.chargeVolPercent / 100 };
  const heat = still.drives.heat;
  const ratedW = heat?.kind === 'heat' ? heat.ratedW : 0;
  const options: StillOptions = {
    charge: really,
    site: { weather: { offsetHPa: weatherHPa, wanderHPaPerRootH: 0.3, front: null } },
    heat: { heat: { ratedW: ratedW * heatFactor } },
    probes: { 'vapour-temp': { offset: probeK } },
  };
  const spec = describeStill(still, options);
  const controller = createController(good(compilePlant(still, run.recipe, run.variant, believed)), freshRun(0));
  const nose = createNose(run.variant === 'for-oak');
  const rig = createRig({
    spec,
    controller,
    seed: run.seed,
    logEveryS: 0,
    operator: { acceptsCutsAfterS: null },
    watch: (moment) => {
      for (const order of nose(moment)) rig.order(order);
    },
  });
  rig.run(16 * 3600, ({ events }) => events.some((event) => event.kind === 'phase' && event.to === 'cool-down'));
  const { fractions, cuts, events } = rig.result();
  const hearts = fractions['hearts-can'] ?? fractionsOf(rig.site.state)['hearts-can']!;
  const begun = cuts.find(({ event }) => event.to === 'hearts')?.truth ?? truthOf(rig.site.state);
  const ended = cuts.find(({ event }) => event.from === 'hearts')?.truth ?? truthOf(rig.site.state);
  const chargeAlcoholL = really.volumeL * really.strengthAbv;
  const there = (truth: typeof begun): readonly [number, number] => [
    truth.vapourTempC,
    shiftVapourTemp(truth.vapourTempC, truth.airPressureHPa, 1013.25),
  ];
  const perL = (name: CongenerName) =>
    ((hearts.predictedCongenersMgPerL[name] ?? 0) * hearts.volumeL) / Math.max(hearts.alcoholL, 1e-9);
  return {
    volumeL: hearts.volumeL,
    strengthAbv: hearts.strengthAbv,
    alcoholL: hearts.alcoholL,
    chargeAlcoholL,
    sharePercent: (100 * hearts.alcoholL) / chargeAlcoholL,
    volumePerAlcohol: hearts.volumeL / chargeAlcoholL,
    airPressureHPa: begun.airPressureHPa,
    headsCutC: there(begun),
    tailsCutC: there(ended),
    headsSharePercent: 100 * begun.alcoholShare,
    tailsSharePercent: 100 * ended.alcoholShare,
    asked: events.filter((event) => event.kind === 'cut-asked').length,
    predicted: Object.fromEntries(congenerNames.map((name) => [name, perL(name)])) as Record<CongenerName, number>,
  };
}
