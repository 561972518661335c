import type { DatabaseSync } from 'node:sqlite';
import type { Input } from '../../lib/engine/types';
import { decodeSummaries, type PointSummary } from '../../lib/record';
import { unpackInputs } from './chain';
import type { Checkpoint, Kept, RunDetail, RunEntry, RunFilter } from './contract';
import { damagedRemedy, fail } from './failure';
import {
  checkpointOf,
  chunkOf,
  detailOf,
  entryOf,
  jsonOf,
  keptOf,
  runColumns,
  runColumnsLeft,
  type StoredChunk,
} from './rows';
import type { Row } from './statements';

export interface MinuteSummary {
  readonly fromS: number;
  readonly toS: number;
  readonly points: readonly PointSummary[];
}

/** Inputs of one chunk, or why there are none. */
export type ReadInputs =
  | { readonly kind: 'ok'; readonly firstScan: number; readonly inputs: readonly Input[] }
  | { readonly kind: 'thinned'; readonly firstScan: number; readonly scans: number }
  | { readonly kind: 'damaged'; readonly firstScan: number; readonly scans: number; readonly message: string };

const like = (text: string): string => `%${text.replaceAll(/[\\%_]/g, (character) => `\\${character}`)}%`;

/** Conditions and their values, from what a filter names. */
function conditionsOf(filter: RunFilter): { readonly sql: string; readonly values: readonly (string | number)[] } {
  const parts: [string, ...(string | number)[]][] = [];
  if (filter.still !== undefined) parts.push(['still = ?', filter.still]);
  if (filter.recipe !== undefined) parts.push(['recipe = ?', filter.recipe]);
  if (filter.recipeHash !== undefined) parts.push(['recipe_hash = ?', filter.recipeHash]);
  if (filter.kind !== undefined) parts.push(['kind = ?', filter.kind]);
  if (filter.outcome !== undefined) parts.push(['outcome = ?', filter.outcome]);
  if (filter.open !== undefined) parts.push([filter.open ? 'outcome IS NULL' : 'outcome IS NOT NULL']);
  if (filter.sinceMs !== undefined) parts.push(['started_at_ms >= ?', filter.sinceMs]);
  if (filter.untilMs !== undefined) parts.push(['started_at_ms < ?', filter.untilMs]);
  if (filter.text !== undefined) {
    const found = ['id', 'recipe', 'variant', 'outcome', 'summary'].map((column) => `${column} LIKE ?1 ESCAPE '\\'`);
    parts.unshift([`(${found.join(' OR ')})`, like(filter.text)]);
  }
  const sql = parts.length === 0 ? '' : `WHERE ${parts.map(([condition]) => condition).join(' AND ')}`;
  return { sql, values: parts.flatMap(([, ...values]) => values) };
}

/** Latest first. Where the rows cannot be read at once, each is read by itself, and what is damaged is marked. */
export function listRuns(database: DatabaseSync, filter: RunFilter): readonly RunEntry[] {
  const { sql, values } = conditionsOf(filter);
  const select = (columns: string) =>
    database
      .prepare(`SELECT ${columns} FROM runs ${sql} ORDER BY started_at_ms DESC, number DESC LIMIT ? OFFSET ?`)
      .all(...values, filter.limit ?? -1, filter.offset ?? 0);
  try {
    return select(runColumns).map(entryOf);
  } catch (error) {
    if (!isDamage(error)) throw error;
  }
  const one = (columns: string) => database.prepare(`SELECT ${columns} FROM runs WHERE number = ?`);
  const [whole, left] = [one(runColumns), one(runColumnsLeft)];
  return select('number').flatMap(({ number }) => {
    const row = tryRow(() => whole.get(number ?? 0)) ?? tryRow(() => left.get(number ?? 0));
    return row === undefined ? [] : [entryOf(row)];
  });
}

/** By SQLite's primary result code: the file is damaged (sqlite.org/rescode.html#corrupt). */
const corruptCode = 11;

function isDamage(error: unknown): boolean {
  return error instanceof Error && 'errcode' in error && (Number(error.errcode) & 0xff) === corruptCode;
}

function tryRow(read: () => Row | undefined): Row | undefined {
  try {
    return read();
  } catch (error) {
    if (!isDamage(error)) throw error;
    return undefined;
  }
}

export function findRun(database: DatabaseSync, runId: string): Row {
  const row = database.prepare('SELECT * FROM runs JOIN plants ON plants.run = runs.number WHERE id = ?').get(runId);
  return row ?? fail('unknown-run', `there is no run ${runId} in the journal`, 'List the runs to see their names');
}

export const detailRun = (database: DatabaseSync, runId: string): RunDetail => detailOf(findRun(database, runId));

const pageSizes = { chunks: 64, decisions: 256, summaries: 256 } as const;
const pageQueries = {
  chunks: `SELECT chunks.*, bytes FROM chunks LEFT JOIN readings ON readings.chunk = chunks.number`,
  decisions: 'SELECT seq, scan, kind, body FROM decisions',
  summaries: 'SELECT seq, from_s, to_s, summary FROM chunks',
} as const;

/**
 * Rows of a run page by page: nothing is held open while the reader takes its time, and the writer is not in its way. Where a page cannot be
 * read, its rows are given one by one up to the one that is damaged.
 */
function* pages(database: DatabaseSync, what: keyof typeof pageQueries, run: number, from: number): Generator<Row> {
  const page = database.prepare(`${pageQueries[what]} WHERE run = ? AND seq >= ? ORDER BY seq LIMIT ?`);
  let size: number = pageSizes[what];
  for (let next = from; ; ) {
    let rows: readonly Row[];
    try {
      rows = page.all(run, next, size);
    } catch (error) {
      if (size === 1) throw error;
      size = 1;
      continue;
    }
    yield* rows;
    const last = rows.at(-1);
    if (last === undefined || rows.length < size) return;
    next = Number(last.seq) + 1;
  }
}

export function* chunksOf(database: DatabaseSync, run: number, fromSeq = 0): Generator<StoredChunk> {
  for (const row of pages(database, 'chunks', run, fromSeq)) yield chunkOf(row);
}

/** Inputs of a run chunk by chunk, from the one that holds a scan on. */
export function* readChunks(database: DatabaseSync, runId: string, fromScan: number): Generator<ReadInputs> {
  const run = Number(findRun(database, runId).number);
  // From the start nothing has to be looked for, and damage further on does not matter.
  const holding =
    fromScan === 0
      ? { seq: 0 }
      : database.prepare('SELECT max(seq) AS seq FROM chunks WHERE run = ? AND first_scan <= ?').get(run, fromScan);
  for (const { firstScan, scans, bytes, digest } of chunksOf(database, run, Number(holding?.seq ?? 0))) {
    if (bytes === null) {
      yield { kind: 'thinned', firstScan, scans };
      continue;
    }
    const read = unpackInputs(bytes, digest);
    if (read.kind === 'ok') yield { kind: 'ok', firstScan, inputs: read.inputs };
    else yield { kind: 'damaged', firstScan, scans, message: read.message };
  }
}

/** Inputs of a run from a scan on; stops with a StoreError where they are thinned or damaged, rather than pass them over. */
export function* readInputs(database: DatabaseSync, runId: string, fromScan: number): Generator<Input> {
  for (const chunk of readChunks(database, runId, fromScan)) {
    if (chunk.kind === 'thinned') {
      fail(
        'not-replayable',
        `the readings of run ${runId} from scan ${chunk.firstScan} on were dropped`,
        'Its decisions and minute summaries are still there',
      );
    }
    if (chunk.kind === 'damaged') {
      fail(
        'damaged',
        `the readings of run ${runId} from scan ${chunk.firstScan} on are damaged: ${chunk.message}`,
        damagedRemedy,
      );
    }
    const skip = Math.max(0, fromScan - chunk.firstScan);
    yield* skip === 0 ? chunk.inputs : chunk.inputs.slice(skip);
  }
}

export function* readDecisions(database: DatabaseSync, runId: string): Generator<Kept> {
  const run = Number(findRun(database, runId).number);
  for (const row of pages(database, 'decisions', run, 0)) yield keptOf(row);
}

export function* readSummaries(database: DatabaseSync, runId: string): Generator<MinuteSummary> {
  const row = findRun(database, runId);
  const points = jsonOf(String(row.points), `the points of run ${runId}`) as readonly string[];
  for (const chunk of pages(database, 'summaries', Number(row.number), 0)) {
    const summary = chunk.summary instanceof Uint8Array ? decodeSummaries(chunk.summary, points) : null;
    if (summary === null) fail('damaged', `a minute summary of run ${runId} is damaged`, damagedRemedy);
    yield { fromS: Number(chunk.from_s), toS: Number(chunk.to_s), points: summary };
  }
}

export function latestCheckpoint(database: DatabaseSync, runId: string, notAfterScan: number): Checkpoint | null {
  const run = Number(findRun(database, runId).number);
  const row = database
    .prepare('SELECT * FROM checkpoints WHERE run = ? AND scan <= ? ORDER BY scan DESC LIMIT 1')
    .get(run, notAfterScan);
  return row === undefined ? null : checkpointOf(row);
}
