import { describe, expect, it } from 'vitest';
import type { RecipeDocument } from '../../lib';
import { driveRun, phasesOf, type Values } from '../tools/drive-run';
import { plantOf, potDocument, potRecipe } from '../tools/plants';

const air = 1013.25;

/** A pot recipe whose heads end by the given condition. */
function headsEnd(change: object): RecipeDocument {
  return {
    ...potRecipe,
    phases: potRecipe.phases.map((step) =>
      step.phase === 'heads' ? { ...step, ...change } : step,
    ) as RecipeDocument['phases'],
  };
}

/** A run that has just entered heads, with the vapour at 79 °C. */
function inHeads(recipe: RecipeDocument = potRecipe, still = potDocument, airHPa = air, more: Values = {}) {
  const run = driveRun(plantOf(recipe, still));
  run.order('start');
  run.feed(120, { vapour: 40, boiler: 80, air: airHPa, ...more });
  run.feed(60, (now) => ({ vapour: 40 + (now - 120) * 0.65, boiler: 90, air: airHPa, ...more }));
  run.feed(60, { vapour: 79, boiler: 91, air: airHPa, ...more });
  expect(run.controller.run.phase).toBe('heads');
  return run;
}

describe('cut: heads to hearts', () => {
  it('waits for the hold before cutting', () => {
    const run = inHeads();
    run.feed(100, (now) => ({ vapour: 79 + (now - 240) * 0.034, boiler: 91, air }));
    const phaseAtOnce = run.controller.run.phase;
    const since = run.controller.run.cut.metSinceS;
    expect(phaseAtOnce).toBe('heads');
    expect(since).not.toBeNull();
    const events = run.feed(31, { vapour: 82.4, boiler: 91, air });
    const cut = events.find((event) => event.kind === 'phase');
    expect(cut?.atS).toBe(since! + 30);
  });

  it('keeps the hold clock through noise within the deadband, and restarts it beyond', () => {
    const run = inHeads();
    run.feed(70, (now) => ({ vapour: Math.min(82.15, 79 + (now - 240) * 0.05), boiler: 91, air }));
    const since = run.controller.run.cut.metSinceS;
    expect(since).not.toBeNull();
    run.feed(5, { vapour: 81.95, boiler: 91, air });
    expect(run.controller.run.cut.metSinceS).toBe(since);
    run.feed(23, (now) => ({ vapour: 81.9 - (now - 315) * 0.1, boiler: 91, air }));
    expect(run.controller.run.phase === 'heads' ? run.controller.run.cut.metSinceS : 'cut').toBeNull();
  });

  it('moves the threshold with the air pressure of the moment', () => {
    const low = inHeads(potRecipe, potDocument, 955);
    low.feed(900, (now) => ({ vapour: 79 + Math.min(1.9, (now - 240) * 0.003), boiler: 91, air: 955 }));
    const cut = low.events.find((event) => event.kind === 'phase' && event.to === 'hearts');
    expect(cut?.kind === 'phase' && cut.figures.thresholdHereC).toBeCloseTo(80.4, 0);
    expect(cut?.kind === 'phase' && cut.figures.thresholdAtReferenceC).toBe(82);
  });

  it('asks, and never cuts, when the threshold is already met on entry', () => {
    const run = driveRun(plantOf());
    run.order('start');
    run.feed(60, { vapour: 40, boiler: 80, air });
    run.feed(30, (now) => ({ vapour: 40 + (now - 60) * 1.5, boiler: 93, air }));
    const events = run.feed(600, { vapour: 85.5, boiler: 93, air });
    const asked = events.filter((event) => event.kind === 'cut-asked');
    expect(asked).toHaveLength(1);
    expect(asked[0]?.reason.code).toBe('ask.met-on-entry');
    expect(run.controller.run.phase).toBe('heads');
    run.order('cut');
    run.feed(2, { vapour: 85.5, boiler: 93, air });
    expect(run.controller.run.phase).toBe('hearts');
  });

  it('asks once, and not again after it was declined, until the condition was unmet once more', () => {
    const run = inHeads(headsEnd({ cut: 'ask' }));
    run.feed(200, (now) => ({ vapour: Math.min(83, 79 + (now - 240) * 0.05), boiler: 91, air }));
    run.order('decline-cut');
    run.feed(300, { vapour: 83, boiler: 91, air });
    expect(run.events.filter((event) => event.kind === 'cut-asked')).toHaveLength(1);
    run.feed(300, { vapour: 80, boiler: 91, air });
    run.feed(300, (now) => ({ vapour: Math.min(83, 80 + (now - 1040) * 0.05), boiler: 91, air }));
    expect(run.events.filter((event) => event.kind === 'cut-asked')).toHaveLength(2);
  });

  it('respects a not-before guard, whatever the temperature says', () => {
    const run = inHeads(headsEnd({ notBefore: { timeS: 600 } }));
    run.feed(400, (now) => ({ vapour: Math.min(83, 79 + (now - 240) * 0.05), boiler: 91, air }));
    expect(run.controller.run.phase).toBe('heads');
    run.feed(200, { vapour: 83, boiler: 91, air });
    expect(run.controller.run.phase).toBe('hearts');
  });

  it('ends on any of several tests, and only on all of those joined', () => {
    const any = inHeads(
      headsEnd({
        endsWhen: {
          anyOf: [
            { test: 'vapour-temp', atLeastC: 88 },
            { test: 'time', atLeastS: 300 },
          ],
        },
      }),
    );
    any.feed(320, { vapour: 79, boiler: 91, air });
    expect(any.controller.run.phase).toBe('hearts');
    const all = inHeads(
      headsEnd({
        endsWhen: {
          allOf: [
            { test: 'vapour-temp', atLeastC: 88 },
            { test: 'time', atLeastS: 300 },
          ],
        },
      }),
    );
    all.feed(600, { vapour: 79, boiler: 91, air });
    expect(all.controller.run.phase).toBe('heads');
  });

  it('is suspended at once when the probe is lost, and the run is held after the grace time', () => {
    const run = inHeads();
    run.feed(100, (now) => ({ vapour: 79 + (now - 240) * 0.02, boiler: 91, air }));
    run.feed(16, { boiler: 91, air });
    expect(run.events.some((event) => event.kind === 'cut-suspended')).toBe(true);
    expect(run.controller.run.state).toBe('running');
    run.feed(61, { boiler: 91, air });
    expect(run.controller.run.state).toBe('held');
    expect(run.drive('element')).toBe(0);
    expect(run.drive('coolant')).toBe(1);
    run.feed(600, { vapour: 95, boiler: 91, air });
    expect(phasesOf(run.events)).not.toContain('heads > hearts');
    expect(run.drive('element')).toBe(0);
  });

  it('is not made by a spike, however high', () => {
    const run = inHeads();
    run.feed(600, (now) => ({ vapour: now % 20 === 0 ? 95 : 79, boiler: 91, air }));
    expect(run.controller.run.phase).toBe('heads');
  });

  it('can be undone within the stated time, and is then only asked', () => {
    const run = inHeads();
    run.feed(200, (now) => ({ vapour: Math.min(83, 79 + (now - 240) * 0.05), boiler: 91, air }));
    expect(run.controller.run.phase).toBe('hearts');
    run.order('undo-cut');
    run.feed(1, { vapour: 83, boiler: 91, air });
    expect(run.controller.run.phase).toBe('heads');
    expect(run.events.some((event) => event.kind === 'cut-undone')).toBe(true);
    run.feed(600, { vapour: 83, boiler: 91, air });
    expect(run.controller.run.phase).toBe('heads');
    expect(run.events.some((event) => event.kind === 'cut-asked')).toBe(true);
  });

  it('cannot be undone later', () => {
    const run = inHeads();
    run.feed(300, (now) => ({ vapour: Math.min(83, 79 + (now - 240) * 0.05), boiler: 91, air }));
    run.feed(200, { vapour: 83, boiler: 91, air });
    run.order('undo-cut');
    run.feed(1, { vapour: 83, boiler: 91, air });
    const answer = run.events.findLast((event) => event.kind === 'order');
    expect(answer?.kind === 'order' && answer.accepted).toBe(false);
    expect(answer?.reason.code).toBe('refused.undo-too-late');
  });
});

describe('cut: by other tests', () => {
  it('ends by strength from the vapour temperature, moved with the pressure', () => {
    const run = inHeads(headsEnd({ endsWhen: { test: 'strength', atMostVolPercent: 75 } }));
    const events = run.feed(1800, (now) => ({ vapour: 79 + (now - 240) * 0.005, boiler: 91, air: 960 }));
    const cut = events.find((event) => event.kind === 'phase');
    const because = cut?.reason.because?.[0];
    expect(because?.code).toBe('test.strength-vapour');
    expect(because?.numbers.strengthVolPercent).toBeLessThan(75);
    expect(because?.numbers.strengthVolPercent).toBeGreaterThan(74);
  });

  it('ends by the parrot, its reading brought to 20 °C', () => {
    const points = {
      ...potDocument.points,
      parrot: { kind: 'parrot-strength' as const },
      'parrot-temp': { kind: 'parrot-temp' as const },
    };
    const run = inHeads(
      headsEnd({ endsWhen: { test: 'strength', atMostVolPercent: 60, by: 'parrot' } }),
      { ...potDocument, points },
      air,
      { parrot: 0.68, 'parrot-temp': 30 },
    );
    const events = run.feed(1800, (now) => ({
      vapour: 80,
      boiler: 91,
      air,
      parrot: 0.68 - (now - 240) * 0.0001,
      'parrot-temp': 30,
    }));
    const cut = events.find((event) => event.kind === 'phase');
    // OIML R 22: 63.5 % vol read at 30 °C is close to 60 % vol at 20 °C.
    const readPercent = 68 - (cut!.atS - 30 - 240) * 0.01;
    expect(readPercent).toBeGreaterThan(63.2);
    expect(readPercent).toBeLessThan(63.9);
  });

  it('ends by a metered volume in the phase', () => {
    const still = { ...potDocument, points: { ...potDocument.points, meter: { kind: 'collected-volume' as const } } };
    const run = inHeads(headsEnd({ endsWhen: { test: 'volume', atLeastL: 0.5 }, holdS: 0 }), still);
    const events = run.feed(700, (now) => ({ vapour: 80, boiler: 91, air, meter: 3 + (now - 240) * 0.001 }));
    const cut = events.find((event) => event.kind === 'phase');
    expect(cut?.atS).toBeGreaterThan(735);
    expect(cut?.atS).toBeLessThan(745);
  });

  it("ends by the share of the charge's alcohol that has come over", () => {
    const still = { ...potDocument, points: { ...potDocument.points, meter: { kind: 'collected-volume' as const } } };
    const run = inHeads(headsEnd({ endsWhen: { test: 'alcohol-share', atLeastPercent: 5 }, holdS: 0 }), still);
    const events = run.feed(1500, (now) => ({ vapour: 80, boiler: 91, air, meter: (now - 240) * 0.001 }));
    const cut = events.find((event) => event.kind === 'phase');
    const numbers = cut?.reason.because?.[0]?.numbers;
    // 5 % of 50 L at 30 % vol is 0.75 L of pure alcohol; vapour at 80 °C and 1013 hPa gives about 89 % vol.
    expect(numbers?.alcoholL).toBeGreaterThan(0.74);
    expect(numbers?.alcoholL).toBeLessThan(0.76);
  });

  it('ends by the boiler temperature, moved on the bubble line', () => {
    const run = inHeads(headsEnd({ endsWhen: { test: 'boiler-temp', atLeastC: 93 } }));
    const events = run.feed(2400, (now) => ({ vapour: 80, boiler: 90 + (now - 240) * 0.001, air: 960 }));
    const cut = events.find((event) => event.kind === 'phase');
    expect(cut?.kind === 'phase' && cut.figures.thresholdHereC).toBeCloseTo(91.6, 0);
  });

  it('ends an equalising column once the vapour has settled, and not before the minimum time', () => {
    const run = driveRun(
      plantOf(
        {
          recipe: 1,
          name: 'Column',
          kind: 'spirit',
          stillKind: 'column',
          phases: [
            { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 }, holdS: 10 },
            {
              phase: 'equalise',
              endsWhen: { test: 'settled', withinK: 0.05, overS: 600, atLeastS: 900 },
              takeOffShare: 0,
            },
            { phase: 'heads', endsWhen: { test: 'order' }, takeOffShare: 0.1 },
            { phase: 'hearts', endsWhen: { test: 'vapour-rise', byK: 0.4 }, takeOffShare: 0.4 },
            { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 97 } },
          ],
        },
        { ...potDocument, kind: 'column', drives: { ...potDocument.drives, 'take-off': { kind: 'take-off' } } },
      ),
    );
    run.order('start');
    run.feed(60, { vapour: 30, boiler: 80, air });
    run.feed(60, (now) => ({ vapour: 30 + (now - 60) * 0.82, boiler: 90, air }));
    const events = run.feed(2400, (now) => ({ vapour: 78.4 + 0.8 * Math.exp(-(now - 120) / 200), boiler: 91, air }));
    const settled = events.find((event) => event.kind === 'phase' && event.to === 'heads');
    expect(settled?.atS).toBeGreaterThan(1000);
    run.order('cut');
    run.feed(900, { vapour: 78.4, boiler: 92, air });
    expect(run.controller.run.phase).toBe('hearts');
    expect(run.controller.run.estimate.plateauPhase).toBe('hearts');
    const tails = run.feed(1200, (now) => ({ vapour: 78.4 + Math.max(0, now - 3500) * 0.002, boiler: 92, air }));
    const rise = tails.find((event) => event.kind === 'phase' && event.to === 'tails');
    expect(rise?.reason.because?.[0]?.numbers.riseK).toBeGreaterThan(0.4);
  });
});

describe('cut: where it was tasted', () => {
  const metered = { ...potDocument, points: { ...potDocument.points, meter: { kind: 'collected-volume' as const } } };
  /** Heads by share, as plausible between two vapour temperatures; 5 % of 50 L at 30 % vol is 0.75 L of alcohol. */
  const byShare = (fromC: number, toC: number) =>
    headsEnd({
      endsWhen: { test: 'alcohol-share', atLeastPercent: 5 },
      holdS: 20,
      plausible: { vapour: { fromC, toC } },
    });
  const flowing = (vapour: number) => (now: number) => ({ vapour, boiler: 91, air, meter: (now - 240) * 0.001 });

  it('is made where the other axis agrees', () => {
    const run = inHeads(byShare(79.5, 80.5), metered);
    run.feed(1500, flowing(80));
    expect(phasesOf(run.events)).toContain('heads > hearts');
    expect(run.events.some((event) => event.kind === 'cut-asked')).toBe(false);
  });

  it('is asked where the vapour is colder than where it was tasted', () => {
    const run = inHeads(byShare(81, 82), metered);
    run.feed(1500, flowing(80));
    const asked = run.events.find((event) => event.kind === 'cut-asked');
    expect(asked?.reason.code).toBe('ask.disagrees');
    expect(asked?.reason.because?.[0]?.code).toBe('plausible.vapour');
    expect(run.controller.run.phase).toBe('heads');
  });

  it('is not asked while the vapour still leaps, nor for the overshoot of a line that leapt', () => {
    const run = inHeads(byShare(78, 79.4), metered);
    const leap = (now: number) => ({ ...flowing(79 + 3 * Math.exp(-(now - 240) / 60))(now) });
    run.feed(400, leap);
    expect(run.events.some((event) => event.kind === 'cut-asked')).toBe(false);
  });

  it('is asked early where the vapour is hotter before the share is reached, once', () => {
    const run = inHeads(byShare(78.5, 79.5), metered);
    run.feed(600, flowing(80));
    const asked = run.events.filter((event) => event.kind === 'cut-asked');
    expect(asked.map((event) => event.reason.code)).toEqual(['ask.overdue']);
    run.order('decline-cut');
    run.feed(200, flowing(80));
    expect(run.events.filter((event) => event.kind === 'cut-asked')).toHaveLength(1);
    run.order('cut');
    run.feed(1, flowing(80));
    expect(run.controller.run.phase).toBe('hearts');
  });

  it('moves the window with the air pressure', () => {
    // 80 °C at 960 hPa is the vapour of 81.5 °C at 1013.25 hPa: within the window only when moved.
    const run = inHeads(byShare(81.2, 81.8), metered, 960);
    run.feed(1500, (now) => ({ vapour: 80, boiler: 91, air: 960, meter: (now - 240) * 0.001 }));
    expect(phasesOf(run.events)).toContain('heads > hearts');
    expect(run.events.some((event) => event.kind === 'cut-asked')).toBe(false);
  });
});

describe('surge guard in hearts', () => {
  const guarded: RecipeDocument = { ...potRecipe, surgeGuard: { purgeL: 0.05, heatShare: 0.5, pukeK: 4 } };
  const still = { ...potDocument, points: { ...potDocument.points, meter: { kind: 'collected-volume' as const } } };

  function inHearts() {
    const run = inHeads(guarded, still);
    run.feed(600, (now) => ({ vapour: Math.min(86, 79 + (now - 240) * 0.02), boiler: 91, air, meter: now * 0.001 }));
    expect(run.controller.run.phase).toBe('hearts');
    expect(run.controller.run.receiver).toBe('hearts');
    return run;
  }

  it('diverts a surge to tails at once with less heat, and returns after the purge', () => {
    const run = inHearts();
    run.feed(20, (now) => ({ vapour: 86 + (now - 840) * 0.35, boiler: 91, air, meter: now * 0.001 }));
    run.feed(8, { vapour: 93, boiler: 91, air });
    expect(run.controller.run.phase).toBe('hearts');
    expect(run.controller.run.spout.fraction).toBe('tails');
    expect(run.drive('element')).toBe(0.5);
    run.feed(300, (now) => ({ vapour: Math.max(86, 93 - (now - 868) * 0.3), boiler: 91, air, meter: now * 0.001 }));
    expect(run.controller.run.phase).toBe('hearts');
    expect(run.controller.run.spout.fraction).toBe('hearts');
    expect(run.controller.run.receiver).toBe('hearts');
    expect(run.drive('element')).toBe(1);
  });

  it('takes a surge that lasts the tails hold for the tails cut', () => {
    const run = inHearts();
    run.feed(20, (now) => ({ vapour: 86 + (now - 840) * 0.35, boiler: 91, air, meter: now * 0.001 }));
    run.feed(60, (now) => ({ vapour: 93.2, boiler: 91, air, meter: now * 0.001 }));
    expect(run.controller.run.phase).toBe('tails');
    expect(run.controller.run.receiver).toBe('tails');
  });

  it('diverts liquid carried over at once and asks', () => {
    const run = inHearts();
    run.feed(4, (now) => ({ vapour: 90.8, boiler: 91, air, meter: now * 0.001 }));
    expect(run.controller.run.spout.fraction).toBe('tails');
    expect(run.events.some((event) => event.kind === 'surge' && event.state === 'asked')).toBe(true);
  });

  it('does not take a leap to far above the boiler for liquid carried over: that probe lies', () => {
    const run = inHearts();
    run.feed(20, (now) => ({ vapour: 95.5, boiler: 91, air, meter: now * 0.001 }));
    const surges = run.events.flatMap((event) => (event.kind === 'surge' ? [event.reason.code] : []));
    expect(surges).toEqual(['surge.surge']);
  });
});

describe('spout behind the probe', () => {
  it('switches the receiver only after the hold-up volume has passed', () => {
    const still = {
      ...potDocument,
      spout: { holdUpL: 0.2 },
      points: { ...potDocument.points, meter: { kind: 'collected-volume' as const } },
    };
    const run = inHeads(potRecipe, still);
    run.feed(600, (now) => ({ vapour: Math.min(83, 79 + (now - 240) * 0.02), boiler: 91, air, meter: now * 0.001 }));
    const cut = run.events.find((event) => event.kind === 'phase' && event.to === 'hearts');
    const switched = run.events.find((event) => event.kind === 'receiver' && event.to === 'hearts');
    expect(switched!.atS - cut!.atS).toBeGreaterThanOrEqual(200);
    expect(switched!.atS - cut!.atS).toBeLessThan(220);
  });
});
