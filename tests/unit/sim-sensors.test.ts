import { describe, expect, it } from 'vitest';
import { createProbe, followTruth, isDue, type ProbeSpec, quantise, readProbe } from '../../simulators/model';

const exact: ProbeSpec = {
  lagS: 0,
  noise: 0,
  resolution: 0,
  offset: 0,
  gain: 1,
  periodS: 1,
  wanderPerRootH: 0,
  lowest: null,
};

describe('simulated probe', () => {
  it('rounds to its steps, and prints them cleanly', () => {
    expect(quantise(78.3811, 0.0625)).toBe(78.375);
    expect(quantise(1006.44999, 0.1)).toBe(1006.4);
    expect(String(quantise(0.30000001, 0.1))).toBe('0.3');
    expect(quantise(-0.04, 0.0625)).toBe(-0.0625);
    expect(quantise(12.345, 0)).toBe(12.345);
    expect(quantise(7.4, 2.5)).toBe(7.5);
  });

  it('lags: after one time constant 63 % of a jump are shown, whatever the step', () => {
    for (const dtS of [0.5, 1, 2.5]) {
      const spec = { ...exact, lagS: 10 };
      const probe = createProbe(spec, 1, 'p');
      followTruth(probe, spec, 20, dtS);
      for (let passed = 0; passed < 10; passed += dtS) followTruth(probe, spec, 80, dtS);
      expect(readProbe(probe, spec, 10)).toBeCloseTo(20 + 60 * (1 - Math.exp(-1)), 6);
    }
  });

  it('follows a ramp late by its lag, less half a step', () => {
    const spec = { ...exact, lagS: 6 };
    const probe = createProbe(spec, 1, 'p');
    for (let second = 0; second <= 200; second++) followTruth(probe, spec, second * 0.02, 1);
    expect(200 * 0.02 - readProbe(probe, spec, 200)).toBeCloseTo(5.5 * 0.02, 3);
  });

  it('reads when its period is over, at a moment of its own, and never twice', () => {
    const spec = { ...exact, periodS: 10 };
    const moments = ['a', 'b', 'c'].map((name) => {
      const probe = createProbe(spec, 1, name);
      const at: number[] = [];
      for (let second = 1; second <= 100; second++) {
        followTruth(probe, spec, 1, 1);
        if (!isDue(probe, second)) continue;
        readProbe(probe, spec, second);
        at.push(second);
      }
      return at;
    });
    for (const at of moments) {
      expect(at.length).toBe(10);
      for (let index = 1; index < at.length; index++) expect(at[index]! - at[index - 1]!).toBe(10);
    }
    expect(new Set(moments.map((at) => at[0])).size).toBeGreaterThan(1);
  });

  it('catches up without a burst after a long silence', () => {
    const spec = { ...exact, periodS: 5 };
    const probe = createProbe(spec, 1, 'p');
    followTruth(probe, spec, 1, 1);
    readProbe(probe, spec, 1000);
    expect(isDue(probe, 1000)).toBe(false);
    expect(isDue(probe, 1005)).toBe(true);
  });

  it('has the noise, offset and gain it was given', () => {
    const spec = { ...exact, noise: 0.15, offset: 0.4, gain: 1.01 };
    const probe = createProbe(spec, 1, 'p');
    followTruth(probe, spec, 80, 1);
    const values = Array.from({ length: 20_000 }, (_, second) => readProbe(probe, spec, second));
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const spread = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
    expect(mean).toBeCloseTo(80 * 1.01 + 0.4, 2);
    expect(spread).toBeCloseTo(0.15, 2);
  });

  it('wanders by the root of time', () => {
    const ends = Array.from({ length: 300 }, (_, index) => {
      const spec = { ...exact, wanderPerRootH: 0.5, periodS: 60 };
      const probe = createProbe(spec, index, 'p');
      followTruth(probe, spec, 0, 1);
      let last = 0;
      for (let second = 60; second <= 4 * 3600; second += 60) last = readProbe(probe, spec, second);
      return last;
    });
    const spread = Math.sqrt(ends.reduce((sum, value) => sum + value * value, 0) / ends.length);
    expect(spread).toBeGreaterThan(0.85);
    expect(spread).toBeLessThan(1.15);
  });

  it('shows nothing below the end of its scale', () => {
    const spec = { ...exact, noise: 1, lowest: 0 };
    const probe = createProbe(spec, 1, 'flow');
    followTruth(probe, spec, 0, 1);
    const values = Array.from({ length: 200 }, (_, second) => readProbe(probe, spec, second));
    expect(Math.min(...values)).toBe(0);
  });

  it('gives no number where there is no truth', () => {
    const probe = createProbe(exact, 1, 'p');
    followTruth(probe, exact, Number.NaN, 1);
    expect(readProbe(probe, exact, 1)).toBeNaN();
  });
});
