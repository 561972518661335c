import { type Controller, createController } from '../lib/engine/controller';
import { freshRun } from '../lib/engine/fresh';
import { compilePlant } from '../lib/engine/plant';
import type { Plant } from '../lib/engine/types';
import { showProblem } from '../lib/problems';
import type { FaultPlan } from './faults';
import type { StillOptions, StillSpec } from './model';
import type { OperatorHabits } from './operator';
import { createRig, type Moment, type Rig, type RigResult } from './rig';
import { recipeOf, type Scenario, specOf } from './scenarios';

export interface ScenarioRun {
  readonly scenario: Scenario;
  readonly seed: number;
  readonly variant?: string | null;
  readonly options?: StillOptions;
  readonly faults?: readonly FaultPlan[];
  readonly operator?: Partial<OperatorHabits>;
  /** Longest the run may take [s]. */
  readonly mostS?: number;
  readonly logEveryS?: number;
  /** Told of every scan: its input is what a record keeps. */
  readonly watch?: (moment: Moment) => void;
}

/** The plant an engine runs a scenario with. */
export function plantOfScenario(scenario: Scenario, spec: StillSpec, variant: string | null = scenario.variant): Plant {
  const { volumeL, strengthAbv } = spec.charge;
  const compiled = compilePlant(spec.still, recipeOf(scenario), variant, { volumeL, strengthAbv });
  if (compiled.kind === 'ok') return compiled.value;
  throw new Error(compiled.problems.map(showProblem).join('\n'));
}

/** A scenario's site under the real engine, ready to run. */
export function rigOfScenario(run: ScenarioRun): { readonly rig: Rig; readonly controller: Controller } {
  const spec = specOf(run.scenario, run.options);
  const controller = createController(plantOfScenario(run.scenario, spec, run.variant), freshRun(0));
  const rig = createRig({
    spec,
    controller,
    seed: run.seed,
    ...(run.faults === undefined ? {} : { faults: run.faults }),
    ...(run.operator === undefined ? {} : { operator: run.operator }),
    ...(run.logEveryS === undefined ? {} : { logEveryS: run.logEveryS }),
    ...(run.watch === undefined ? {} : { watch: run.watch }),
  });
  return { rig, controller };
}

/** Runs a scenario until it cools down (or for the longest time) and gives everything that came of it. */
export function runScenario(run: ScenarioRun): RigResult {
  const { rig } = rigOfScenario(run);
  rig.run(run.mostS ?? 16 * 3600, ({ events }) =>
    events.some((event) => event.kind === 'phase' && event.to === 'cool-down'),
  );
  return rig.result();
}
