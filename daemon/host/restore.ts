import { rebuilt } from '../../lib/engine/fresh';
import { scan } from '../../lib/engine/scan';
import type { Plant, Run } from '../../lib/engine/types';
import { type Engine, type Journal, type Stored, type StoreFailure, takeUpRun } from '../store';

/** The two functions of the engine that a record is folded with. */
export const engine: Engine = { scan, rebuilt };

export interface Restored {
  readonly runId: string;
  readonly plant: Plant;
  /** As it goes on: held, heat off, nothing believed of the drives. */
  readonly run: Run;
  /** The readings since the last checkpoint could not be read: volumes are those of the checkpoint. */
  readonly damage: StoreFailure | null;
}

export type Restoring =
  | { readonly kind: 'none' }
  | { readonly kind: 'ok'; readonly restored: Restored }
  | { readonly kind: 'failed'; readonly runId: string; readonly failure: StoreFailure };

/** Takes up the run a still left open: as it was when last written down, then held until somebody resumes it. */
export function restoreRun(journal: Journal, still: string): Restoring {
  const open = journal.openRuns();
  if (open.kind === 'failed') return { kind: 'failed', runId: '', failure: open.failure };
  const entry = open.value.find((one) => one.still === still);
  if (entry === undefined) return { kind: 'none' };
  const { runId } = entry;
  const detail = journal.run(runId);
  if (detail.kind === 'failed') return { kind: 'failed', runId, failure: detail.failure };
  const { plant } = detail.value;
  const taken = takeUpRun(journal, runId, engine);
  const damage = taken.kind === 'failed' ? taken.failure : null;
  const run = taken.kind === 'ok' ? taken : fromCheckpoint(journal, runId, plant, detail.value.initial);
  if (run.kind === 'failed') return { kind: 'failed', runId, failure: run.failure };
  // Written down at once: whoever restarts or replays later begins from here and not from before.
  journal.checkpoint(runId, run.value);
  journal.flush();
  return { kind: 'ok', restored: { runId, plant, run: run.value, damage } };
}

/** A held run needs no exact past: where readings are damaged, its last checkpoint will do. */
function fromCheckpoint(journal: Journal, runId: string, plant: Plant, initial: Run): Stored<Run> {
  const checkpoint = journal.latestCheckpoint(runId);
  if (checkpoint.kind === 'failed') return checkpoint;
  const continued = journal.continueRun(runId);
  if (continued.kind === 'failed') return continued;
  return { kind: 'ok', value: rebuilt(plant, checkpoint.value?.run ?? initial) };
}
