import { describe, expect, it } from 'vitest';
import { followedBy } from '../../daemon/host/follow';
import { engine } from '../../daemon/host/restore';
import { createStillHost, plantFor } from '../../daemon/host/still-host';
import { type Journal, openJournal, replayRun, valueOrThrow } from '../../daemon/store';
import { createController, freshRun, type Plant } from '../../lib';
import { createRandom, nextBetween, nextGaussian, type StillOptions } from '../../simulators/model';
import { createRig, type RigController } from '../../simulators/rig';
import { recipeOf, scenarios, specOf } from '../../simulators/scenarios';
import { good } from '../tools/plants';

const scenario = scenarios.demo;
const written = { volumeL: 30, strengthAbv: 0.29 };
const start = { order: 'start', chargeL: 30, chargeVolPercent: 29, variant: 'white' } as const;
/** Quicker than life: minor compounds left out, and a scan every four seconds of a charge that was filled in hot. */
const quick = { dtS: 4, logEveryS: 0 } as const;

interface Otherwise {
  readonly seed: number;
  readonly heatFactor?: number;
  readonly chargeVolPercent?: number;
  readonly probeK?: number;
  readonly weatherHPa?: number;
}

/** The demo's still with something otherwise than written down. */
function specWith({ heatFactor = 1, chargeVolPercent = 0, probeK = 0, weatherHPa = -4 }: Otherwise) {
  const options: StillOptions = {
    charge: { ...written, strengthAbv: written.strengthAbv + chargeVolPercent / 100, tempC: 75 },
    heat: { heat: { ratedW: 5000 * heatFactor } },
    probes: { 'vapour-temp': { offset: probeK } },
    site: { weather: { offsetHPa: weatherHPa, wanderHPaPerRootH: 0.6, front: null } },
    tracers: false,
  };
  return specOf(scenario, options);
}

function hostWith(journal: Journal) {
  let monotonicMs = 0;
  let days = 0;
  const host = createStillHost({
    still: specWith({ seed: 0 }).still,
    recipes: [recipeOf(scenario)],
    speed: 1,
    journal,
    wallClockMs: () => Date.UTC(2026, 9, 1 + days),
    monotonicMs: () => monotonicMs,
    resumed: null,
  });
  /** Runs a still under the host until it cools, as the rig runs one under the engine alone. */
  function distil(otherwise: Otherwise): string {
    const beganMs = monotonicMs;
    let runId = '';
    const under: RigController = {
      put: ({ point, value, fault, atS }) => host.put(point, value, fault, beganMs + atS * 1000),
      order: (order) =>
        expect(
          host.order(order.kind === 'start' ? start : ({ order: order.kind } as never), 'still', order.id),
        ).toEqual([]),
      scan(now) {
        monotonicMs = beganMs + now * 1000;
        const turn = host.turn();
        host.settle();
        runId = host.runId ?? runId;
        return turn;
      },
    };
    const rig = createRig({ ...quick, spec: specWith(otherwise), controller: under, seed: otherwise.seed });
    rig.run(6 * 3600, ({ events }) => events.some((event) => event.kind === 'phase' && event.to === 'cool-down'));
    expect(host.conclude()).toBe(true);
    days += 1;
    return runId;
  }
  return { host, distil };
}

const journal = valueOrThrow(openJournal(':memory:'));
const { host, distil } = hostWith(journal);
const first = distil({ seed: 1 });
const plant: Plant = good(plantFor(host.still, host.recipes, start));
const followed = followedBy(journal, plant);

/** Times at which a run that follows the first says that it is off it [% come over]. */
function offIn(otherwise: Otherwise): readonly number[] {
  const controller = createController({ ...plant, profile: followed!.profile }, freshRun(0));
  const shares: number[] = [];
  const rig = createRig({ ...quick, spec: specWith(otherwise), controller, seed: otherwise.seed });
  rig.run(6 * 3600, ({ events }) => {
    for (const event of events) {
      if (event.kind === 'alarm' && event.alarm === 'off-profile' && event.transition === 'raised') {
        shares.push(Number(event.reason.numbers.sharePercent));
      }
    }
    return controller.run.phase === 'cool-down';
  });
  return shares;
}

describe('the run that is followed', () => {
  it('is the last one of the recipe that came to its end; its course is kept when it ends', () => {
    expect(followed?.runId).toBe(first);
    const { profile } = followed!;
    expect(profile.length).toBeGreaterThan(60);
    expect(profile.length).toBeLessThan(101);
    expect(profile[0]!.sharePercent).toBeLessThan(3);
    expect(profile.at(-1)!.sharePercent).toBeGreaterThan(85);
  });

  it('is one with a charge like this, and none where there is none', () => {
    expect(followedBy(journal, { ...plant, charge: { ...written, strengthAbv: 0.25 } })).toBe(null);
    expect(followedBy(journal, { ...plant, charge: null })).toBe(null);
    expect(followedBy(journal, { ...plant, recipe: { ...plant.recipe!, name: 'another' } })).toBe(null);
    expect(followedBy(valueOrThrow(openJournal(':memory:')), plant)).toBe(null);
  });

  it('is the run the recipe came from, where the record has it', () => {
    const recipe = { ...plant.recipe!, name: 'another', developedFrom: { run: first } };
    expect(followedBy(journal, { ...plant, recipe })?.runId).toBe(first);
  });

  it('stands in the record of the run that follows it, which replays to the same', () => {
    const second = distil({ seed: 2, probeK: 1.5 });
    const { plant: kept, about } = valueOrThrow(journal.run(second));
    expect(kept.profile).toEqual(followed!.profile);
    expect(about.follows).toBe(first);
    journal.flush();
    expect(valueOrThrow(replayRun(journal, second, engine))).toMatchObject({ kind: 'same' });
  });
});

describe('a run that is off the one it follows', () => {
  const ordinary = Array.from({ length: 30 }, (_, index): Otherwise => {
    const random = createRandom(index, 'ordinary');
    return {
      seed: 100 + index,
      heatFactor: nextBetween(random, 0.9, 1.1),
      chargeVolPercent: 0.4 * nextGaussian(random),
      probeK: 0.15 * nextGaussian(random),
      weatherHPa: nextBetween(random, -30, 30),
    };
  });

  it('is not said of thirty ordinary runs: heat ± 10 %, charge and probe off by 0.4 % vol and 0.15 K (standard deviations), any weather', () => {
    for (const one of ordinary) expect(offIn(one), JSON.stringify(one)).toEqual([]);
  });

  it('is not said of 15 % more heat or less, which moves the vapour by less than 0.6 K', () => {
    expect(offIn({ seed: 31, heatFactor: 1.15 })).toEqual([]);
    expect(offIn({ seed: 32, heatFactor: 0.85 })).toEqual([]);
  });

  it('is said of a charge 6 % vol weaker than written down, before a third has come over', () => {
    expect(offIn({ seed: 33, chargeVolPercent: -6 })[0]).toBeLessThan(33);
  });

  it('is said of a vapour probe that reads 1.5 K too much or too little, before a third has come over', () => {
    expect(offIn({ seed: 34, probeK: 1.5 })[0]).toBeLessThan(33);
    expect(offIn({ seed: 35, probeK: -1.5 })[0]).toBeLessThan(33);
  });
});
