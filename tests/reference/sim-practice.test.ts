import { describe, expect, it } from 'vitest';
import { bubblePoint, liquidAtBubbleTemp } from '../../lib/physics';
import { createStill, type StillState, step, strengthOf, tracerNames, undisturbed } from '../../simulators/model';
import { scenarios, specOf } from '../../simulators/scenarios';

const calmSeaLevel = { altitudeM: 0, weather: { offsetHPa: 0, wanderHPaPerRootH: 0, front: null } };
const actuators = {
  heat: { heat: 1 },
  contactorClosed: true,
  coolantShare: 1,
  takeOffShare: 1,
  receivers: { 'feints-can': 1, 'hearts-can': 0 },
};

/** A slice of the distillate: what left the condenser between two shares of the charge's alcohol. */
interface Slice {
  readonly share: number;
  readonly strengthAbv: number;
  /** Amount of each tracer a mole of distillate. */
  readonly tracers: readonly number[];
}

function heldTracers(state: StillState): number[] {
  return state.boiler.tracersMol.map(
    (amount, index) => amount + state.stages.reduce((sum, stage) => sum + stage.vessel.tracersMol[index]!, 0),
  );
}

function slicesOf(strengthAbv: number): readonly Slice[] {
  const spec = specOf(scenarios['pot-spirit'], { charge: { volumeL: 60, strengthAbv }, site: calmSeaLevel });
  const state = createStill(spec, 1);
  const world = undisturbed();
  const slices: Slice[] = [];
  let last = { ethanolMol: 0, waterMol: 0, tracersMol: heldTracers(state), share: 0 };
  for (let second = 0; second < 5 * 3600; second++) {
    step(state, actuators, world, 1);
    const { productEthanolMol: ethanolMol, productWaterMol: waterMol } = state.totals;
    const share = ethanolMol / state.start.ethanolMol;
    if (share < last.share + (last.share === 0 ? 0.02 : 0.05)) continue;
    const tracersMol = heldTracers(state);
    const total = ethanolMol - last.ethanolMol + (waterMol - last.waterMol);
    slices.push({
      share,
      strengthAbv: strengthOf(ethanolMol - last.ethanolMol, waterMol - last.waterMol),
      tracers: tracersMol.map((amount, index) => (last.tracersMol[index]! - amount) / total),
    });
    last = { ethanolMol, waterMol, tracersMol, share };
  }
  return slices;
}

/*
 * Source of the figures: trade glossary of Cognac, low wines of 28–32 % vol, first distillate 1–2 % of the volume at 78–82 % vol, switch to
 * seconds at about 60 % vol. Common practice, not a measurement of this still.
 */
describe('simulated pot: cognac practice (trade glossary, common practice)', () => {
  it.each([0.28, 0.3, 0.32])('from low wines of %f the first 1.5 % of the volume is of 78–82 %% vol', (strengthAbv) => {
    const spec = specOf(scenarios['pot-spirit'], {
      charge: { volumeL: 60, strengthAbv },
      site: calmSeaLevel,
      tracers: false,
    });
    const state = createStill(spec, 1);
    for (let second = 0; second < 3 * 3600; second++) {
      step(state, actuators, undisturbed(), 1);
      if (state.spout.dischargedL + state.spout.lineL >= 0.9) break;
    }
    const first = strengthOf(state.totals.productEthanolMol, state.totals.productWaterMol);
    expect(first).toBeGreaterThanOrEqual(0.78);
    expect(first).toBeLessThanOrEqual(0.82);
  });

  it('falls steadily and passes 60 % vol with most of the alcohol over', () => {
    const slices = slicesOf(0.3);
    for (let index = 1; index < slices.length; index++) {
      expect(slices[index]!.strengthAbv).toBeLessThan(slices[index - 1]!.strengthAbv);
    }
    const passing = slices.find((slice) => slice.strengthAbv < 0.6);
    expect(passing?.share).toBeGreaterThan(0.7);
    expect(passing?.share).toBeLessThan(0.9);
  });
});

/*
 * Order of the minor compounds as the trade knows it (common practice): acetaldehyde and ethyl acetate lead, isoamyl alcohol falls away in
 * the second half, acetic acid and furfural come late. The volatilities behind it are predictions.
 */
describe('simulated pot: order of the minor compounds (predictions)', () => {
  const slices = slicesOf(0.3);
  const course = (name: (typeof tracerNames)[number]) =>
    slices.map((slice) => slice.tracers[tracerNames.indexOf(name)]!);

  it.each(['acetaldehyde', 'ethyl acetate'] as const)('%s leads and is nearly gone in the middle', (name) => {
    const values = course(name);
    expect(Math.max(...values)).toBe(values[0]);
    for (let index = 1; index < values.length; index++) expect(values[index]!).toBeLessThan(values[index - 1]!);
    expect(values[Math.floor(values.length / 2)]! / values[0]!).toBeLessThan(0.1);
  });

  it('isoamyl alcohol falls through the second half', () => {
    const values = course('isoamyl alcohol');
    const second = values.slice(Math.floor(values.length / 2));
    for (let index = 1; index < second.length; index++) expect(second[index]!).toBeLessThan(second[index - 1]!);
    expect(second.at(-1)! / Math.max(...values)).toBeLessThan(0.2);
  });

  it.each(['acetic acid', 'furfural'] as const)('%s comes late', (name) => {
    const values = course(name);
    expect(values.indexOf(Math.max(...values))).toBeGreaterThan(values.length * 0.7);
    expect(values.at(-2)! / values[0]!).toBeGreaterThan(1.8);
  });

  it('methanol comes all through the run: taking heads away does not take it away', () => {
    const values = course('methanol');
    expect(values[Math.floor(values.length / 2)]! / values[0]!).toBeGreaterThan(0.5);
    expect(values.at(-1)! / values[0]!).toBeGreaterThan(0.2);
  });

  it('leaves nothing of the leaders behind and most of the acid', () => {
    const spec = specOf(scenarios['pot-spirit'], { charge: { volumeL: 60, strengthAbv: 0.3 }, site: calmSeaLevel });
    const state = createStill(spec, 1);
    const before = [...state.boiler.tracersMol];
    for (let second = 0; second < 4 * 3600; second++) step(state, actuators, undisturbed(), 1);
    const left = (name: (typeof tracerNames)[number]) => {
      const index = tracerNames.indexOf(name);
      return state.boiler.tracersMol[index]! / before[index]!;
    };
    expect(left('ethyl acetate')).toBeLessThan(1e-6);
    expect(left('acetic acid')).toBeGreaterThan(0.5);
  });
});

/*
 * Sorel's and McCabe & Thiele's way (Ind. Eng. Chem. 17 (1925) 605): at total reflux the liquid that runs down from a stage has the composition of
 * the vapour that rises to it, so each stage is one equilibrium step above the one below. Stepped here without time, holdup or heat.
 */
describe('simulated column: stages', () => {
  it('at total reflux stands one equilibrium step apart, stage by stage', () => {
    const spec = specOf(scenarios['column-spirit'], {
      charge: { volumeL: 50, strengthAbv: 0.2 },
      tower: { lossWPerK: 0, dropHPa: 0, dropBehindHPa: 0 },
      site: calmSeaLevel,
      tracers: false,
    });
    const state = createStill(spec, 1);
    const still = { heat: { heat: 1 }, contactorClosed: true, coolantShare: 1, takeOffShare: 0, receivers: {} };
    for (let second = 0; second < 4 * 3600; second++) step(state, still, undisturbed(), 1);
    // Compositions as the vapour left them; between steps the liquid from above has already run in.
    let x = state.boiler.equilibrium.x;
    for (const { vessel } of state.stages) {
      const y = vessel.equilibrium.x;
      const expected = bubblePoint(x, state.airHPa).y;
      expect(Math.abs(y - expected)).toBeLessThan(5e-4);
      x = y;
    }
    expect(liquidAtBubbleTemp(state.stages.at(-1)!.vessel.tempC, state.airHPa)).toBeCloseTo(x, 3);
  });
});
