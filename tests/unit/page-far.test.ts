import { describe, expect, it } from 'vitest';
import { nextView } from '../../daemon/page/far';
import type { CutTest } from '../../lib';
import { english } from '../../lib/words';
import { driveRun } from '../tools/drive-run';
import { plantOf, potDocument, potRecipe } from '../tools/plants';

const still = {
  ...potDocument,
  points: {
    ...potDocument.points,
    parrot: { kind: 'parrot-strength' as const },
    meter: { kind: 'collected-volume' as const },
  },
};

/** A run in heads, whose end is the test that is given. */
function headsEndingBy(endsWhen: CutTest) {
  const phases = potRecipe.phases.map((step) => (step.phase === 'heads' ? { ...step, endsWhen } : step));
  const run = driveRun(plantOf({ ...potRecipe, phases }, still));
  const values = { vapour: 80, boiler: 88, air: 1000, parrot: 0.78, meter: 0 };
  run.feed(40, { ...values, vapour: 25 });
  run.order('start');
  run.feed(30, { ...values, vapour: 25 });
  run.feed(240, (timeS) => ({ ...values, vapour: 80 + (timeS % 2) * 0.01, meter: timeS / 1000 }));
  return nextView(run.controller.plant, run.controller.run, english);
}

describe('page: how far the next cut is', () => {
  const tests: [CutTest, string][] = [
    [{ test: 'vapour-temp', atLeastC: 84, deadbandK: 0.2 }, 'C'],
    [{ test: 'boiler-temp', atLeastC: 95, deadbandK: 0.2 }, 'C'],
    [{ test: 'strength', atMostVolPercent: 60, by: 'parrot', deadbandVolPercent: 0.5 }, '% vol'],
    [{ test: 'strength', atMostVolPercent: 60, by: 'vapour-temp', deadbandVolPercent: 0.5 }, '% vol'],
    [{ test: 'volume', atLeastL: 2, since: 'run' }, 'L'],
    [{ test: 'alcohol-share', atLeastPercent: 50 }, '%'],
    [{ test: 'time', atLeastS: 1200 }, 's'],
  ];

  it.each(tests)('%o is told in its own unit', (test, unit) => {
    const next = headsEndingBy(test);
    expect(next?.to).toBe('hearts');
    expect(next?.tests.map((far) => far.unit)).toEqual([unit]);
    const [far] = next?.tests ?? [];
    expect(far?.toGo).toBeGreaterThan(0);
    expect(far?.text.length).toBeGreaterThan(5);
    expect(Math.abs((far?.want ?? 0) - (far?.have ?? 0))).toBeCloseTo(far?.toGo ?? 0, 6);
  });

  it('a test that is met has nothing to go', () => {
    const next = headsEndingBy({ test: 'vapour-temp', atLeastC: 75, deadbandK: 0.2 });
    expect(next?.tests[0]?.toGo).toBe(0);
  });

  it('a cut by order is nothing one could measure', () => {
    expect(headsEndingBy({ test: 'order' })).toMatchObject({ to: 'hearts', tests: [] });
  });

  it('time goes by at its own pace, and what stands still never comes', () => {
    const [time] = headsEndingBy({ test: 'time', atLeastS: 1200 })?.tests ?? [];
    expect(time?.etaS).toBeCloseTo(time?.toGo ?? 0, 6);
    const [boiler] = headsEndingBy({ test: 'boiler-temp', atLeastC: 95, deadbandK: 0.2 })?.tests ?? [];
    expect(boiler?.etaS).toBe(null);
  });
});
