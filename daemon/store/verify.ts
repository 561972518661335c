import type { DatabaseSync } from 'node:sqlite';
import { readExactJson } from '../../lib/record';
import { endDigest, genesisOf, linkChunk, linkDecision, sameBytes, unpackInputs } from './chain';
import type { Mark } from './contract';
import { chunkOf, headerOf, type StoredChunk } from './rows';
import { findRun } from './run-reader';
import type { Row } from './statements';

export type Verified =
  | {
      readonly kind: 'whole';
      readonly links: number;
      /** To compare with one kept elsewhere, hexadecimal. */
      readonly head: string;
      readonly thinned: boolean;
      /** Readings that a failing store could not keep, as a mark in the record says. */
      readonly lost: boolean;
    }
  | {
      readonly kind: 'broken';
      /** Number of the first link that does not hold; 0 for the header of the run. */
      readonly link: number;
      readonly what: 'header' | 'chunk' | 'decision' | 'end';
      readonly seq: number | null;
      readonly message: string;
    };

type Broken = Extract<Verified, { kind: 'broken' }>;
type Link = { readonly what: 'chunk'; readonly chunk: StoredChunk } | { readonly what: 'decision'; readonly row: Row };

const linkOf = (link: Link | undefined): number =>
  link === undefined ? Number.POSITIVE_INFINITY : Number(link.what === 'chunk' ? link.chunk.link : link.row.link);

/** Chunks and decisions of a run in the order of their links, then the minute that is still open. */
function* linksOf(database: DatabaseSync, run: number): Generator<Link> {
  const chunks = database
    .prepare(`SELECT chunks.*, bytes FROM chunks LEFT JOIN readings ON readings.chunk = chunks.number
      WHERE run = ? ORDER BY link IS NULL, link, seq`)
    .iterate(run);
  const decisions = database.prepare('SELECT * FROM decisions WHERE run = ? ORDER BY link').iterate(run);
  const nextChunk = (): Link | undefined => {
    const { value, done } = chunks.next();
    return done === true ? undefined : { what: 'chunk', chunk: chunkOf(value as Row) };
  };
  const nextDecision = (): Link | undefined => {
    const { value, done } = decisions.next();
    return done === true ? undefined : { what: 'decision', row: value as Row };
  };
  let [chunk, decision] = [nextChunk(), nextDecision()];
  while (chunk !== undefined || decision !== undefined) {
    const isOpen = chunk?.what === 'chunk' && chunk.chunk.link === null;
    if (chunk !== undefined && (decision === undefined || (!isOpen && linkOf(chunk) <= linkOf(decision)))) {
      yield chunk;
      chunk = nextChunk();
    } else if (decision !== undefined) {
      yield decision;
      decision = nextDecision();
    }
  }
}

/** What is wrong with the readings of a chunk; null where nothing is. */
function complaintOf(chunk: StoredChunk, nextScan: number): string | null {
  if (chunk.firstScan !== nextScan) return `begins with scan ${chunk.firstScan} where ${nextScan} was due`;
  if (chunk.bytes === null) return null;
  const read = unpackInputs(chunk.bytes, chunk.digest);
  if (read.kind === 'damaged') return read.message;
  return read.inputs.length === chunk.scans
    ? null
    : `holds ${read.inputs.length} scans where ${chunk.scans} are stated`;
}

function markOf(row: Row): Mark | null {
  if (row.kind !== 'mark') return null;
  try {
    return readExactJson(String(row.body)) as Mark;
  } catch {
    return null;
  }
}

/** What the walk along the chain has seen so far. */
interface Walk {
  link: number;
  head: Uint8Array;
  nextScan: number;
  withoutBytes: number | null;
  readonly marks: Map<Mark['mark'], Mark>;
}

function step(walk: Walk, link: Link): Broken | null {
  const seq = link.what === 'chunk' ? link.chunk.seq : Number(link.row.seq);
  const broken = (message: string): Broken => ({ kind: 'broken', link: walk.link + 1, what: link.what, seq, message });
  if (link.what === 'chunk') {
    const complaint = complaintOf(link.chunk, walk.nextScan);
    if (complaint !== null) return broken(complaint);
    walk.nextScan += link.chunk.scans;
    if (link.chunk.link === null) return null;
    if (link.chunk.bytes === null) walk.withoutBytes ??= walk.link + 1;
  } else {
    const mark = markOf(link.row);
    if (mark !== null) walk.marks.set(mark.mark, mark);
  }
  if (linkOf(link) !== walk.link + 1) return broken(`link ${walk.link + 1} is missing`);
  const chain = link.what === 'chunk' ? link.chunk.chain : (link.row.chain as Uint8Array);
  const { row } = link.what === 'decision' ? link : { row: null };
  const should =
    link.what === 'chunk'
      ? linkChunk(walk.head, link.chunk)
      : linkDecision(walk.head, { seq, scan: Number(row?.scan), kind: String(row?.kind), body: String(row?.body) });
  if (chain === null || !sameBytes(should, chain))
    return broken(`${link.what} ${seq} was changed after it was written`);
  walk.link += 1;
  walk.head = should;
  return null;
}

function checkEnd(row: Row, walk: Walk): Broken | null {
  const broken = (message: string): Broken => ({ kind: 'broken', link: walk.link, what: 'end', seq: null, message });
  if (walk.link !== Number(row.links) || !sameBytes(walk.head, row.head as Uint8Array)) {
    return broken(`the record ends after link ${walk.link}, and ${Number(row.links)} were written`);
  }
  if (walk.nextScan !== Number(row.scans))
    return broken(`the record holds ${walk.nextScan} scans, and ${Number(row.scans)} were written`);
  const ended = walk.marks.get('ended');
  const says = row.outcome === null ? null : endDigest(String(row.outcome), String(row.summary));
  if ((ended?.mark === 'ended' ? ended.digest : null) !== says)
    return broken('the outcome or summary of the run was changed');
  if (walk.withoutBytes !== null && !walk.marks.has('thinned') && !walk.marks.has('lost')) {
    return { ...broken('readings are missing, and no mark says why'), link: walk.withoutBytes };
  }
  return null;
}

/**
 * Walks the chain of a run: every header, reading, summary and decision is as it was written, in its order, and none is missing.
 * @returns whole, or the first link that does not hold
 */
export function verifyRun(database: DatabaseSync, runId: string): Verified {
  const row = findRun(database, runId);
  const genesis = genesisOf(headerOf(row));
  if (!sameBytes(genesis, row.genesis as Uint8Array)) {
    return {
      kind: 'broken',
      link: 0,
      what: 'header',
      seq: null,
      message: 'the still, recipe, charge or start of the run was changed',
    };
  }
  const walk: Walk = { link: 0, head: genesis, nextScan: 0, withoutBytes: null, marks: new Map() };
  for (const link of linksOf(database, Number(row.number))) {
    const broken = step(walk, link);
    if (broken !== null) return broken;
  }
  const broken = checkEnd(row, walk);
  if (broken !== null) return broken;
  const head = Buffer.from(walk.head).toString('hex');
  return { kind: 'whole', links: walk.link, head, thinned: walk.marks.has('thinned'), lost: walk.marks.has('lost') };
}
