import type { DatabaseSync, SQLOutputValue } from 'node:sqlite';
import type { ChunkRow, DecisionRow, HeaderRow } from './chain';
import type { CheckpointRow, Ending, Position } from './position';

export type Row = Readonly<Record<string, SQLOutputValue>>;

/** The statements that write a run. */
export interface Statements {
  readonly begin: (header: HeaderRow, genesis: Uint8Array, writer: string) => number;
  readonly writeChunk: (run: number, chunk: ChunkRow, link: number | null, chain: Uint8Array | null) => void;
  readonly writeDecision: (run: number, decision: DecisionRow, link: number, chain: Uint8Array) => void;
  readonly writeCheckpoint: (run: number, checkpoint: CheckpointRow) => void;
  readonly writePoints: (run: number, points: readonly string[]) => void;
  readonly writePosition: (position: Position, lastS: number | null, lost: boolean, ending: Ending | null) => void;
  /** Whether a run is still this writer's, and no other process has taken it over. */
  readonly isOurs: (run: number, writer: string) => boolean;
  readonly takeOver: (run: number, writer: string) => void;
}

function headerStatement(database: DatabaseSync): Statements['begin'] {
  const run = database.prepare(`
    INSERT INTO runs (id, still, kind, recipe, variant, recipe_hash, started_at_ms, genesis, head, writer)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`);
  const plant = database.prepare('INSERT INTO plants (run, plant, initial, about, points) VALUES (?, ?, ?, ?, ?)');
  return (header, genesis, writer) => {
    const { id, still, kind, recipe, variant, recipeHash, startedAtMs } = header;
    const inserted = run.run(id, still, kind, recipe, variant, recipeHash, startedAtMs, genesis, genesis, writer);
    const number = Number(inserted.lastInsertRowid);
    plant.run(number, header.plant, header.initial, header.about, '[]');
    return number;
  };
}

function chunkStatement(database: DatabaseSync): Statements['writeChunk'] {
  const chunk = database.prepare(`
    INSERT INTO chunks (run, seq, first_scan, scans, readings, from_s, to_s, link, chain, digest, summary)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
    ON CONFLICT (run, seq) DO UPDATE SET
      scans = excluded.scans, readings = excluded.readings, from_s = excluded.from_s, to_s = excluded.to_s,
      link = excluded.link, chain = excluded.chain, digest = excluded.digest, summary = excluded.summary
    WHERE chunks.link IS NULL
    RETURNING number`);
  const keep = database.prepare('INSERT OR REPLACE INTO readings (chunk, bytes) VALUES (?, ?)');
  const drop = database.prepare('DELETE FROM readings WHERE chunk = ?');
  return (run, { seq, firstScan, scans, readings, fromS, toS, digest, summary, bytes }, link, chain) => {
    const row = chunk.get(run, seq, firstScan, scans, readings, fromS, toS, link, chain, digest, summary);
    if (row === undefined) throw new Error(`chunk ${seq} of run ${run} is closed already`);
    const number = Number(row.number);
    if (bytes === null) drop.run(number);
    else keep.run(number, bytes);
  };
}

export function prepareStatements(database: DatabaseSync, keepCheckpoints: number): Statements {
  const decision = database.prepare(
    'INSERT INTO decisions (run, seq, scan, link, chain, kind, body) VALUES (?, ?, ?, ?, ?, ?, ?)',
  );
  const checkpoint = database.prepare(
    'INSERT OR REPLACE INTO checkpoints (run, scan, restarts, state) VALUES (?, ?, ?, ?)',
  );
  const forget = database.prepare(`
    DELETE FROM checkpoints WHERE run = ?1 AND scan NOT IN (SELECT scan FROM checkpoints WHERE run = ?1 ORDER BY scan DESC LIMIT ?2)`);
  const points = database.prepare('UPDATE plants SET points = ? WHERE run = ?');
  const position = database.prepare(`
    UPDATE runs SET links = ?, head = ?, decisions = ?, scans = ?, readings = ?, restarts = ?, last_s = coalesce(?, last_s), lost = max(lost, ?),
      outcome = ?, summary = ?, ended_at_ms = ?
    WHERE number = ?`);
  const owner = database.prepare('SELECT writer FROM runs WHERE number = ?');
  const takeOver = database.prepare('UPDATE runs SET writer = ? WHERE number = ?');
  return {
    begin: headerStatement(database),
    writeChunk: chunkStatement(database),
    writeDecision: (run, { seq, scan, kind, body }, link, chain) => {
      decision.run(run, seq, scan, link, chain, kind, body);
    },
    writeCheckpoint: (run, { scan, restarts, state }) => {
      checkpoint.run(run, scan, restarts, state);
      forget.run(run, keepCheckpoints);
    },
    writePoints: (run, names) => {
      points.run(JSON.stringify(names), run);
    },
    writePosition: ({ number, links, head, decisions, scans, readings, restarts }, lastS, lost, ending) => {
      const { outcome = null, summary = null, endedAtMs = null } = ending ?? {};
      position.run(
        links,
        head,
        decisions,
        scans,
        readings,
        restarts,
        lastS,
        lost ? 1 : 0,
        outcome,
        summary,
        endedAtMs,
        number,
      );
    },
    isOurs: (run, writer) => owner.get(run)?.writer === writer,
    takeOver: (run, writer) => {
      takeOver.run(writer, run);
    },
  };
}
