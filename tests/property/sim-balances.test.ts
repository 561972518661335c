import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Actuators,
  balanceOf,
  compositionOf,
  createStill,
  describeStill,
  restore,
  type StillSpec,
  type StillState,
  snapshot,
  step,
  undisturbed,
  type World,
} from '../../simulators/model';
import { scenarios, specOf } from '../../simulators/scenarios';

const pot = specOf(scenarios['pot-spirit']).still;
const column = specOf(scenarios['column-spirit']).still;

/** Any still that can be built: size, stages, pressure, charge, resistance, foam, flow of coolant. */
const anySpec: fc.Arbitrary<StillSpec> = fc
  .record({
    isColumn: fc.boolean(),
    stages: fc.double({ min: 0, max: 12, noNaN: true }),
    holdUp: fc.double({ min: 0.5, max: 8, noNaN: true }),
    lossWPerK: fc.double({ min: 0, max: 25, noNaN: true }),
    dropHPa: fc.double({ min: 0, max: 30, noNaN: true }),
    volumeL: fc.double({ min: 3, max: 60, noNaN: true }),
    strengthAbv: fc.double({ min: 0, max: 0.9, noNaN: true }),
    tempC: fc.double({ min: 30, max: 80, noNaN: true }),
    solidsRiseK: fc.double({ min: 0, max: 2, noNaN: true }),
    foamShare: fc.constantFrom(0, 0.05, 0.4),
    altitudeM: fc.double({ min: 0, max: 3500, noNaN: true }),
    coolantLPerH: fc.double({ min: 10, max: 400, noNaN: true }),
    parrotL: fc.constantFrom(0, 0.2),
    wander: fc.double({ min: 0, max: 4, noNaN: true }),
  })
  .map((one) =>
    describeStill(one.isColumn ? column : pot, {
      charge: { volumeL: one.volumeL, strengthAbv: one.strengthAbv, tempC: one.tempC, solidsRiseK: one.solidsRiseK },
      tower: {
        stages: one.isColumn ? Math.max(1, one.stages) : one.stages / 4,
        holdUpMolPerStage: one.holdUp,
        lossWPerK: one.lossWPerK,
        dropHPa: one.dropHPa,
      },
      body: { foamShare: one.foamShare },
      condenser: { coolantLPerH: one.coolantLPerH },
      site: { altitudeM: one.altitudeM, weather: { offsetHPa: 0, wanderHPaPerRootH: one.wander, front: null } },
      parrotL: one.parrotL,
    }),
  );

/** Five minutes of one way to run it. */
interface Spell {
  readonly heat: number;
  readonly coolant: number;
  readonly takeOff: number;
  readonly receivers: number;
  readonly world: Partial<World>;
}

const anySpell: fc.Arbitrary<Spell> = fc.record({
  heat: fc.constantFrom(0, 0.3, 1, 1, 1),
  coolant: fc.constantFrom(0, 0.3, 1, 1),
  takeOff: fc.constantFrom(0, 0.2, 1),
  receivers: fc.constantFrom(0, 0.5, 1, 2),
  world: fc.oneof(
    { weight: 3, arbitrary: fc.constant<Partial<World>>({}) },
    {
      weight: 2,
      arbitrary: fc.constantFrom<Partial<World>>(
        { pathOpenShare: 0 },
        { pathOpenShare: 0.02 },
        { leakShare: 0.4 },
        { pukeShare: 1 },
        { drainLPerH: 900 },
        { fouledShare: 0.95 },
        { mainsOn: false },
        { coolantSupplyShare: 0 },
      ),
    },
  ),
});

function actuatorsOf(spell: Spell): Actuators {
  return {
    heat: { heat: spell.heat },
    contactorClosed: true,
    coolantShare: spell.coolant,
    takeOffShare: spell.takeOff,
    receivers: { 'feints-can': Math.min(1, spell.receivers), 'hearts-can': Math.max(0, spell.receivers - 1) },
  };
}

function expectSound(state: StillState): void {
  const numbers = [
    state.boiler.tempC,
    state.boilerHPa,
    state.head.tempC,
    state.head.vapourTempC,
    state.head.y,
    state.condenser.productC,
    state.condenser.upperC,
    state.gasShare,
    ...state.stages.flatMap(({ vessel }) => [vessel.tempC, vessel.ethanolMol, vessel.waterMol, ...vessel.tracersMol]),
    ...state.boiler.tracersMol,
  ];
  expect(numbers.every(Number.isFinite)).toBe(true);
  expect(state.boiler.ethanolMol).toBeGreaterThanOrEqual(0);
  expect(state.boiler.waterMol).toBeGreaterThanOrEqual(0);
  expect(compositionOf(state.boiler)).toBeLessThanOrEqual(1);
  expect(state.head.y).toBeGreaterThanOrEqual(0);
  expect(state.head.y).toBeLessThanOrEqual(1);
  expect(state.boilerHPa).toBeLessThanOrEqual(state.airHPa + state.spec.body.reliefHPa + 1e-6);
  for (const receiver of Object.values(state.receivers)) expect(receiver.volumeL).toBeLessThanOrEqual(30 + 1e-9);
  for (const amount of state.boiler.tracersMol) expect(amount).toBeGreaterThanOrEqual(0);
}

function runSpells(state: StillState, spells: readonly Spell[], dtS: number): void {
  for (const spell of spells) {
    const actuators = actuatorsOf(spell);
    const world = { ...undisturbed(), ...spell.world };
    for (let second = 0; second < 300; second += dtS) step(state, actuators, world, dtS);
  }
}

const anyRun = fc.record({
  spec: anySpec,
  spells: fc.array(anySpell, { minLength: 3, maxLength: 14 }),
  dtS: fc.constantFrom(0.5, 1, 1, 2),
});

describe('simulated still: balances', () => {
  it('closes ethanol, water and heat to 1e-6 in any still, run in any way, whatever befalls it', () => {
    fc.assert(
      fc.property(anyRun, ({ spec, spells, dtS }) => {
        const state = createStill(spec, 1);
        runSpells(state, spells, dtS);
        expectSound(state);
        const balance = balanceOf(state);
        expect(Math.abs(balance.waterShare)).toBeLessThan(1e-6);
        expect(Math.abs(balance.energyShare)).toBeLessThan(1e-6);
        if (spec.charge.strengthAbv > 1e-6) expect(Math.abs(balance.ethanolShare)).toBeLessThan(1e-6);
        if (state.totals.productEthanolMol > 1e-6) expect(Math.abs(balance.spoutEthanolShare)).toBeLessThan(1e-6);
      }),
      { numRuns: 150, seed: 20_260_314 },
    );
  });

  it('accounts for every trace too, while nothing is lost on the way', () => {
    let counted = 0;
    fc.assert(
      fc.property(anySpec, (spec) => {
        const state = createStill(spec, 1);
        const before = [...state.boiler.tracersMol];
        const calm: Spell = { heat: 1, coolant: 1, takeOff: 1, receivers: 1, world: {} };
        runSpells(state, [calm, calm, calm, calm, calm, calm, calm, calm], 1);
        if (state.totals.escapedEthanolMol > 0 || state.totals.escapedWaterMol > 0) return;
        if (Object.values(state.receivers).some((receiver) => receiver.spilledL > 0)) return;
        counted++;
        const places = [
          state.boiler,
          ...state.stages.map(({ vessel }) => vessel),
          ...state.spout.line,
          state.spout.parrot,
          ...Object.values(state.receivers),
        ];
        before.forEach((amount, index) => {
          const found = places.reduce((sum, place) => sum + place.tracersMol[index]!, 0);
          expect(Math.abs(found - amount)).toBeLessThan(1e-9 * Math.max(amount, 1e-6));
        });
      }),
      { numRuns: 25, seed: 7 },
    );
    expect(counted).toBeGreaterThan(10);
  });

  it('would notice a leak in the books: taking a millionth part of the water away fails the check', () => {
    const state = createStill(specOf(scenarios['pot-spirit']), 1);
    state.boiler.waterMol *= 1 - 2e-6;
    expect(Math.abs(balanceOf(state).waterShare)).toBeGreaterThan(1e-6);
  });
});

describe('simulated still: repeatable', () => {
  it('goes on from a snapshot exactly as it would have gone on', () => {
    fc.assert(
      fc.property(anyRun, ({ spec, spells, dtS }) => {
        const half = Math.ceil(spells.length / 2);
        const whole = createStill(spec, 3);
        runSpells(whole, spells, dtS);
        const first = createStill(spec, 3);
        runSpells(first, spells.slice(0, half), dtS);
        const second = restore(spec, snapshot(first));
        runSpells(second, spells.slice(half), dtS);
        expect(snapshot(second)).toBe(snapshot(whole));
      }),
      { numRuns: 15, seed: 11 },
    );
  });

  it('gives nearly the same run with steps of half a second, one and two', () => {
    const spec = specOf(scenarios['pot-spirit'], {
      site: { weather: { offsetHPa: 0, wanderHPaPerRootH: 0, front: null } },
      tracers: false,
    });
    const calm: Spell = { heat: 1, coolant: 1, takeOff: 1, receivers: 1, world: {} };
    const spells = new Array<Spell>(36).fill(calm);
    const [half, one, two] = [0.5, 1, 2].map((dtS) => {
      const state = createStill(spec, 1);
      runSpells(state, spells, dtS);
      return { vapourC: state.head.vapourTempC, alcohol: state.totals.productEthanolMol / state.start.ethanolMol };
    });
    expect(Math.abs(one!.vapourC - half!.vapourC)).toBeLessThan(0.01);
    expect(Math.abs(two!.vapourC - half!.vapourC)).toBeLessThan(0.02);
    expect(Math.abs(two!.alcohol - half!.alcohol)).toBeLessThan(5e-4);
  });
});
