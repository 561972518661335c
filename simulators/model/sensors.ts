import { createRandom, nextGaussian, nextUnit, type Random } from './random';
import type { ProbeSpec } from './spec';

/** One probe's memory. */
export interface ProbeState {
  readonly random: Random;
  /** First-order lag: what the probe's own body is at; null before the first look. */
  body: number | null;
  wander: number;
  nextAtS: number;
  lastAtS: number;
}

/**
 * A probe that has not read yet. Probes of one still do not read in step: each starts at its own moment within its period.
 *
 * @param name the point; the stream of noise is its own
 */
export function createProbe(spec: ProbeSpec, seed: number, name: string): ProbeState {
  const random = createRandom(seed, `probe/${name}`);
  return { random, body: null, wander: 0, nextAtS: nextUnit(random) * spec.periodS, lastAtS: 0 };
}

/** Rounds to the probe's steps. */
export function quantise(value: number, resolution: number): number {
  if (!(resolution > 0)) return value;
  const steps = Math.round(value / resolution);
  // 1/resolution where that is whole, so that 0.1 hPa steps print as such.
  const inverse = Math.round(1 / resolution);
  return Math.abs(inverse * resolution - 1) < 1e-12 ? steps / inverse : steps * resolution;
}

/** Follows the truth with the probe's lag; call at every step. */
export function followTruth(probe: ProbeState, spec: ProbeSpec, truth: number, dtS: number): void {
  if (probe.body === null || spec.lagS <= 0) {
    probe.body = truth;
    return;
  }
  probe.body += (truth - probe.body) * -Math.expm1(-dtS / spec.lagS);
}

/** True when the probe's next reading is due; at most one reading a step. */
export function isDue(probe: ProbeState, atS: number): boolean {
  return atS >= probe.nextAtS;
}

/**
 * Reads a probe: lagged truth, its own offset and gain, wandering, noise, steps.
 *
 * @returns the reading in the unit of the point; NaN where there is no truth
 */
export function readProbe(probe: ProbeState, spec: ProbeSpec, atS: number): number {
  const spanS = atS - probe.lastAtS;
  probe.lastAtS = atS;
  probe.nextAtS += spec.periodS * Math.max(1, Math.ceil((atS - probe.nextAtS + 1e-9) / spec.periodS));
  if (spec.wanderPerRootH > 0) {
    probe.wander += spec.wanderPerRootH * Math.sqrt(Math.max(0, spanS) / 3600) * nextGaussian(probe.random);
  }
  const noise = spec.noise > 0 ? spec.noise * nextGaussian(probe.random) : 0;
  const exact = spec.gain * (probe.body ?? Number.NaN) + spec.offset + probe.wander + noise;
  const shown = quantise(exact, spec.resolution);
  return spec.lowest === null ? shown : Math.max(spec.lowest, shown);
}
