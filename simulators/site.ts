import type { Command, Reading } from '../lib/engine/types';
import type { Still } from '../lib/still/schema';
import { createFaults, type FaultPlan, type Faults } from './faults';
import {
  type Answer,
  createDrives,
  createProbe,
  createStill,
  type DriveReports,
  type DrivesState,
  followTruth,
  isDue,
  moveDrives,
  type ProbeState,
  pointTruth,
  readProbe,
  reportedState,
  type StillSpec,
  type StillState,
  step,
  takeCommand,
  type World,
} from './model';

/** A simulated site: still, probes, drives and whatever befalls them, in virtual time. */
export interface Site {
  readonly spec: StillSpec;
  readonly state: StillState;
  readonly drives: DrivesState;
  readonly faults: Faults;
  readonly world: World;
  /** Moves on by one step; the readings that became due, as they arrive. */
  advance(dtS: number): readonly Reading[];
  /** Carries out commands as the devices would, those that arrive. */
  obey(commands: readonly Command[]): void;
  /** One command with its device's answer, for hosts that carry commands one by one. */
  take(command: Pick<Command, 'drive' | 'value' | 'issuedAtS' | 'ttlS'>): Answer;
  /** A person was at the still just now, or moved the spout. */
  attend(): void;
  moveSpout(receiver: string): void;
}

interface Probe {
  readonly id: string;
  readonly state: ProbeState;
}

export interface SiteOptions {
  readonly spec: StillSpec;
  readonly seed: number;
  readonly faults?: readonly FaultPlan[];
  /** The dead-man is left to the devices that carry the drives, as they were told to; by the still's document if false. */
  readonly deadManInDevices?: boolean;
}

function withoutDeadMan(still: Still): Still {
  const drives = Object.entries(still.drives).map(([id, { deadManS: _, ...rest }]) => [id, rest] as const);
  return { ...still, drives: Object.fromEntries(drives) };
}

export function createSite({ spec, seed, faults: plans = [], deadManInDevices = false }: SiteOptions): Site {
  const state = createStill(spec, seed);
  const drives = createDrives(deadManInDevices ? withoutDeadMan(spec.still) : spec.still);
  const faults = createFaults(plans, spec, seed);
  const probes = Object.keys(spec.still.points).map(
    (id): Probe => ({ id, state: createProbe(spec.probes[id]!, seed, id) }),
  );
  let world = faults.world();
  let attendedAtS = Number.NEGATIVE_INFINITY;
  const reports: DriveReports = {
    stateOf: (id) => reportedState(drives, id),
    get attended() {
      return state.atS - attendedAtS < 90;
    },
  };

  const readProbes = (dtS: number): Reading[] => {
    const batch: Reading[] = [];
    for (const probe of probes) {
      const ps = spec.probes[probe.id]!;
      const due = isDue(probe.state, state.atS);
      if (ps.lagS > 0 || due) {
        followTruth(probe.state, ps, pointTruth(state, spec.still.points[probe.id]!, reports), dtS);
      }
      if (!due) continue;
      const value = readProbe(probe.state, ps, state.atS);
      const isNumber = Number.isFinite(value);
      batch.push({
        point: probe.id,
        value: isNumber ? value : null,
        atS: state.atS,
        ...(isNumber ? {} : { fault: 'missing' as const }),
      });
    }
    return batch;
  };

  const take: Site['take'] = ({ drive, value, issuedAtS, ttlS }) =>
    takeCommand(drives, drive, value, issuedAtS, ttlS, state.atS, faults.drives());

  return {
    spec,
    state,
    drives,
    faults,
    get world() {
      return world;
    },
    advance(dtS) {
      faults.begin(state.atS + dtS, dtS, state.boilerL);
      world = faults.world();
      moveDrives(drives, state.atS + dtS, dtS, world.mainsOn, faults.drives());
      step(state, drives.actuators, world, dtS);
      return faults.readings(readProbes(dtS));
    },
    obey(commands) {
      for (const command of faults.commands(commands)) take(command);
    },
    take,
    attend() {
      attendedAtS = state.atS;
    },
    moveSpout(receiver) {
      if (spec.still.receivers[receiver] !== undefined) drives.spoutAt = receiver;
    },
  };
}
