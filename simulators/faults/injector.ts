import type { Command, Reading } from '../../lib/engine/types';
import { createRandom, type DriveFaults, type StillSpec, undisturbed, type World } from '../model';
import { faultRules } from './rules';
import { emptyMemory, type FaultContext, type FaultMemory, type FaultPlan, type FaultRule } from './types';

/** The faults of one run, between the simulated site and the engine. */
export interface Faults {
  /** Begins a step: looks at the clock and the boiler. */
  begin(atS: number, dtS: number, boilerL: number): void;
  world(): World;
  drives(): DriveFaults;
  readings(batch: readonly Reading[]): readonly Reading[];
  commands(batch: readonly Command[]): readonly Command[];
  /** One more fault, in the middle of a run. */
  add(plan: FaultPlan): void;
  /** Faults that are on at this step. */
  readonly active: readonly FaultPlan[];
}

interface Running {
  readonly plan: FaultPlan;
  readonly rule: FaultRule;
  context: FaultContext;
  memory: FaultMemory;
}

function prepare(plan: FaultPlan, spec: StillSpec, seed: number, all: readonly FaultPlan[]): Running {
  const rule: FaultRule | undefined = (faultRules as Readonly<Record<string, FaultRule>>)[plan.fault];
  if (rule === undefined)
    throw new Error(`There is no fault '${plan.fault}'; use ${Object.keys(faultRules).join(', ')}`);
  const targets = rule.targetsOf(spec.still);
  const target = plan.target ?? targets[0];
  if (target === undefined || !targets.includes(target)) {
    const offered = targets.length === 0 ? 'this still has nothing it could befall' : `use ${targets.join(', ')}`;
    throw new Error(`The fault '${plan.fault}' can't befall '${plan.target ?? ''}': ${offered}`);
  }
  // Named by what it is and its place among its like, so that another fault more in the plan shifts no stream.
  const place = all.slice(0, all.indexOf(plan)).filter((other) => other.fault === plan.fault).length;
  const random = createRandom(seed, `fault/${plan.fault}/${target}/${place}`);
  const size = plan.size ?? rule.usualSize;
  const context = { atS: 0, dtS: 1, isOn: false, target, size, spec, boilerL: 0, random };
  return { plan, rule, context, memory: emptyMemory };
}

/**
 * Prepares the faults of a run.
 *
 * @param plans in the order in which they act on what passes
 * @param seed seed of the run; each fault draws from a stream of its own
 */
export function createFaults(plans: readonly FaultPlan[], spec: StillSpec, seed: number): Faults {
  const running = plans.map((plan) => prepare(plan, spec, seed, plans));
  return {
    begin(atS, dtS, boilerL) {
      for (const one of running) {
        const isOn = atS >= one.plan.fromS && atS < one.plan.untilS;
        one.context = { ...one.context, atS, dtS, isOn, boilerL };
      }
    },
    world: () => running.reduce((world, { rule, context }) => rule.world?.(world, context) ?? world, undisturbed()),
    drives: () =>
      running.reduce<DriveFaults>((faults, { rule, context }) => rule.drives?.(faults, context) ?? faults, {}),
    readings(batch) {
      let passing = batch;
      for (const one of running) {
        const result = one.rule.readings?.(passing, one.memory, one.context);
        if (result === undefined) continue;
        passing = result.batch;
        one.memory = result.memory;
      }
      return passing;
    },
    commands: (batch) =>
      running.reduce((passing, { rule, context }) => rule.commands?.(passing, context) ?? passing, batch),
    add(plan) {
      running.push(prepare(plan, spec, seed, [...running.map((one) => one.plan), plan]));
    },
    get active() {
      return running.filter((one) => one.context.isOn).map((one) => one.plan);
    },
  };
}
