import { describe, expect, it } from 'vitest';
import { createController, type Event, freshRun, shiftVapourTemp } from '../../lib';
import { plantOf, potRecipe } from '../tools/plants';
import { randomOf } from '../tools/random';

/*
 * A vapour temperature climbs through the heads cut (82 °C at 1013.25 hPa) seen by a coarse noisy probe while the
 * barometer drifts: σ 0.15 K, steps of 0.0625 K, one reading a second, 3 hPa an hour.
 */
const rampsKPerMin = [0.06, 0.15, 0.5, 1, 3] as const;
const stationsHPa = [1013.25, 955, 835] as const;
const holdS = 30;
const seedsARamp = 200 / (rampsKPerMin.length * stationsHPa.length);

interface Outcome {
  readonly crossedS: number;
  readonly cutS: number | null;
  readonly moves: number;
}

function climb(seed: number, stationHPa: number, rampKPerMin: number): Outcome {
  const random = randomOf(seed);
  const plant = plantOf({
    ...potRecipe,
    phases: potRecipe.phases.map((step) => ({ ...step, holdS: step.phase === 'heads' ? holdS : 10 })),
  });
  const controller = createController(plant, freshRun(0));
  const perS = rampKPerMin / 60;
  const pressureAt = (timeS: number) => stationHPa + (timeS / 3600) * 3;
  const warmS = 120;
  const fromC = shiftVapourTemp(82, 1013.25, stationHPa) - Math.max(1.5, 220 * perS);
  const vapourAt = (timeS: number) => (timeS < warmS ? 40 : fromC + (timeS - warmS) * perS);
  const events: Event[] = [];
  let crossedS = Number.NaN;
  controller.order({ id: 'start', kind: 'start', by: 'test', from: 'still' });
  const endS = warmS + (82 - 40) / perS;
  for (let now = 0; now < endS; now += 1) {
    const truthC = vapourAt(now);
    if (Number.isNaN(crossedS) && now > warmS && truthC >= shiftVapourTemp(82, 1013.25, pressureAt(now)))
      crossedS = now;
    const noisy = truthC + 0.15 * random.gauss();
    controller.put({ point: 'vapour', value: Math.round(noisy / 0.0625) * 0.0625, atS: now });
    if (now % 5 === 0) controller.put({ point: 'air', value: pressureAt(now) + 0.1 * random.gauss(), atS: now });
    controller.put({ point: 'boiler', value: 88 + (now % 7) / 16, atS: now });
    events.push(...controller.scan(now).events);
    if (now > crossedS + Math.min(600, 60 + holdS + 3 / perS)) break;
  }
  const cuts = events.filter((event) => event.kind === 'phase' && event.to === 'hearts');
  const moves = events.filter((event) => event.kind === 'receiver' && event.from !== null).length;
  return { crossedS, cutS: cuts[0]?.atS ?? null, moves };
}

describe('cut: heads to hearts through a noisy probe', () => {
  for (const stationHPa of stationsHPa) {
    for (const ramp of rampsKPerMin) {
      it(`falls where the noise-free vapour crosses, at ${stationHPa} hPa and ${ramp} K/min`, () => {
        const allowedS = Math.max(15, 0.1 / (ramp / 60));
        for (let seed = 1; seed <= Math.ceil(seedsARamp); seed += 1) {
          const { crossedS, cutS, moves } = climb(seed * 1000 + ramp * 100, stationHPa, ramp);
          expect(cutS, `seed ${seed}`).not.toBeNull();
          expect(
            Math.abs(cutS! - holdS - crossedS),
            `seed ${seed}: crossed ${crossedS}, cut ${cutS}`,
          ).toBeLessThanOrEqual(allowedS);
          expect(moves, `seed ${seed}: one valve movement`).toBe(1);
        }
      });
    }
  }
});
