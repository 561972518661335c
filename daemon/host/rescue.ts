import {
  closeSync,
  copyFileSync,
  existsSync,
  mkdtempSync,
  openSync,
  readSync,
  renameSync,
  rmSync,
  statSync,
  truncateSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Plant, Run } from '../../lib/engine/types';
import { type Journal, openJournal, recallRun, StoreError } from '../store';
import { engine } from './restore';

/** What could be saved of a run that was open in a damaged record. */
export interface RescuedRun {
  readonly runId: string;
  readonly startedAtMs: number;
  readonly plant: Plant;
  readonly run: Run;
}

/** Gives a file that was cut off its stated length again, so that what is left of it can be read. Source: sqlite.org/fileformat2.html, section 1.3. */
function pad(path: string): void {
  const header = Buffer.alloc(100);
  const file = openSync(path, 'r');
  try {
    readSync(file, header, 0, 100, 0);
  } finally {
    closeSync(file);
  }
  const pageSize = header.readUInt16BE(16) === 1 ? 65536 : header.readUInt16BE(16);
  const should = pageSize * header.readUInt32BE(28);
  const { size } = statSync(path);
  // A length that is itself damage is not believed.
  if (size < should && should < size + 256 * 1024 * 1024) truncateSync(path, should);
}

function saved(journal: Journal, runId: string): RescuedRun | null {
  const detail = journal.run(runId);
  if (detail.kind === 'failed') return null;
  const { plant, initial, startedAtMs } = detail.value;
  // A still or recipe that is not what the run began with is worse than none.
  const verified = journal.verify(runId);
  if (verified.kind === 'ok' && verified.value.kind === 'broken' && verified.value.what === 'header') return null;
  const recalled = recallRun(journal, runId, engine);
  if (recalled.kind === 'ok') return { runId, startedAtMs, plant, run: recalled.value };
  const checkpoint = journal.latestCheckpoint(runId);
  const run =
    checkpoint.kind === 'ok' && checkpoint.value !== null
      ? checkpoint.value.run
      : asFarAsReadable(journal, runId, plant, initial);
  return run.startedAtS === null ? null : { runId, startedAtMs, plant, run };
}

/** Folding a long run again must not keep a still waiting for long [ms]. */
const longestFoldMs = 10_000;

/** The run as far as its readings can still be read, from its start: better an older state, held, than none. */
function asFarAsReadable(journal: Journal, runId: string, plant: Plant, initial: Run): Run {
  const untilMs = performance.now() + longestFoldMs;
  let run = initial;
  try {
    for (const input of journal.readInputs(runId)) {
      run = engine.scan(plant, run, input).run;
      if (performance.now() > untilMs) break;
    }
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
  }
  return run;
}

/** The open runs of a damaged record, as far as they can still be read; of a copy, so that nothing is made worse. */
export function rescueRuns(path: string): readonly RescuedRun[] {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-rescue-'));
  const copy = join(folder, 'record.sqlite');
  try {
    copyFileSync(path, copy);
    if (existsSync(`${path}-wal`)) copyFileSync(`${path}-wal`, `${copy}-wal`);
    pad(copy);
    const opened = openJournal(copy, { check: 'none', readOnly: true });
    if (opened.kind === 'failed') return [];
    try {
      const open = opened.value.openRuns();
      if (open.kind === 'failed') return [];
      return open.value.flatMap(({ runId }) => saved(opened.value, runId) ?? []);
    } finally {
      opened.value.close();
    }
  } catch (error) {
    // Whatever else a damaged file makes SQLite or a parser say: nothing can be saved.
    if (error instanceof StoreError || error instanceof Error) return [];
    throw error;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Gives a damaged record another name, with its -wal file; nothing of it is deleted. */
export function setAside(path: string): string {
  let number = 1;
  const name = () => `${path}.damaged-${number}`;
  while (existsSync(name())) number += 1;
  const aside = name();
  renameSync(path, aside);
  for (const ending of ['-wal', '-shm']) {
    if (existsSync(`${path}${ending}`)) renameSync(`${path}${ending}`, `${aside}${ending}`);
  }
  return aside;
}
