import type { DatabaseSync } from 'node:sqlite';
import type { Input } from '../../lib/engine/types';
import type { Checkpoint, Kept, RunDetail, RunEntry, RunFilter } from './contract';
import {
  type DocumentSaving,
  findDocument,
  listDocuments,
  listRevisions,
  type StoredDocument,
  saveDocument,
} from './documents';
import { attempt, guard, type Stored } from './failure';
import {
  detailRun,
  latestCheckpoint,
  listRuns,
  type MinuteSummary,
  type ReadInputs,
  readChunks,
  readDecisions,
  readInputs,
  readSummaries,
} from './run-reader';
import { type Thinned, thinRun } from './thin';
import { type Verified, verifyRun } from './verify';

/** Reading what is in the file, and the few things done to it after a run: thinning, and documents beside the runs. */
export interface Archive {
  /** Latest first. */
  readonly runs: (filter?: RunFilter) => Stored<readonly RunEntry[]>;
  /** Runs without an end: after a restart, those to take up again. */
  readonly openRuns: () => Stored<readonly RunEntry[]>;
  readonly run: (runId: string) => Stored<RunDetail>;
  /** Inputs from a scan on, minute by minute from the file; throws a StoreError where some are thinned or damaged. */
  readonly readInputs: (runId: string, fromScan?: number) => Iterable<Input>;
  /** As `readInputs`, chunk by chunk, with thinned and damaged chunks as data. */
  readonly readChunks: (runId: string, fromScan?: number) => Iterable<ReadInputs>;
  /** Decisions and marks in order; throws a StoreError where one cannot be read. */
  readonly readDecisions: (runId: string) => Iterable<Kept>;
  readonly summaries: (runId: string) => Iterable<MinuteSummary>;
  readonly latestCheckpoint: (runId: string, notAfterScan?: number) => Stored<Checkpoint | null>;
  readonly verify: (runId: string) => Stored<Verified>;
  readonly thin: (runId: string, by: string) => Stored<Thinned>;
  readonly saveDocument: (kind: string, id: string, body: unknown, saving: DocumentSaving) => Stored<StoredDocument>;
  readonly document: (kind: string, id: string, revision?: number) => Stored<StoredDocument | null>;
  readonly documents: (kind: string) => Stored<readonly StoredDocument[]>;
  readonly revisions: (kind: string, id: string) => Stored<readonly StoredDocument[]>;
}

export function archiveOf(path: string, database: DatabaseSync, wallClockMs: () => number): Archive {
  const now = (): number => Math.round(wallClockMs());
  return {
    runs: (filter = {}) => attempt(path, () => listRuns(database, filter)),
    openRuns: () => attempt(path, () => listRuns(database, { open: true })),
    run: (runId) => attempt(path, () => detailRun(database, runId)),
    readInputs: (runId, fromScan = 0) => guard(path, readInputs(database, runId, fromScan)),
    readChunks: (runId, fromScan = 0) => guard(path, readChunks(database, runId, fromScan)),
    readDecisions: (runId) => guard(path, readDecisions(database, runId)),
    summaries: (runId) => guard(path, readSummaries(database, runId)),
    latestCheckpoint: (runId, notAfterScan = Number.MAX_SAFE_INTEGER) =>
      attempt(path, () => latestCheckpoint(database, runId, notAfterScan)),
    verify: (runId) => attempt(path, () => verifyRun(database, runId)),
    thin: (runId, by) => attempt(path, () => thinRun(database, runId, by, now())),
    saveDocument: (kind, id, body, saving) =>
      attempt(path, () => saveDocument(database, kind, id, body, saving, now())),
    document: (kind, id, revision) => attempt(path, () => findDocument(database, kind, id, revision ?? null)),
    documents: (kind) => attempt(path, () => listDocuments(database, kind)),
    revisions: (kind, id) => attempt(path, () => listRevisions(database, kind, id)),
  };
}
