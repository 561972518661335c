import { createRandom } from './random';
import type { StillSpec } from './spec';
import { createStill, type StillState } from './state';

export * from './balance';
export * from './describe';
export * from './drives';
export * from './random';
export * from './sensors';
export * from './spec';
export * from './spout';
export * from './state';
export { step } from './step';
export { tracerMolarMassGPerMol, tracersArePredictions, tracersMgPerL } from './tracers';
export * from './truth';
export { compositionOf } from './vessel';

/** A still's state as plain JSON, without its spec. */
export type Snapshot = string;

/** Copies a state: restore gives back the very same still, to the last bit. */
export function snapshot(state: StillState): Snapshot {
  const { spec: _, ...rest } = state;
  return JSON.stringify(rest);
}

export function restore(spec: StillSpec, copy: Snapshot): StillState {
  return { ...(JSON.parse(copy) as Omit<StillState, 'spec'>), spec };
}

export { createRandom, createStill };
