import { describe, expect, it } from 'vitest';
import { carryOver, createController, type Run, rebuilt } from '../../lib';
import { nextCut } from '../../lib/engine/next';
import { viewCharge } from '../../lib/forecast/show';
import { english, sayReason } from '../../lib/words';
import { truthOf } from '../../simulators/model';
import { rigOfScenario } from '../../simulators/run-scenario';
import { scenarios } from '../../simulators/scenarios';

/** The orchard still well into the hearts; each step of the run is kept that is asked for. */
function intoHearts(secondsOfHearts: number) {
  const { rig, controller } = rigOfScenario({ scenario: scenarios.demo, seed: 3, logEveryS: 0 });
  rig.run(4 * 3600, () => controller.run.phase === 'hearts');
  rig.run(secondsOfHearts);
  return { rig, controller };
}

const hearts = intoHearts(1500);
const { plant, run } = hearts.controller;

describe('forecast: the next cut', () => {
  it('is foretold with a range that widens by ratio, in words too', () => {
    const { time } = nextCut(plant, run)!;
    expect(time.inS!).toBeGreaterThan(120);
    expect(time.fromS!).toBeLessThan(time.inS!);
    expect(time.toS!).toBeGreaterThan(time.inS!);
    expect(time.toS! * time.fromS!).toBeCloseTo(time.inS! ** 2, -5);
    expect(sayReason(time.reason, english)).toMatch(/^in about \d+ min \(\d+–\d+\)$/);
  });

  it('comes when it was foretold, within four times the stated uncertainty', () => {
    const { time } = nextCut(plant, run)!;
    const { rig, controller } = intoHearts(1500);
    const fromS = controller.run.now;
    rig.run(7200, () => controller.run.phase !== 'hearts');
    expect(controller.run.phase).toBe('tails');
    expect(Math.abs(controller.run.now - fromS - time.inS!)).toBeLessThan(4 * time.sigmaS!);
  });

  it('runs down between two looks ahead, and is worked out at most every ten seconds', () => {
    const { rig, controller } = intoHearts(1500);
    const looks = new Set<number>();
    let jumpS = 0;
    let lastS: number | null = null;
    rig.run(300, () => {
      const { forecast } = controller.run.estimate;
      looks.add(forecast!.atS!);
      const { inS } = nextCut(plant, controller.run)!.time;
      if (lastS !== null) jumpS = Math.max(jumpS, Math.abs(inS! - lastS + 1));
      lastS = inS;
      return false;
    });
    expect(looks.size).toBeLessThanOrEqual(31);
    expect(jumpS).toBeLessThan(60);
  });

  it('says why where it cannot be told', () => {
    const codeOf = (changed: Run) => nextCut(plant, changed)?.time.reason.code;
    expect(codeOf({ ...run, cut: { ...run.cut, asked: true } })).toBe('forecast.asked');
    expect(codeOf({ ...run, cut: { ...run.cut, suspended: true } })).toBe('forecast.probe');
    expect(codeOf({ ...run, step: run.step - 1 })).toBe('forecast.front');
    const held = createController(plant, { ...run, state: 'held' });
    held.scan(run.now + 11);
    expect(codeOf(held.run)).toBe('forecast.not-running');
    const noCharge = createController(
      { ...plant, charge: null },
      { ...run, estimate: { ...run.estimate, forecast: { ...run.estimate.forecast!, charge: null } } },
    );
    noCharge.scan(run.now + 11);
    expect(nextCut(noCharge.plant, noCharge.run)?.time.reason.code).toBe('forecast.no-charge');
  });
});

describe('forecast: the charge', () => {
  it('comes within twice its uncertainty of the share and the strength there really are', () => {
    const truth = truthOf(hearts.rig.site.state);
    const view = viewCharge(plant, run)!;
    expect(Math.abs(view.sharePercent - 100 * truth.alcoholShare)).toBeLessThan(2 * view.withinPercent + 2);
    expect(Math.abs(view.leftVolPercent - 100 * truth.boilerStrengthAbv)).toBeLessThan(1.5);
  });

  it('is not told before it boils', () => {
    const { rig, controller } = rigOfScenario({ scenario: scenarios.demo, seed: 3, logEveryS: 0 });
    rig.run(600);
    expect(viewCharge(controller.plant, controller.run)).toBe(null);
    expect(nextCut(controller.plant, controller.run)?.time.reason.code).toMatch(/^forecast\.in-/);
  });
});

describe('forecast: what is remembered', () => {
  it('is plain, and as small after an hour as after a minute', () => {
    const { forecast } = run.estimate;
    expect(JSON.parse(JSON.stringify(forecast))).toEqual(forecast);
    expect(JSON.stringify(forecast).length).toBeLessThan(600);
  });

  it('is begun anew in a run of a record that does not have it, and by a new run', () => {
    const { forecast: _, ...older } = run.estimate;
    const restored = createController(plant, JSON.parse(JSON.stringify({ ...run, estimate: older })) as Run);
    restored.scan(run.now + 1);
    expect(restored.run.estimate.forecast?.charge?.alcoholL).toBeGreaterThan(0);
    expect(nextCut(plant, restored.run)?.time.inS).not.toBe(null);
    expect(carryOver(plant, run).estimate.forecast?.charge).toBe(null);
  });

  it('keeps the charge over a restart, and looks ahead anew', () => {
    const { forecast } = rebuilt(plant, run).estimate;
    expect(forecast?.charge).toEqual(run.estimate.forecast?.charge);
    expect(forecast?.next.kind).toBe('unknown');
  });
});
