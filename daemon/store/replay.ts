import type { Plant, Run } from '../../lib/engine/types';
import {
  type Comparison,
  compareDecisions,
  type Decision,
  decisionsOf,
  type Scan,
  type Scanned,
  scanInputs,
} from '../../lib/record';
import type { Archive } from './archive';
import type { Checkpoint, RunDetail } from './contract';
import { attempt, fail, type Stored, valueOrThrow } from './failure';
import type { Journal } from './journal';

/** The two functions of the engine that a record is folded with. */
export interface Engine {
  readonly scan: Scan;
  readonly rebuilt: (plant: Plant, run: Run) => Run;
}

type Reader = Pick<Archive, 'run' | 'readInputs' | 'readDecisions' | 'latestCheckpoint'>;

/** Numbers of the scans before which the run was taken up again, in order. */
function restartsOf(journal: Reader, runId: string): readonly number[] {
  return Array.from(journal.readDecisions(runId)).flatMap((kept) =>
    kept.kind === 'mark' && kept.mark.mark === 'continued' ? [kept.scan] : [],
  );
}

function scansFrom(journal: Reader, run: RunDetail, from: Checkpoint, engine: Engine): Generator<Scanned, Run> {
  const before = restartsOf(journal, run.runId).slice(from.restarts);
  const restarts = { before, firstScan: from.scan, rebuild: engine.rebuilt };
  return scanInputs(engine.scan, run.plant, from.run, journal.readInputs(run.runId, from.scan), restarts);
}

/**
 * Every scan of a run again, from its start, as the engine makes it now.
 * Throws a StoreError where the readings are thinned or damaged.
 */
export function* rescanRun(journal: Reader, runId: string, engine: Engine): Generator<Scanned, Run> {
  const run = valueOrThrow(journal.run(runId));
  return yield* scansFrom(journal, run, { scan: 0, restarts: 0, run: run.initial }, engine);
}

/** State of a run after all that is written of it: the latest checkpoint, and the inputs after it. */
export function recallRun(journal: Reader, runId: string, engine: Engine): Stored<Run> {
  return attempt(runId, () => {
    const run = valueOrThrow(journal.run(runId));
    const checkpoint = valueOrThrow(journal.latestCheckpoint(runId));
    const scans = scansFrom(journal, run, checkpoint ?? { scan: 0, restarts: 0, run: run.initial }, engine);
    let next = scans.next();
    while (next.done !== true) next = scans.next();
    return next.value;
  });
}

/**
 * Takes up a run that an earlier process left open, after a stop, a crash or a power cut.
 * @returns the run as it goes on, rebuilt by the engine; a mark in the record makes a replay do the same at the same place
 */
export function takeUpRun(journal: Reader & Pick<Journal, 'continueRun'>, runId: string, engine: Engine): Stored<Run> {
  const plant = journal.run(runId);
  if (plant.kind === 'failed') return plant;
  const recalled = recallRun(journal, runId, engine);
  if (recalled.kind === 'failed') return recalled;
  const continued = journal.continueRun(runId);
  if (continued.kind === 'failed') return continued;
  return { kind: 'ok', value: engine.rebuilt(plant.value.plant, recalled.value) };
}

function* decisionsAgain(scans: Iterable<Scanned>): Generator<Decision> {
  for (const { input, result } of scans) yield* decisionsOf(input, result);
}

function* decisionsKept(journal: Reader, runId: string): Generator<Decision> {
  for (const kept of journal.readDecisions(runId)) if (kept.kind === 'decision') yield kept.decision;
}

/** Makes every decision of a run again from its inputs and compares it with the one written down. */
export function replayRun(journal: Reader, runId: string, engine: Engine): Stored<Comparison> {
  return attempt(runId, () => {
    const { replayable } = valueOrThrow(journal.run(runId));
    if (!replayable) {
      fail(
        'not-replayable',
        `the readings of run ${runId} were thinned or lost`,
        'Its decisions and minute summaries are still there',
      );
    }
    return compareDecisions(decisionsKept(journal, runId), decisionsAgain(rescanRun(journal, runId, engine)));
  });
}
