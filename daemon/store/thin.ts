import type { DatabaseSync } from 'node:sqlite';
import { writeExactJson } from '../../lib/record';
import { linkDecision } from './chain';
import type { Mark } from './contract';
import { transact } from './database';
import { fail } from './failure';
import { findRun } from './run-reader';

export interface Thinned {
  readonly readings: number;
  /** Freed in the file [bytes]. */
  readonly bytes: number;
}

/**
 * Drops the readings of an ended run on purpose. Decisions, minute summaries and the chain stay; a mark says who did it;
 * the run can no longer be replayed.
 */
export function thinRun(database: DatabaseSync, runId: string, by: string, atMs: number): Thinned {
  const thinned = transact(database, () => {
    const row = findRun(database, runId);
    const number = Number(row.number);
    if (row.outcome === null) fail('conflict', `the run ${runId} is still open`, 'End it first');
    const { readings, bytes } = database
      .prepare(`
        SELECT coalesce(sum(readings), 0) AS readings, coalesce(sum(length(bytes)), 0) AS bytes
        FROM chunks JOIN readings ON readings.chunk = chunks.number WHERE run = ?`)
      .get(number) as { readings: number; bytes: number };
    if (readings === 0) return { readings, bytes };
    database.prepare('DELETE FROM readings WHERE chunk IN (SELECT number FROM chunks WHERE run = ?)').run(number);
    const mark: Mark = { mark: 'thinned', atMs, by, readings };
    const [links, seq] = [Number(row.links) + 1, Number(row.decisions)];
    const body = writeExactJson(mark);
    const head = linkDecision(row.head as Uint8Array, { seq, scan: Number(row.scans), kind: 'mark', body });
    database
      .prepare('INSERT INTO decisions (run, seq, scan, link, chain, kind, body) VALUES (?, ?, ?, ?, ?, ?, ?)')
      .run(number, seq, Number(row.scans), links, head, 'mark', body);
    database
      .prepare('UPDATE runs SET thinned = 1, decisions = ?, links = ?, head = ? WHERE number = ?')
      .run(seq + 1, links, head, number);
    return { readings, bytes };
  });
  // Gives the room back to the disk; the pages were freed by the transaction.
  database.prepare('PRAGMA incremental_vacuum').all();
  return thinned;
}
