import { randomUUID } from 'node:crypto';
import type { Input, Run } from '../../lib/engine/types';
import { contentHash, writeExactJson } from '../../lib/record';
import { type Archive, archiveOf } from './archive';
import { type ChunkRow, endDigest, genesisOf, type HeaderRow } from './chain';
import { commit, type Desk, waitingOf } from './commit';
import type { Committed, JournalOptions, RunHeader, ScanOutcome, Waiting } from './contract';
import { openDatabase, transact } from './database';
import { attempt, fail, type Stored } from './failure';
import { migrations } from './migrations';
import type { Position } from './position';
import { chunksOf, findRun } from './run-reader';
import { RunWriter } from './run-writer';
import { prepareStatements } from './statements';

/** What a daemon does with the journal: write runs, several at once, and read (see `Archive`). */
export interface Journal extends Archive {
  readonly path: string;
  /** The copy made before the file was migrated on opening; null where nothing was. */
  readonly backup: string | null;
  /** Writes down what the run is; before this succeeds nothing may be appended, and nothing should be hot. */
  readonly beginRun: (header: RunHeader) => Stored<null>;
  /** Takes over the writing of a run that an earlier process left open: `takeUpRun` does it and gives the state to go on from. */
  readonly continueRun: (runId: string) => Stored<null>;
  /** Remembers a scan. Nothing is written before `commit`. */
  readonly append: (runId: string, input: Input, result: ScanOutcome) => void;
  /**
   * One transaction for all runs: every decision with the tail of its open minute, and readings older than the flush period.
   * Call it every turn, before commands leave; it does nothing where nothing is due.
   */
  readonly commit: () => Committed;
  /** As `commit`, with every reading too. */
  readonly flush: () => Committed;
  readonly endRun: (runId: string, outcome: string, summary: unknown) => Committed;
  /** Remembers the state after the last appended scan; written with the next commit. */
  readonly checkpoint: (runId: string, run: Run) => void;
  /** What is not yet in the file. */
  readonly waiting: () => Waiting;
  /** Writes what waits and closes the file; what could not be written is told, and lost. */
  readonly close: () => Committed;
}

const defaults = {
  readOnly: false,
  flushS: 5,
  busyTimeoutMs: 500,
  check: 'quick',
  maxQueuedBytes: 16 * 1024 * 1024,
  maxQueuedDecisions: 20_000,
  keepCheckpoints: 3,
  clockMs: () => performance.now(),
  wallClockMs: () => Date.now(),
} as const;

function headerRowOf({ runId, plant, initial, startedAtMs, about }: RunHeader): HeaderRow {
  return {
    id: runId,
    still: plant.still.id,
    kind: plant.recipe?.kind ?? 'free',
    recipe: plant.recipe?.name ?? null,
    variant: plant.variant,
    recipeHash: plant.recipe === null ? null : contentHash(plant.recipe),
    startedAtMs: Math.round(startedAtMs),
    plant: writeExactJson(plant),
    initial: writeExactJson(initial),
    about: writeExactJson(about ?? {}),
  };
}

function begin(desk: Desk, header: RunHeader): void {
  const row = headerRowOf(header);
  const [genesis, writer] = [genesisOf(row), randomUUID()];
  const number = transact(desk.database, () => {
    if (desk.database.prepare('SELECT 1 FROM runs WHERE id = ?').get(row.id) !== undefined) {
      fail('exists', `there is a run ${row.id} in the journal already`, 'Give the new run another name');
    }
    return desk.statements.begin(row, genesis, writer);
  });
  const nothing = { links: 0, decisions: 0, chunks: 0, scans: 0, readings: 0, restarts: 0, points: [] };
  desk.writers.set(row.id, new RunWriter(row.id, { number, writer, head: genesis, ...nothing }));
}

/** Where an open run stands in the file, and the chunk its last writer left open. */
function takeOver(desk: Desk, runId: string): { readonly position: Position; readonly open: ChunkRow | undefined } {
  const row = findRun(desk.database, runId);
  if (row.outcome !== null) fail('conflict', `the run ${runId} has ended (${String(row.outcome)})`, 'Start a new run');
  const number = Number(row.number);
  const writer = randomUUID();
  desk.statements.takeOver(number, writer);
  const last = desk.database.prepare('SELECT coalesce(max(seq), -1) AS seq FROM chunks WHERE run = ?').get(number);
  const chunks = Number(last?.seq ?? -1) + 1;
  const position: Position = {
    number,
    writer,
    links: Number(row.links),
    head: row.head as Uint8Array,
    decisions: Number(row.decisions),
    chunks,
    scans: Number(row.scans),
    readings: Number(row.readings),
    restarts: Number(row.restarts) + 1,
    points: JSON.parse(String(row.points)) as readonly string[],
  };
  const open = [...chunksOf(desk.database, number, chunks - 1)].find((chunk) => chunk.link === null);
  return { position, open };
}

function continueRun(desk: Desk, runId: string): void {
  const { position, open } = transact(desk.database, () => takeOver(desk, runId));
  const writer = new RunWriter(runId, position);
  if (open !== undefined) writer.adopt(open);
  writer.mark({ mark: 'continued', atMs: Math.round(desk.options.wallClockMs()) }, desk.bounds);
  desk.fenced.delete(runId);
  desk.writers.set(runId, writer);
}

function writerOf(desk: Desk, runId: string): RunWriter {
  const writer = desk.writers.get(runId) ?? desk.fenced.get(runId);
  if (writer === undefined) throw new Error(`the run ${runId} was not begun or continued in this journal`);
  if (writer.ending !== null) throw new Error(`the run ${runId} has ended`);
  return writer;
}

function endRun(desk: Desk, runId: string, outcome: string, summary: unknown): Committed {
  const writer = writerOf(desk, runId);
  const json = writeExactJson(summary);
  const atMs = Math.round(desk.options.wallClockMs());
  writer.end(
    { outcome, summary: json, endedAtMs: atMs },
    { mark: 'ended', atMs, digest: endDigest(outcome, json) },
    desk.bounds,
  );
  return commit(desk, true);
}

function close(desk: Desk): Committed {
  const committed: Committed = desk.options.readOnly ? { kind: 'ok', decisions: 0, chunks: 0 } : commit(desk, true);
  if (!desk.options.readOnly)
    attempt(desk.path, () => desk.database.exec('PRAGMA optimize; PRAGMA wal_checkpoint(TRUNCATE)'));
  desk.database.close();
  return committed;
}

function journalOf(desk: Desk, backup: string | null): Journal {
  const { path, database, options, bounds } = desk;
  const alone = (work: () => void): Stored<null> =>
    attempt(path, () => {
      work();
      return null;
    });
  return {
    path,
    backup,
    ...archiveOf(path, database, options.wallClockMs),
    beginRun: (header) => alone(() => begin(desk, header)),
    continueRun: (runId) => alone(() => continueRun(desk, runId)),
    append: (runId, input, result) => writerOf(desk, runId).append(input, result, options.clockMs(), bounds),
    commit: () => commit(desk, false),
    flush: () => commit(desk, true),
    endRun: (runId, outcome, summary) => endRun(desk, runId, outcome, summary),
    checkpoint: (runId, run) => writerOf(desk, runId).checkpoint(run, options.clockMs()),
    waiting: () => waitingOf(desk),
    close: () => close(desk),
  };
}

/**
 * Opens the journal, making the file where there is none. See `contract.ts` for what goes in and comes out.
 *
 * Failures of the store come back as data. What could not be written stays in memory, within bounds, and is tried again at
 * later commits; beyond the bounds the oldest readings go first, and the record says so.
 * @param path file, or `:memory:`
 */
export function openJournal(path: string, options: JournalOptions = {}): Stored<Journal> {
  const all = { ...defaults, ...options };
  const { readOnly, busyTimeoutMs, check, maxBytes = null } = all;
  const opened = openDatabase(path, { migrations, readOnly, busyTimeoutMs, maxBytes, check });
  if (opened.kind === 'failed') return opened;
  const { database, backup } = opened.value;
  const prepared = attempt(path, () => prepareStatements(database, all.keepCheckpoints));
  if (prepared.kind === 'failed') {
    database.close();
    return prepared;
  }
  const desk: Desk = {
    path,
    database,
    options: all,
    statements: prepared.value,
    bounds: { bytes: all.maxQueuedBytes, decisions: all.maxQueuedDecisions },
    writers: new Map(),
    fenced: new Map(),
    trouble: null,
  };
  return { kind: 'ok', value: journalOf(desk, backup) };
}
