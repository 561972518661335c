import { inflateRawSync } from 'node:zlib';
import type { Plant, Run } from '../../lib/engine/types';
import { type Decision, readExactJson } from '../../lib/record';
import type { ChunkRow, HeaderRow } from './chain';
import type { Checkpoint, Kept, Mark, RunDetail, RunEntry } from './contract';
import { damagedRemedy, fail } from './failure';
import type { Row } from './statements';

const text = (row: Row, column: string): string => String(row[column]);
const textOrNull = (row: Row, column: string): string | null => (row[column] === null ? null : String(row[column]));
const whole = (row: Row, column: string): number => Number(row[column]);
const numberOrNull = (row: Row, column: string): number | null => (row[column] === null ? null : Number(row[column]));
const bytes = (row: Row, column: string): Uint8Array => {
  const value = row[column];
  return value instanceof Uint8Array ? value : new Uint8Array(0);
};

/** JSON from the file; text that is none any more is damage. */
export function jsonOf(json: string, what: string): unknown {
  try {
    return readExactJson(json);
  } catch {
    return fail('damaged', `${what} in the journal cannot be read any more`, damagedRemedy);
  }
}

const entryColumns = `number, id, still, kind, recipe, variant, recipe_hash, started_at_ms, ended_at_ms, outcome,
  scans, readings, decisions, last_s, head, links, thinned, lost`;
export const runColumns = `${entryColumns}, summary`;
/** Where the summary lies on a damaged page: all of the run that stands before it. */
export const runColumnsLeft = `${entryColumns}, '?' AS summary`;

/** One damaged run must not hide the others: its summary is missing, and it says so. */
function summaryIn(row: Row): Pick<RunEntry, 'summary' | 'damaged'> {
  const summary = textOrNull(row, 'summary');
  try {
    return { summary: summary === null ? null : readExactJson(summary), damaged: false };
  } catch {
    return { summary: null, damaged: true };
  }
}

export function entryOf(row: Row): RunEntry {
  const [thinned, lost] = [whole(row, 'thinned') !== 0, whole(row, 'lost') !== 0];
  return {
    runId: text(row, 'id'),
    still: text(row, 'still'),
    kind: text(row, 'kind'),
    recipe: textOrNull(row, 'recipe'),
    variant: textOrNull(row, 'variant'),
    recipeHash: textOrNull(row, 'recipe_hash'),
    startedAtMs: whole(row, 'started_at_ms'),
    endedAtMs: numberOrNull(row, 'ended_at_ms'),
    outcome: textOrNull(row, 'outcome'),
    ...summaryIn(row),
    scans: whole(row, 'scans'),
    readings: whole(row, 'readings'),
    decisions: whole(row, 'decisions'),
    lastS: numberOrNull(row, 'last_s'),
    head: Buffer.from(bytes(row, 'head')).toString('hex'),
    links: whole(row, 'links'),
    replayable: !thinned && !lost,
    thinned,
    lost,
  };
}

export function detailOf(row: Row): RunDetail {
  const of = `of run ${text(row, 'id')}`;
  return {
    ...entryOf(row),
    plant: jsonOf(text(row, 'plant'), `the plant ${of}`) as Plant,
    initial: jsonOf(text(row, 'initial'), `the start ${of}`) as Run,
    about: jsonOf(text(row, 'about'), `the header ${of}`) as Readonly<Record<string, unknown>>,
  };
}

export function headerOf(row: Row): HeaderRow {
  return {
    id: text(row, 'id'),
    still: text(row, 'still'),
    kind: text(row, 'kind'),
    recipe: textOrNull(row, 'recipe'),
    variant: textOrNull(row, 'variant'),
    recipeHash: textOrNull(row, 'recipe_hash'),
    startedAtMs: whole(row, 'started_at_ms'),
    plant: text(row, 'plant'),
    initial: text(row, 'initial'),
    about: text(row, 'about'),
  };
}

export interface StoredChunk extends ChunkRow {
  /** null while the minute is open. */
  readonly link: number | null;
  readonly chain: Uint8Array | null;
}

export function chunkOf(row: Row): StoredChunk {
  return {
    seq: whole(row, 'seq'),
    firstScan: whole(row, 'first_scan'),
    scans: whole(row, 'scans'),
    readings: whole(row, 'readings'),
    fromS: numberOrNull(row, 'from_s'),
    toS: numberOrNull(row, 'to_s'),
    digest: bytes(row, 'digest'),
    summary: bytes(row, 'summary'),
    bytes: row.bytes === null ? null : bytes(row, 'bytes'),
    link: numberOrNull(row, 'link'),
    chain: row.chain === null ? null : bytes(row, 'chain'),
  };
}

export function keptOf(row: Row): Kept {
  const place = { seq: whole(row, 'seq'), scan: whole(row, 'scan') };
  const body = jsonOf(text(row, 'body'), `decision ${place.seq}`);
  return text(row, 'kind') === 'mark'
    ? { ...place, kind: 'mark', mark: body as Mark }
    : { ...place, kind: 'decision', decision: body as Decision };
}

export function checkpointOf(row: Row): Checkpoint {
  const scan = whole(row, 'scan');
  let state: string;
  try {
    state = inflateRawSync(bytes(row, 'state')).toString('utf8');
  } catch {
    return fail('damaged', `the checkpoint after scan ${scan} cannot be read any more`, damagedRemedy);
  }
  return { scan, restarts: whole(row, 'restarts'), run: jsonOf(state, `the checkpoint after scan ${scan}`) as Run };
}
