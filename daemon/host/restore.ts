import { rebuilt } from '../../lib/engine/fresh';
import { scan } from '../../lib/engine/scan';
import type { Input, Plant, Run } from '../../lib/engine/types';
import type { Journal, StoreFailure } from '../store';

export interface Restored {
  readonly runId: string;
  readonly plant: Plant;
  /** As it goes on: held, heat off, nothing believed of the drives. */
  readonly run: Run;
}

export type Restoring =
  | { readonly kind: 'none' }
  | { readonly kind: 'ok'; readonly restored: Restored }
  | { readonly kind: 'failed'; readonly runId: string; readonly failure: StoreFailure };

/** Takes up the run a still left open: its last checkpoint, the inputs since then, and held until somebody resumes it. */
export function restoreRun(journal: Journal, still: string): Restoring {
  const open = journal.openRuns();
  if (open.kind === 'failed') return { kind: 'failed', runId: '', failure: open.failure };
  const entry = open.value.find((one) => one.still === still);
  if (entry === undefined) return { kind: 'none' };
  const { runId } = entry;
  const detail = journal.run(runId);
  if (detail.kind === 'failed') return { kind: 'failed', runId, failure: detail.failure };
  const checkpoint = journal.latestCheckpoint(runId);
  if (checkpoint.kind === 'failed') return { kind: 'failed', runId, failure: checkpoint.failure };
  const from = checkpoint.value ?? { scan: 0, run: detail.value.initial };
  const run = foldReadable(journal, runId, detail.value.plant, from.run, from.scan);
  const taken = journal.continueRun(runId);
  if (taken.kind === 'failed') return { kind: 'failed', runId, failure: taken.failure };
  const held = rebuilt(detail.value.plant, run);
  // Written down at once: whoever restarts or replays later begins from here and not from before.
  journal.checkpoint(runId, held);
  journal.flush();
  return { kind: 'ok', restored: { runId, plant: detail.value.plant, run: held } };
}

/** Folds the inputs that can be read; damaged or thinned ones are passed over, since a held run needs no exact past. */
function foldReadable(journal: Journal, runId: string, plant: Plant, start: Run, fromScan: number): Run {
  let run = start;
  for (const chunk of journal.readChunks(runId, fromScan)) {
    if (chunk.kind !== 'ok') continue;
    const skip = Math.max(0, fromScan - chunk.firstScan);
    for (const input of chunk.inputs.slice(skip) as readonly Input[]) run = scan(plant, run, input).run;
  }
  return run;
}
