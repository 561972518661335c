import { describe, expect, it } from 'vitest';
import {
  checkRecipe,
  checkStill,
  compilePlant,
  createController,
  freshRun,
  parseLog,
  phaseChanges,
  type RecipeDocument,
  replayLog,
  shiftVapourTemp,
  vapourAtDewTemp,
} from '../../lib';
import { runRig } from '../../simulators/rig';
import { orchardPot, scenarios, specOf } from '../../simulators/scenarios';
import { good } from '../tools/plants';

/*
 * The same charge distilled at three station pressures, each with a drifting barometer, seen by a probe of σ 0.15 K in
 * steps of 0.0625 K. The cut by temperature must fall at the same liquid composition, within what 0.1 K means.
 */
const recipe: RecipeDocument = {
  recipe: 1,
  name: 'By temperature alone',
  kind: 'spirit',
  stillKind: 'pot',
  phases: [
    { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 }, holdS: 10 },
    { phase: 'heads', endsWhen: { test: 'vapour-temp', atLeastC: 85 } },
    { phase: 'hearts', endsWhen: { test: 'vapour-temp', atLeastC: 91 } },
    { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 96 } },
  ],
};

function distil(altitudeM: number, seed: number) {
  const scenario = { ...scenarios['pot-spirit'], still: { ...orchardPot, altitudeM }, recipe };
  const probes = { 'vapour-temp': { noise: 0.15, resolution: 0.0625, lagS: 0, offset: 0, wanderPerRootH: 0 } };
  const weather = { offsetHPa: 0, wanderHPaPerRootH: 1, front: { atS: 7000, changeHPa: -8, widthS: 1800 } };
  const spec = specOf(scenario, { probes, site: { altitudeM, weather }, tracers: false });
  const plant = good(
    compilePlant(good(checkStill(scenario.still)), good(checkRecipe(recipe)), null, { volumeL: 55, strengthAbv: 0.29 }),
  );
  const controller = createController(plant, freshRun(0));
  return { result: runRig({ spec, controller, seed, seconds: 16000, logEveryS: 1 }), plant };
}

describe('cut by temperature at three pressures', () => {
  const runs = [0, 495, 1600].map((altitudeM, index) => ({ altitudeM, ...distil(altitudeM, 11 + index) }));

  it('is distilled at 1013, 955 and 835 hPa', () => {
    const pressures = runs.map(({ result }) => result.cuts[1]!.event.figures.airPressureHPa!);
    for (const [index, hPa] of [1013, 955, 835].entries()) expect(Math.abs(pressures[index]! - hPa)).toBeLessThan(12);
  });

  for (const to of ['hearts', 'tails', 'finish'] as const) {
    it(`falls at the same composition on entering ${to}`, () => {
      const atReference = runs.map(({ result }) => {
        const { event, truth } = result.cuts.find((cut) => cut.event.to === to)!;
        expect(event.asked).toBe(false);
        // The hold is over 30 s late by design: what the liquid was when the condition was first held is compared.
        const { vapourTempC } = truth;
        return {
          tempC: shiftVapourTemp(vapourTempC, truth.airPressureHPa, 1013.25),
          y: truth.vapourMoleFraction,
          x: truth.boilerMoleFraction,
        };
      });
      const [least, most] = [
        Math.min(...atReference.map((one) => one.tempC)),
        Math.max(...atReference.map((one) => one.tempC)),
      ];
      expect(most - least).toBeLessThan(0.2);
      const meantByTenth = vapourAtDewTemp(least, 1013.25) - vapourAtDewTemp(least + 0.1, 1013.25);
      const [low, high] = [Math.min(...atReference.map((one) => one.y)), Math.max(...atReference.map((one) => one.y))];
      expect((high - low) / 2).toBeLessThan(meantByTenth + 0.002);
    });
  }

  it('is made in the replay of each log as it was live, in time and reason', () => {
    for (const { result, plant } of runs) {
      const log = good(parseLog(result.csv));
      const replayed = good(
        replayLog({
          recipe: plant.recipe!,
          variant: null,
          still: plant.still,
          charge: plant.charge,
          log,
          pressureHPa: null,
          altitudeM: null,
        }),
      );
      const live = result.events.filter((event) => event.kind === 'phase' && event.figures.thresholdHereC !== null);
      const again = phaseChanges(replayed.events).filter((event) => event.figures.thresholdHereC !== null);
      expect(again.map((event) => event.to)).toEqual(live.map((event) => (event.kind === 'phase' ? event.to : '')));
      for (const [index, event] of again.entries())
        expect(Math.abs(event.atS - live[index]!.atS)).toBeLessThanOrEqual(6);
    }
  });
});
