import { alcoholSharePercent } from '../../lib/cuts/alcohol-share';
import { testsOf } from '../../lib/engine/condition';
import { type Controller, createController } from '../../lib/engine/controller';
import { freshRun } from '../../lib/engine/fresh';
import { compilePlant } from '../../lib/engine/plant';
import type { CutTime } from '../../lib/engine/types';
import { viewCharge } from '../../lib/forecast/show';
import { showProblem } from '../../lib/problems';
import type { RecipeDocument } from '../../lib/recipe/schema';
import { type StillOptions, type Truth, truthOf } from '../model';
import { createRig } from '../rig';
import { recipeOf, type Scenario, specOf } from '../scenarios';

/** A simulated run that is looked ahead in; what is otherwise than the still and its recipe say. */
export interface Case {
  readonly scenario: Scenario;
  readonly recipe?: RecipeDocument;
  readonly seed: number;
  readonly weatherHPa?: number;
  readonly altitudeM?: number;
  readonly heatFactor?: number;
  /** The charge as it really is, over what is written down [% vol]. */
  readonly chargeVolPercent?: number;
  readonly probeK?: number;
  readonly boilerProbeK?: number;
  /** Heat that head and arm lose, over what is usual for the still. */
  readonly lossFactor?: number;
}

/** What was foretold of a cut some time before it came. */
export interface Told {
  readonly still: 'pot' | 'column';
  readonly phase: string;
  readonly test: string;
  readonly horizonS: number;
  /** Foretold less what came [s], and the uncertainty that was stated; or why nothing was foretold. */
  readonly told: { readonly errorS: number; readonly sigmaS: number } | { readonly why: string };
}

/** What was made of the charge at a cut, beside what it really was. */
export interface Seen {
  readonly still: 'pot' | 'column';
  /** Counted by a meter of the volume, or by the heat alone. */
  readonly counted: 'meter' | 'heat';
  /** Share of the alcohol come over: the estimator's less the true one, its stated uncertainty, and the bare count's less the true one [%]. */
  readonly shareOffPercent: number;
  readonly statedPercent: number;
  readonly countOffPercent: number;
  /** Strength of what is left: the estimator's less the true one [% vol]. */
  readonly leftOffVolPercent: number;
}

export interface Measured {
  readonly told: readonly Told[];
  readonly seen: readonly Seen[];
}

/** So long before each cut the forecast is judged [s]. */
export const horizonsS = [3600, 1800, 900, 300] as const;

interface Look {
  readonly atS: number;
  readonly next: CutTime;
}

/** Runs a case to its end; every cut it makes, as it was foretold. */
export function measureCase(one: Case): Measured {
  const { scenario, seed } = one;
  const base = specOf(scenario);
  const site = {
    ...scenario.options.site,
    weather: { offsetHPa: one.weatherHPa ?? 0, wanderHPaPerRootH: 0.6, front: null },
  };
  const heat = Object.fromEntries(
    Object.entries(base.heat).map(([id, spec]) => [id, { ratedW: spec.ratedW * (one.heatFactor ?? 1) }]),
  );
  const really = { ...base.charge, strengthAbv: base.charge.strengthAbv + (one.chargeVolPercent ?? 0) / 100 };
  const options: StillOptions = {
    charge: really,
    heat,
    site: one.altitudeM === undefined ? site : { ...site, altitudeM: one.altitudeM },
    probes: { 'vapour-temp': { offset: one.probeK ?? 0 }, 'boiler-temp': { offset: one.boilerProbeK ?? 0 } },
    tower: { lossWPerK: base.tower.lossWPerK * (one.lossFactor ?? 1) },
  };
  const spec = specOf(scenario, options);
  const recipe = one.recipe === undefined ? recipeOf(scenario) : recipeOf({ ...scenario, recipe: one.recipe });
  const compiled = compilePlant(spec.still, recipe, one.recipe === undefined ? scenario.variant : null, {
    volumeL: base.charge.volumeL,
    strengthAbv: base.charge.strengthAbv,
  });
  if (compiled.kind === 'bad') throw new Error(compiled.problems.map(showProblem).join('\n'));
  const plant = compiled.value;
  const controller = createController(plant, freshRun(0));
  const found: Told[] = [];
  const seen: Seen[] = [];
  let looks: Look[] = [];
  let step = -1;
  const rig = createRig({
    spec,
    controller,
    seed,
    logEveryS: 0,
    watch: ({ atS, events, site }) => {
      for (const event of events) {
        if (event.kind !== 'phase' || step < 0) continue;
        const at = seenAt(controller, truthOf(site.state));
        if (at !== null && event.from !== 'heat-up') seen.push(at);
        const planned = plant.plan[step]!;
        const test = [...testsOf(planned.step.endsWhen)].map((part) => part.test.test).join('+');
        const about = { still: plant.still.kind, phase: event.from, test };
        for (const horizonS of horizonsS) {
          const look = looks.findLast((past) => past.atS <= event.atS - horizonS);
          if (look !== undefined) found.push({ ...about, horizonS, told: toldOf(look, event.atS) });
        }
      }
      const { run } = controller;
      if (run.step !== step) [looks, step] = [[], run.step];
      const forecast = run.estimate.forecast;
      if (step < 0 || forecast?.atS == null || forecast.atS !== atS) return;
      looks.push({ atS, next: forecast.next });
    },
  });
  rig.run(16 * 3600, ({ events }) => events.some((event) => event.kind === 'phase' && event.to === 'cool-down'));
  return { told: found, seen };
}

function seenAt({ plant, run }: Controller, truth: Truth): Seen | null {
  const view = viewCharge(plant, run);
  const counted = alcoholSharePercent(plant.charge, run.estimate.produced.alcoholL);
  if (view === null || counted === null) return null;
  return {
    still: plant.still.kind,
    counted: run.estimate.produced.source === 'heat' ? 'heat' : 'meter',
    shareOffPercent: view.sharePercent - 100 * truth.alcoholShare,
    statedPercent: view.withinPercent,
    countOffPercent: counted - 100 * truth.alcoholShare,
    leftOffVolPercent: view.leftVolPercent - 100 * truth.boilerStrengthAbv,
  };
}

function toldOf({ atS, next }: Look, cameAtS: number): Told['told'] {
  return next.kind === 'unknown' ? { why: next.why } : { errorS: atS + next.inS - cameAtS, sigmaS: next.sigmaS };
}
