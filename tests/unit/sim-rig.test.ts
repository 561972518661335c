import { describe, expect, it } from 'vitest';
import { checkRecipe, checkStill, compilePlant, createController, freshRun } from '../../lib';
import type { Command, Event, Order, Reading } from '../../lib/engine/types';
import { parseLog } from '../../lib/replay/log';
import { createRig, type RigController, runRig } from '../../simulators/rig';
import { recipeOf, type ScenarioName, scenarioNames, scenarios, specOf } from '../../simulators/scenarios';
import { good } from '../tools/plants';

/** The smallest engine there can be: heat on at the start, receivers changed by the vapour's temperature. */
function tinyController(): RigController & { readonly orders: Order[]; readonly put: (reading: Reading) => void } {
  const orders: Order[] = [];
  const last: Record<string, number | null> = {};
  let started = false;
  let open = '';
  let count = 0;
  return {
    orders,
    put: (reading) => {
      last[reading.point] = reading.value;
    },
    order: (order) => {
      orders.push(order);
      if (order.kind === 'start') started = true;
    },
    scan(now) {
      const commands: Command[] = [];
      const events: Event[] = [];
      const say = (drive: string, value: number): void => {
        count += 1;
        const reason = { code: 'tiny', numbers: {} };
        commands.push({ id: `t${count}`, drive, value, issuedAtS: now, ttlS: 10, repeat: false, safe: false, reason });
      };
      const vapourC = last['vapour-temp'] ?? 0;
      const want = vapourC < 82.2 ? 'heads-valve' : vapourC < 88.8 ? 'hearts-valve' : 'tails-valve';
      if (started && want !== open) {
        for (const valve of ['heads-valve', 'hearts-valve', 'tails-valve']) say(valve, valve === want ? 1 : 0);
        open = want;
      }
      if (started && now % 10 === 0) {
        say('heat', vapourC > 96 ? 0 : 1);
        say('main-contactor', 1);
      }
      return { commands, events };
    },
  };
}

function engineFor(name: ScenarioName) {
  const scenario = scenarios[name];
  const spec = specOf(scenario);
  const { volumeL, strengthAbv } = spec.charge;
  const plant = good(compilePlant(spec.still, recipeOf(scenario), scenario.variant, { volumeL, strengthAbv }));
  return { spec, controller: createController(plant, freshRun(0)) };
}

describe('rig', () => {
  it('carries a tiny hand-written controller through a run, in virtual time', () => {
    const controller = tinyController();
    const result = runRig({ spec: specOf(scenarios['pot-spirit']), controller, seed: 5, seconds: 4 * 3600 });
    expect(result.seconds).toBe(4 * 3600);
    expect(controller.orders[0]?.kind).toBe('start');
    const { 'heads-jar': heads, 'hearts-can': hearts, 'feints-can': feints } = result.fractions;
    expect(heads!.strengthAbv).toBeGreaterThan(0.78);
    expect(hearts!.volumeL).toBeGreaterThan(10);
    expect(feints!.strengthAbv).toBeLessThan(hearts!.strengthAbv);
    expect(Math.abs(result.balance.ethanolShare)).toBeLessThan(1e-9);
    expect(Math.abs(result.balance.energyShare)).toBeLessThan(1e-9);
  });

  it('gives a log that a replay can read, without gaps', () => {
    const result = runRig({
      spec: specOf(scenarios['pot-spirit']),
      controller: tinyController(),
      seed: 5,
      seconds: 900,
    });
    const log = good(parseLog(result.csv));
    expect(log.columns).toContain('vapourTempC');
    expect(log.columns).toContain('airPressureHPa');
    expect(log.columns).not.toContain('driveState');
    expect(log.rows.length).toBe(180);
    expect(log.spacingS).toBe(5);
  });

  it('is the same run twice for the same seed, and another for another', () => {
    const run = (seed: number) =>
      runRig({ spec: specOf(scenarios['pot-spirit']), controller: tinyController(), seed, seconds: 5400 }).csv;
    expect(run(3)).toBe(run(3));
    expect(run(4)).not.toBe(run(3));
  });

  it('lets the dead-man cut the heat when the engine is gone, and another engine take over', () => {
    const { spec, controller } = engineFor('pot-spirit');
    const rig = createRig({ spec, controller, seed: 1 });
    rig.run(600);
    expect(rig.site.state.powerW).toBe(5000);
    rig.replaceController(null);
    rig.run(31);
    expect(rig.site.state.powerW).toBe(0);
    rig.replaceController(engineFor('pot-spirit').controller);
    rig.order({ id: 'again', kind: 'start', by: 'operator', from: 'still' });
    rig.run(60);
    expect(rig.site.state.powerW).toBe(5000);
  });

  it('shows every scan to its watch, and stops when told', () => {
    const { spec, controller } = engineFor('pot-spirit');
    let scans = 0;
    const rig = createRig({ spec, controller, seed: 1, watch: () => scans++ });
    rig.run(7200, ({ site }) => site.state.head.flowMolPerS > 0);
    expect(scans).toBe(rig.site.state.atS);
    expect(rig.site.state.atS).toBeLessThan(7200);
  });

  it('a power dip stops everything, and nothing heats when the power is back but by command', () => {
    const { spec, controller } = engineFor('pot-spirit');
    const rig = createRig({ spec, controller, seed: 1, faults: [{ fault: 'power-dip', fromS: 300, untilS: 360 }] });
    rig.run(305);
    expect(rig.site.state.powerW).toBe(0);
    rig.replaceController(null);
    rig.run(600);
    expect(rig.site.state.powerW).toBe(0);
  });
});

describe('rig with the engine', () => {
  it.each(scenarioNames)(
    '%s: sound documents, a run from heat-up to cool-down, every receiver as it should be',
    (name) => {
      const scenario = scenarios[name];
      expect(checkStill(scenario.still)).toMatchObject({ kind: 'ok', warnings: [] });
      expect(checkRecipe(scenario.recipe)).toMatchObject({ kind: 'ok', warnings: [] });
      const { spec, controller } = engineFor(name);
      const rig = createRig({ spec, controller, seed: 7 });
      rig.run(14 * 3600, ({ events }) => events.some((event) => event.kind === 'phase' && event.to === 'cool-down'));
      const result = rig.result();
      const phases = result.cuts.map((cut) => cut.event.to);
      expect(phases).toEqual([...scenario.recipe.phases.map((one) => one.phase), 'finish', 'cool-down']);
      expect(result.events.filter((event) => event.kind === 'alarm' || event.kind === 'trip')).toEqual([]);
      for (const fraction of Object.values(result.fractions)) expect(fraction.spilledL).toBe(0);
      expect(result.truth.alcoholShare).toBeGreaterThan(0.85);
      expect(Math.abs(result.balance.ethanolShare)).toBeLessThan(1e-6);
    },
  );

  it('white and for-oak differ where they should: the oak variant goes deeper', () => {
    const hearts = (['white', 'for-oak'] as const).map((variant) => {
      const scenario = scenarios['pot-spirit'];
      const spec = specOf(scenario, { tracers: false });
      const { volumeL, strengthAbv } = spec.charge;
      const plant = good(compilePlant(spec.still, recipeOf(scenario), variant, { volumeL, strengthAbv }));
      const result = runRig({ spec, controller: createController(plant, freshRun(0)), seed: 7, seconds: 4 * 3600 });
      return result.fractions['hearts-can']!;
    });
    expect(hearts[1]!.volumeL).toBeGreaterThan(hearts[0]!.volumeL + 0.5);
    expect(hearts[1]!.strengthAbv).toBeLessThan(hearts[0]!.strengthAbv);
  });

  it('runs six hours of a pot within two seconds of processor time', () => {
    const { spec, controller } = engineFor('pot-spirit');
    const before = process.cpuUsage();
    runRig({ spec, controller, seed: 1, seconds: 6 * 3600 });
    const used = process.cpuUsage(before);
    // Two seconds on a machine to itself; twice that is allowed where others work beside.
    expect((used.user + used.system) / 1e6).toBeLessThan(4);
  });
});
