import type { Command, Reading } from '../../lib/engine/types';
import type { Still } from '../../lib/still/schema';
import type { DriveFaults, Random, StillSpec, World } from '../model';

/** One fault that is to happen: when, to what, how strongly. */
export interface FaultPlan {
  readonly fault: string;
  readonly fromS: number;
  readonly untilS: number;
  /** Point, drive or receiver it befalls; the fault's first target if left out. */
  readonly target?: string;
  /** Strength in the fault's own unit; its usual one if left out. */
  readonly size?: number;
}

/** What a fault may look at. */
export interface FaultContext {
  readonly atS: number;
  readonly dtS: number;
  readonly isOn: boolean;
  readonly target: string;
  readonly size: number;
  readonly spec: StillSpec;
  /** Liquid in the boiler [L]. */
  readonly boilerL: number;
  /** The fault's own stream of random numbers: no other fault draws from it. */
  readonly random: Random;
}

/** What a fault remembers between steps: readings it holds back or has seen. */
export interface FaultMemory {
  readonly kept: readonly Reading[];
  readonly lastByPoint: Readonly<Record<string, number>>;
}

export const emptyMemory: FaultMemory = { kept: [], lastByPoint: {} };

/**
 * One kind of fault. Each part is a pure transform of what passes through it; `readings` is also called while the fault is off, so that what
 * it holds back can come out and what it needs to know can be seen.
 */
export interface FaultRule {
  readonly what: string;
  readonly unit: string;
  readonly usualSize: number;
  /** What it can befall on this still; empty where it can't. */
  readonly targetsOf: (still: Still) => readonly string[];
  readonly readings?: (
    batch: readonly Reading[],
    memory: FaultMemory,
    context: FaultContext,
  ) => { readonly batch: readonly Reading[]; readonly memory: FaultMemory };
  readonly commands?: (batch: readonly Command[], context: FaultContext) => readonly Command[];
  readonly drives?: (faults: DriveFaults, context: FaultContext) => DriveFaults;
  readonly world?: (world: World, context: FaultContext) => World;
}

const measuring = new Set<string>([
  'vapour-temp',
  'boiler-temp',
  'element-temp',
  'product-temp',
  'coolant-out-temp',
  'parrot-temp',
  'air-pressure',
  'boiler-pressure',
  'boiler-level',
  'coolant-flow',
  'product-flow',
  'parrot-strength',
  'heat-power',
  'vapour-gas',
]);

/** Points that measure something, probes of the vapour first. */
export function measuringPoints(still: Still): readonly string[] {
  return Object.keys(still.points).filter((id) => measuring.has(still.points[id]!.kind));
}

export function pointsOfKind(still: Still, kind: string): readonly string[] {
  return Object.keys(still.points).filter((id) => still.points[id]!.kind === kind);
}

export function drivesOfKind(still: Still, ...kinds: readonly string[]): readonly string[] {
  return Object.keys(still.drives).filter((id) => kinds.includes(still.drives[id]!.kind));
}

/** The whole site, where a fault has no single target. */
export const wholeSite = (): readonly string[] => ['site'];

/** Builds the `readings` part of a fault that changes good readings of one point and remembers nothing. */
export function changeReadings(
  change: (reading: Reading, context: FaultContext) => Reading | null,
): NonNullable<FaultRule['readings']> {
  return (batch, memory, context) => {
    if (!context.isOn) return { batch, memory };
    const changed = batch.map((one) => (one.point === context.target ? change(one, context) : one));
    return { batch: changed.filter((one) => one !== null), memory };
  };
}
