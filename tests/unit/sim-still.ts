import { expect } from 'vitest';
import {
  type Actuators,
  createStill,
  type StillOptions,
  type StillState,
  step,
  undisturbed,
  type World,
} from '../../simulators/model';
import { type ScenarioName, scenarios, specOf } from '../../simulators/scenarios';

export const calm = { weather: { offsetHPa: 0, wanderHPaPerRootH: 0, front: null } };

export function still(options: StillOptions = {}, name: ScenarioName = 'pot-spirit'): StillState {
  return createStill(specOf(scenarios[name], { tracers: false, site: calm, ...options }), 1);
}

export function on(over: Partial<Actuators> = {}): Actuators {
  return {
    heat: { heat: 1 },
    contactorClosed: true,
    coolantShare: 1,
    takeOffShare: 1,
    receivers: { 'feints-can': 1 },
    ...over,
  };
}

/** Runs for some seconds, or until something has happened; the seconds it took. */
export function pass(
  state: StillState,
  seconds: number,
  actuators: Actuators = on(),
  world: Partial<World> = {},
  until: () => boolean = () => false,
): number {
  const all = { ...undisturbed(), ...world };
  for (let second = 1; second <= seconds; second++) {
    step(state, actuators, all, 1);
    if (until()) return second;
  }
  return seconds;
}

/** A pot that has been boiling for a while. */
export function boiling(options: StillOptions = {}): StillState {
  const state = still({ ...options, charge: { volumeL: 50, strengthAbv: 0.3, tempC: 70, ...options.charge } });
  pass(state, 1800);
  expect(state.head.flowMolPerS).toBeGreaterThan(0.05);
  return state;
}
