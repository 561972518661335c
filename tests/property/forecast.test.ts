import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createController } from '../../lib';
import { nextCut } from '../../lib/engine/next';
import type { ReadingFault } from '../../lib/engine/types';
import { viewCharge } from '../../lib/forecast/show';
import { driveRun } from '../tools/drive-run';
import { plantOf, potDocument, potRecipe } from '../tools/plants';

/** A pot with everything the estimator looks at, its heads ended by any of several tests. */
const still = {
  ...potDocument,
  points: {
    ...potDocument.points,
    meter: { kind: 'collected-volume' as const },
    parrot: { kind: 'parrot-strength' as const },
  },
};
const anyEnd = {
  anyOf: [
    { test: 'vapour-temp' as const, atLeastC: 80.5 },
    { test: 'boiler-temp' as const, atLeastC: 99 },
    { test: 'strength' as const, by: 'parrot' as const, atMostVolPercent: 70 },
    { test: 'alcohol-share' as const, atLeastPercent: 30 },
  ],
};
const phases = potRecipe.phases.map((step) => (step.phase === 'heads' ? { ...step, endsWhen: anyEnd } : step));
const plant = plantOf({ ...potRecipe, phases }, still);

const wild = fc.oneof(
  fc.double({ noNaN: false }),
  fc.constantFrom(-127, 0, 1e9, -1e-9, 85, Number.NaN),
  fc.double({ min: 70, max: 105 }),
);
const reading = fc.record({
  point: fc.constantFrom(...Object.keys(plant.still.points)),
  value: fc.oneof(
    { weight: 4, arbitrary: fc.double({ min: 60, max: 105, noNaN: true }) },
    { weight: 1, arbitrary: wild },
  ),
  fault: fc.constantFrom<ReadingFault | undefined>(undefined, undefined, undefined, 'missing'),
});

/** A still that distils quietly. */
const steady = (now: number) => ({
  vapour: 79,
  boiler: 91,
  air: 980,
  meter: Math.max(0, now - 240) * 0.001,
  parrot: 0.78,
});

const inHeads = (() => {
  const run = driveRun(plant);
  run.order('start');
  run.feed(120, { ...steady(0), vapour: 40, boiler: 80 });
  run.feed(60, (now) => ({ ...steady(0), vapour: 40 + (now - 120) * 0.65, boiler: 90 }));
  run.feed(300, steady);
  return run.controller.run;
})();

describe('forecast: whatever the probes say', () => {
  it('throws nothing, and tells finite figures or why there are none', () => {
    const met = { told: 0, untold: 0, charges: 0 };
    fc.assert(
      fc.property(fc.array(fc.array(reading, { maxLength: 5 }), { minLength: 5, maxLength: 60 }), (batches) => {
        const controller = createController(plant, inHeads);
        let { now } = inHeads;
        for (const batch of batches) {
          now += 7;
          for (const [point, value] of Object.entries(steady(now))) controller.put({ point, value, atS: now });
          for (const { point, value, fault } of batch)
            controller.put({ point, value, atS: now, ...(fault === undefined ? {} : { fault }) });
          controller.scan(now);
          const { forecast } = controller.run.estimate;
          expect(JSON.parse(JSON.stringify(forecast))).toEqual(forecast);
          const time = nextCut(plant, controller.run)?.time;
          if (time === undefined) continue;
          met[time.inS === null ? 'untold' : 'told'] += 1;
          if (time.inS === null) expect(time.reason.code).toMatch(/^forecast\.(?!in-)/);
          else
            expect(time.inS >= 0 && Number.isFinite(time.inS) && time.fromS! <= time.inS && time.toS! >= time.inS).toBe(
              true,
            );
          const view = viewCharge(plant, controller.run);
          met.charges += view === null ? 0 : 1;
          if (view !== null) for (const figure of Object.values(view)) expect(Number.isFinite(figure)).toBe(true);
        }
      }),
      { numRuns: 60 },
    );
    expect(Math.min(met.told, met.untold, met.charges)).toBeGreaterThan(50);
  });
});
