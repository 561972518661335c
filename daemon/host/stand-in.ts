import { type Committed, type Journal, type Stored, StoreError, type StoreFailure } from '../store';

/** How often a record that could not be opened is tried again [ms]. */
const tryAgainMs = 10_000;

export interface StandInOptions {
  readonly path: string;
  readonly failure: StoreFailure;
  readonly open: () => Stored<Journal>;
  readonly nowMs: () => number;
  /** The record could be opened after all. */
  readonly opened: (journal: Journal) => void;
}

/**
 * Stands where the record should be while it cannot be opened: nothing can be written, so no run can start, and every commit says why.
 * The still is watched and made safe all the same. It tries again by itself.
 */
export function standInFor({ path, failure, open, nowMs, opened }: StandInOptions): Journal {
  let real: Journal | null = null;
  let triedMs = nowMs();
  const failed = { kind: 'failed', failure } as const;
  const nothing = { scans: 0, decisions: 0, bytes: 0 };
  const notCommitted: Committed = { ...failed, runs: [], waiting: nothing, retryInMs: tryAgainMs };
  function unreadable(): never {
    throw new StoreError(failure);
  }
  const committed = (how: 'commit' | 'flush'): Committed => {
    if (real === null && nowMs() - triedMs >= tryAgainMs) {
      triedMs = nowMs();
      const again = open();
      if (again.kind === 'ok') {
        real = again.value;
        opened(real);
      }
    }
    return real?.[how]() ?? notCommitted;
  };
  return {
    path,
    get backup() {
      return real?.backup ?? null;
    },
    beginRun: (header) => real?.beginRun(header) ?? failed,
    continueRun: (runId) => real?.continueRun(runId) ?? failed,
    append: (runId, input, result) => real?.append(runId, input, result),
    commit: () => committed('commit'),
    flush: () => committed('flush'),
    endRun: (runId, outcome, summary) => real?.endRun(runId, outcome, summary) ?? notCommitted,
    checkpoint: (runId, run) => real?.checkpoint(runId, run),
    waiting: () => real?.waiting() ?? nothing,
    close: () => real?.close() ?? { kind: 'ok', decisions: 0, chunks: 0 },
    runs: (filter) => real?.runs(filter) ?? failed,
    openRuns: () => real?.openRuns() ?? failed,
    run: (runId) => real?.run(runId) ?? failed,
    readInputs: (runId, fromScan) => real?.readInputs(runId, fromScan) ?? unreadable(),
    readChunks: (runId, fromScan) => real?.readChunks(runId, fromScan) ?? unreadable(),
    readDecisions: (runId) => real?.readDecisions(runId) ?? unreadable(),
    summaries: (runId) => real?.summaries(runId) ?? unreadable(),
    latestCheckpoint: (runId, notAfterScan) => real?.latestCheckpoint(runId, notAfterScan) ?? failed,
    verify: (runId) => real?.verify(runId) ?? failed,
    thin: (runId, by) => real?.thin(runId, by) ?? failed,
    saveDocument: (kind, id, body, saving) => real?.saveDocument(kind, id, body, saving) ?? failed,
    document: (kind, id, revision) => real?.document(kind, id, revision) ?? failed,
    documents: (kind) => real?.documents(kind) ?? failed,
    revisions: (kind, id) => real?.revisions(kind, id) ?? failed,
  };
}
