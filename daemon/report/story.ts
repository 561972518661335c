import { referenceHPa } from '../../lib/engine/estimate';
import type { Run } from '../../lib/engine/types';
import { engine } from '../host/restore';
import { type RunSummary, summarise } from '../host/summary';
import {
  type Journal,
  type RunDetail,
  recallRun,
  type Stored,
  StoreError,
  type StoreFailure,
  type Verified,
} from '../store';
import { nothingAfter, readAfterRun, type SavedAfterRun } from './after-run';
import { speedOf, type WallClock, wallClockOf } from './clock';
import { type Beside, type CourseFrom, compareWithOrigin, type HandRun } from './compared-run';
import { type Minute, tellCourse } from './course';
import { type Telling, tellDecisions } from './telling';
import { tellYield, type Yield } from './yield';

export type RecordReader = Pick<
  Journal,
  'run' | 'readDecisions' | 'readInputs' | 'latestCheckpoint' | 'summaries' | 'verify' | 'document' | 'saveDocument'
>;

/** A run as its record tells it, everything people ask of it in one place. */
export interface RunStory {
  readonly run: RunDetail;
  readonly told: Telling;
  readonly wallMs: WallClock;
  /** Seconds into the run; from the first scan where it was never started. */
  readonly intoS: (atS: number) => number;
  readonly lastedS: number;
  /** Times as fast as life; 1 in life. */
  readonly speed: number;
  /** Only stripping and spirit runs give a product. */
  readonly isPotable: boolean;
  readonly referenceHPa: number;
  readonly yield: Yield;
  readonly after: SavedAfterRun;
  /** null where it was not asked for. */
  readonly verified: Verified | null;
  /** Minute by minute; empty where it was not asked for. */
  readonly minutes: readonly Minute[];
  /** Beside the run its recipe came from; none where it was not asked for. */
  readonly beside: Beside;
  /** What of the record could not be read: the story is told without it. */
  readonly damage: readonly StoreFailure[];
}

export interface StoryAsk {
  /** Walk along the hash chain. */
  readonly verify?: boolean;
  readonly minutes?: boolean;
  /** Compare with the run the recipe came from. */
  readonly compare?: CourseFrom;
  readonly handRun?: HandRun;
}

/** Reads a run; what is damaged beside it is told in the story, a header that cannot be read is a failure. */
export function readStory(journal: RecordReader, runId: string, ask: StoryAsk = {}): Stored<RunStory> {
  const found = journal.run(runId);
  if (found.kind === 'failed') return found;
  const run = found.value;
  const damage: StoreFailure[] = [];
  const decisions = collect(journal.readDecisions(runId), damage);
  const told = tellDecisions(decisions);
  const startS = told.startedS ?? run.initial.now;
  const after = take(readAfterRun(journal, runId), damage) ?? nothingAfter;
  if (run.damaged) damage.push(damagedSummary(runId));
  const summary = summaryOf(run.summary) ?? summaryOfOpen(journal, run, damage);
  const reference = referenceHPa(run.plant);
  return {
    kind: 'ok',
    value: {
      run,
      told,
      wallMs: wallClockOf(run, decisions),
      intoS: (atS) => atS - startS,
      lastedS: summary?.lastedS ?? Math.max(0, (run.lastS ?? startS) - startS),
      speed: speedOf(run.about),
      isPotable: isPotable(run.kind),
      referenceHPa: reference,
      yield: tellYield(run.plant.charge, summary, after.content),
      after,
      verified: ask.verify === true ? take(journal.verify(runId), damage) : null,
      minutes: ask.minutes === true ? collect(tellCourse(run.plant, journal.summaries(runId), reference), damage) : [],
      beside: ask.compare === undefined ? { kind: 'none' } : compareWithOrigin(journal, run, ask.compare, ask.handRun),
      damage,
    },
  };
}

function take<T>(stored: Stored<T>, damage: StoreFailure[]): T | null {
  if (stored.kind === 'ok') return stored.value;
  damage.push(stored.failure);
  return null;
}

function damagedSummary(runId: string): StoreFailure {
  const remedy = 'Its decisions and readings are looked at all the same; a replay tells what it came to';
  return { kind: 'damaged', message: `the summary of run ${runId} in the journal cannot be read any more`, remedy };
}

/** Everything up to the first that cannot be read. */
function collect<T>(items: Iterable<T>, damage: StoreFailure[]): readonly T[] {
  const all: T[] = [];
  try {
    for (const item of items) all.push(item);
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
    damage.push(error.failure);
  }
  return all;
}

/** Only stripping and spirit runs give a product; of a run without a recipe nothing is known. */
export const isPotable = (kind: string): boolean => kind === 'spirit' || kind === 'stripping';

/** The summary a run ended with; null for one that has none or another form of it. */
export function summaryOf(summary: unknown): RunSummary | null {
  const one = summary as RunSummary | null;
  return one !== null && typeof one === 'object' && Array.isArray(one.fractions) ? one : null;
}

/** A run without an end has no summary yet: what it has come to so far. */
function summaryOfOpen(journal: RecordReader, run: RunDetail, damage: StoreFailure[]): RunSummary | null {
  if (run.outcome !== null) return null;
  const recalled: Run | null = take(recallRun(journal, run.runId, engine), damage);
  return recalled === null ? null : summarise(run.plant, recalled);
}
