import { describe, expect, it } from 'vitest';
import { createStill, step, undisturbed } from '../../simulators/model';
import { scenarios, specOf } from '../../simulators/scenarios';

const calm = { altitudeM: 0, weather: { offsetHPa: 0, wanderHPaPerRootH: 0, front: null } };
const on = {
  heat: { heat: 1 },
  contactorClosed: true,
  coolantShare: 1,
  takeOffShare: 1,
  receivers: { 'feints-can': 1 },
};

/** Water in a still that loses nothing: 5 kW go into the liquid. */
function lossless(volumeL: number) {
  const spec = specOf(scenarios['pot-spirit'], {
    charge: { volumeL, strengthAbv: 0, tempC: 20 },
    body: { boilerMetalJPerK: 0, boilerLossWPerK: 0 },
    tower: { stages: 0, lossWPerK: 0, dropHPa: 0, dropBehindHPa: 0 },
    heat: { heat: { efficiency: 1, toAirWPerK: 0 } },
    site: calm,
    tracers: false,
  });
  return createStill(spec, 1);
}

/* Enthalpies of saturated water, IAPWS-IF97 (steam tables): hf(20 °C) 83.91, hf(99.97 °C) 418.99, hfg(99.97 °C) 2256.5 kJ/kg; from memory. */
describe('simulated still: heat, against steam tables', () => {
  it('warms 50 L of water from 20 °C to the boil in the time the steam tables give', () => {
    const state = lossless(50);
    let seconds = 0;
    while (state.boiledMolPerS === 0 && seconds < 10_000) {
      step(state, on, undisturbed(), 1);
      seconds++;
    }
    const massKg = 50 * 0.99820123;
    // The element's own body takes 1 kJ/K and stands 8 K above the water.
    const elementJ = 1000 * (99.97 + 8 - 20);
    const expectedS = (massKg * (418.99 - 83.91) * 1000 + elementJ) / 5000;
    expect(seconds / expectedS).toBeGreaterThan(0.998);
    expect(seconds / expectedS).toBeLessThan(1.002);
    expect(state.boiler.tempC).toBeCloseTo(99.974, 2);
  });

  it('boils off water as its heat of vaporisation allows', () => {
    const state = lossless(50);
    while (state.boiledMolPerS === 0) step(state, on, undisturbed(), 1);
    for (let second = 0; second < 300; second++) step(state, on, undisturbed(), 1);
    const before = state.boiler.waterMol;
    for (let second = 0; second < 3600; second++) step(state, on, undisturbed(), 1);
    const boiledKg = ((before - state.boiler.waterMol) * 18.0153) / 1000;
    expect(boiledKg / ((5000 * 3600) / 2_256_500)).toBeCloseTo(1, 3);
  });

  it('gives the coolant what the vapour brings: flow × 4.186 kJ/kg K × rise', () => {
    const state = lossless(50);
    for (let second = 0; second < 2 * 3600; second++) step(state, on, undisturbed(), 1);
    const { condenser, spec } = state;
    const startJ = condenser.carriedOffJ;
    let broughtJ = 0;
    let hoseJ = 0;
    for (let second = 0; second < 1800; second++) {
      step(state, on, undisturbed(), 1);
      // Vapour condensed and cooled from 100 °C to the distillate's temperature: hfg 40.65 kJ/mol, 75.9 J/mol K.
      broughtJ += state.boiledMolPerS * (40_651 + 75.9 * (99.97 - condenser.productC));
      hoseJ += (condenser.flowLPerH / 3600) * 4186 * (condenser.outletC - spec.condenser.coolantInC);
    }
    expect(Math.abs((condenser.carriedOffJ - startJ) / broughtJ - 1)).toBeLessThan(0.002);
    // The probe stands in the hose, which loses a little to the room.
    expect(hoseJ / broughtJ).toBeGreaterThan(0.97);
    expect(hoseJ / broughtJ).toBeLessThan(1);
  });

  it('warms 60 L at 5 kW by about 1.1–1.3 K a minute (common practice for a pot of this size)', () => {
    const spec = specOf(scenarios['pot-spirit'], { charge: { volumeL: 60 }, tracers: false });
    const state = createStill(spec, 1);
    for (let second = 0; second < 600; second++) step(state, on, undisturbed(), 1);
    const before = state.boiler.tempC;
    for (let second = 0; second < 600; second++) step(state, on, undisturbed(), 1);
    const kPerMin = (state.boiler.tempC - before) / 10;
    expect(kPerMin).toBeGreaterThan(1.1);
    expect(kPerMin).toBeLessThan(1.35);
  });

  it('lets a bare element gain about 5 K a second', () => {
    const spec = specOf(scenarios['pot-spirit'], { charge: { volumeL: 2, strengthAbv: 0 }, tracers: false });
    const state = createStill(spec, 1);
    for (let second = 0; second < 10; second++) step(state, on, undisturbed(), 1);
    expect(state.coveredShare).toBe(0);
    const gained = (state.sources.heat!.tempC - 15) / 10;
    expect(gained).toBeGreaterThan(4.5);
    expect(gained).toBeLessThan(5.2);
  });
});
