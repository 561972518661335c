import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { DatabaseSync } from 'node:sqlite';
import { summarise } from '../../daemon/host/summary';
import { type Journal, openJournal, type Stored } from '../../daemon/store';
import { createController, freshRun, type Order, type RecipeDocument, type StillDocument } from '../../lib';
import type { FaultPlan } from '../../simulators/faults';
import type { OperatorHabits } from '../../simulators/operator';
import { createRig, type Rig } from '../../simulators/rig';
import { plantOfScenario } from '../../simulators/run-scenario';
import { type Scenario, scenarios, specOf } from '../../simulators/scenarios';

export interface Recording {
  readonly runId: string;
  readonly scenario?: Scenario;
  readonly still?: Partial<StillDocument>;
  readonly recipe?: Partial<RecipeDocument>;
  readonly faults?: readonly FaultPlan[];
  readonly operator?: Partial<OperatorHabits>;
  readonly orders?: readonly (Omit<Order, 'id' | 'from'> & { readonly atS: number })[];
  readonly seed?: number;
  readonly startedAtMs?: number;
  readonly by?: string;
  readonly speed?: number;
  /** Longest the run may take [s]. */
  readonly mostS?: number;
  /** Leaves the run without an end, as a power cut does. */
  readonly leaveOpen?: boolean;
}

/** Eight in the morning of a day in May 2026, UTC. */
export const startedAtMs = Date.UTC(2026, 4, 12, 8);

/** Runs a scenario in virtual time under the real engine, and writes its record as the daemon does. */
export function recordRun(journal: Journal, recording: Recording): Rig {
  const base = recording.scenario ?? scenarios['pot-spirit'];
  const scenario: Scenario = {
    ...base,
    still: { ...base.still, ...recording.still } as StillDocument,
    recipe: { ...base.recipe, ...recording.recipe } as RecipeDocument,
  };
  const { runId, by = 'Ada', speed = 1 } = recording;
  const spec = specOf(scenario);
  const plant = plantOfScenario(scenario, spec);
  const initial = freshRun(0);
  const began = journal.beginRun({
    runId,
    plant,
    initial,
    startedAtMs: recording.startedAtMs ?? startedAtMs,
    about: { by, speed },
  });
  if (began.kind === 'failed') throw new Error(began.failure.message);
  const controller = createController(plant, initial);
  const recorded = {
    put: controller.put,
    order: (order: Order) => controller.order({ ...order, by: order.by === 'operator' ? by : order.by }),
    scan(now: number) {
      const result = controller.scan(now);
      journal.append(runId, result.input, result);
      if (now % 60 === 0) journal.commit();
      return result;
    },
  };
  const rig = createRig({
    spec,
    controller: recorded,
    seed: recording.seed ?? 1,
    logEveryS: 0,
    operator: { startsAtS: 1, ...recording.operator },
    ...(recording.faults === undefined ? {} : { faults: recording.faults }),
  });
  let waiting = [...(recording.orders ?? [])].sort((a, b) => a.atS - b.atS);
  rig.run(recording.mostS ?? 16 * 3600, ({ atS, events }) => {
    for (const { atS: _due, ...order } of waiting.filter((one) => one.atS <= atS)) {
      rig.order({ ...order, id: `x${atS}-${order.kind}`, from: 'still' });
    }
    waiting = waiting.filter((one) => one.atS > atS);
    return events.some((event) => event.kind === 'phase' && event.to === 'cool-down');
  });
  journal.flush();
  if (recording.leaveOpen !== true) journal.endRun(runId, 'complete', summarise(plant, controller.run));
  return rig;
}

export function good<T>(stored: Stored<T>): T {
  if (stored.kind === 'failed') throw new Error(`${stored.failure.kind}: ${stored.failure.message}`);
  return stored.value;
}

/** A data folder of its own, as --data names it; every journal made in it ends its runs at noon of that day. */
export function dataFolder() {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-report-'));
  const file = join(folder, 'record.sqlite');
  const open = (readOnly = false): Journal =>
    good(openJournal(file, { readOnly, wallClockMs: () => startedAtMs + 4 * 3_600_000 }));
  return {
    folder,
    file,
    open,
    /** Opens the record, works on it and closes it. */
    use<T>(work: (journal: Journal) => T, readOnly = false): T {
      const journal = open(readOnly);
      try {
        return work(journal);
      } finally {
        journal.close();
      }
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

/** Takes away what keeps a record from being changed, as somebody with the file in hand can. */
export function unlock(file: DatabaseSync): void {
  for (const { name } of file.prepare("SELECT name FROM sqlite_master WHERE type = 'trigger'").all()) {
    file.exec(`DROP TRIGGER ${String(name)}`);
  }
}

/** A short run: half a charge, filled in warm. */
export const shortRun = scenarios.demo;

export const hostile = {
  name: '<script>alert(1)</script><img src=x onerror=alert(2)>"\'&',
  about: '</style><iframe src="https://example.org">\u202e reversed \u0007 bell',
  note: ']]><svg onload=alert(3)> {{7*7}} %3Cscript%3E',
  by: 'Bob"><a href=javascript:alert(4)>',
} as const;
