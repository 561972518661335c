import type { Still } from '../../lib/still/schema';
import {
  createDrives,
  createProbe,
  createStill,
  type DriveReports,
  describeStill,
  followTruth,
  fractionsOf,
  isDue,
  moveDrives,
  pointTruth,
  readProbe,
  reportedState,
  step,
  takeCommand,
  truthOf,
  undisturbed,
  type World,
} from '../../simulators/model';

export interface SimulationSetup {
  readonly still: Still;
  readonly chargeL: number;
  readonly chargeAbv: number;
  readonly seed: number;
}

/** What can be tried on the simulated still, with nobody hurt. */
export const mishaps = {
  'coolant-lost': (world: World) => {
    world.coolantSupplyShare = 0;
  },
  'power-cut': (world: World) => {
    world.mainsOn = false;
  },
  'path-blocked': (world: World) => {
    world.pathOpenShare = 0.01;
  },
  'vapour-leak': (world: World) => {
    world.leakShare = 0.08;
  },
  puking: (world: World) => {
    world.pukeShare = 0.5;
  },
  'boiler-drained': (world: World) => {
    world.drainLPerH = 600;
  },
  'probe-lost': () => {},
} as const satisfies Record<string, (world: World) => void>;
export type Mishap = keyof typeof mishaps;

export function isMishap(word: string): word is Mishap {
  return Object.hasOwn(mishaps, word);
}

export interface SimulatedReading {
  readonly point: string;
  readonly value: number;
}

/** A still that is not there: commands in, readings out, its time moved on by whoever holds it. */
export interface Simulation {
  readonly still: Still;
  readonly atS: number;
  /** Whether the drive is one of this still and the value one it can take. */
  command(drive: string, value: number | string, ttlS: number): boolean;
  befall(mishap: Mishap | 'none'): void;
  moveSpout(receiver: string): void;
  /** Moves on to a time and gives the readings that became due. */
  advance(toS: number): readonly SimulatedReading[];
  /** What really stands in the receivers, and what came over. */
  truth(): {
    readonly collectedL: number;
    readonly receivers: Readonly<Record<string, { readonly volumeL: number; readonly strengthVolPercent: number }>>;
  };
}

/** Steps at once at the most: a computer that slept does not have to live through the night. */
const mostStepsAtOnce = 120;
const stepS = 1;

export function createSimulation(setup: SimulationSetup): Simulation {
  const { still, seed } = setup;
  const spec = describeStill(still, {
    charge: { volumeL: setup.chargeL, strengthAbv: setup.chargeAbv },
    tracers: false,
  });
  const state = createStill(spec, seed);
  const drives = createDrives(still);
  const probes = Object.keys(still.points).map((id) => [id, createProbe(spec.probes[id]!, seed, id)] as const);
  const reports: DriveReports = { stateOf: (id) => reportedState(drives, id), attended: false };
  let world = undisturbed();
  let silent: string | null = null;

  function readDue(): SimulatedReading[] {
    return probes.flatMap(([id, probe]) => {
      const probeSpec = spec.probes[id]!;
      followTruth(probe, probeSpec, pointTruth(state, still.points[id]!, reports), stepS);
      if (!isDue(probe, state.atS)) return [];
      const value = readProbe(probe, probeSpec, state.atS);
      return id === silent || !Number.isFinite(value) ? [] : [{ point: id, value }];
    });
  }

  return {
    still,
    get atS() {
      return state.atS;
    },
    command: (drive, value, ttlS) => takeCommand(drives, drive, value, state.atS, ttlS, state.atS) === 'accepted',
    befall(mishap) {
      world = undisturbed();
      silent = null;
      if (mishap === 'none') return;
      mishaps[mishap](world);
      if (mishap === 'probe-lost')
        silent = Object.keys(still.points).find((id) => still.points[id]?.kind === 'vapour-temp') ?? null;
    },
    moveSpout(receiver) {
      if (still.receivers[receiver] !== undefined) drives.spoutAt = receiver;
    },
    advance(toS) {
      const latest = new Map<string, SimulatedReading>();
      for (let steps = 0; state.atS + stepS <= toS && steps < mostStepsAtOnce; steps += 1) {
        moveDrives(drives, state.atS + stepS, stepS, world.mainsOn);
        step(state, drives.actuators, world, stepS);
        for (const reading of readDue()) latest.set(reading.point, reading);
      }
      return [...latest.values()];
    },
    truth: () => ({
      collectedL: truthOf(state).collectedL,
      receivers: Object.fromEntries(
        Object.entries(fractionsOf(state)).map(([id, one]) => [
          id,
          { volumeL: one.volumeL, strengthVolPercent: one.strengthAbv * 100 },
        ]),
      ),
    }),
  };
}
