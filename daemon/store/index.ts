export type { Archive } from './archive';
export type {
  Checkpoint,
  Committed,
  JournalOptions,
  Kept,
  Mark,
  RunDetail,
  RunEntry,
  RunFilter,
  RunHeader,
  ScanOutcome,
  Waiting,
} from './contract';
export type { DocumentSaving, StoredDocument } from './documents';
export { type FailureKind, type Stored, StoreError, type StoreFailure, valueOrThrow } from './failure';
export { type Journal, openJournal } from './journal';
export { type Engine, recallRun, replayRun, rescanRun, takeUpRun } from './replay';
export type { MinuteSummary, ReadInputs } from './run-reader';
export type { Thinned } from './thin';
export type { Verified } from './verify';
