import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Journal, openJournal, type Stored, type StoreFailure } from '../store';
import { type RescuedRun, rescueRuns, setAside } from './rescue';
import { standInFor } from './stand-in';

export const journalFile = 'record.sqlite';

/** Why a daemon cannot start, in one line for people. */
export class CannotStart extends Error {}

export interface OpenedRecord {
  readonly journal: Journal;
  /** Why nothing can be written; null where it can. */
  readonly failure: StoreFailure | null;
  /** The file that was damaged, by its new name, and the runs that could be taken over from it. */
  readonly aside: { readonly file: string; readonly rescued: readonly string[] } | null;
}

export interface RecordOptions {
  readonly folder: string;
  readonly nowMs: () => number;
  /** A record that could not be opened at first has been opened after all. */
  readonly opened: (journal: Journal) => void;
}

function open(folder: string, path: string): Stored<Journal> {
  try {
    mkdirSync(folder, { recursive: true });
  } catch (error) {
    const message = `the folder ${folder} cannot be made (${error instanceof Error ? error.message : String(error)})`;
    const remedy = 'Choose another folder for the record, or give this user the right to write there';
    return { kind: 'failed', failure: { kind: 'denied', message, remedy } };
  }
  return openJournal(path);
}

/** A run of a damaged record goes on in a new one, under a name that tells. */
function takeOver(journal: Journal, { runId, startedAtMs, plant, run }: RescuedRun): string | null {
  const name = `${runId}-rescued`;
  const begun = journal.beginRun({ runId: name, plant, initial: run, startedAtMs, about: { rescuedFrom: runId } });
  return begun.kind === 'ok' ? name : null;
}

function beginAnew(path: string, folder: string): Stored<OpenedRecord> {
  const runs = rescueRuns(path);
  const file = setAside(path);
  const opened = open(folder, path);
  if (opened.kind === 'failed') return opened;
  const rescued = runs.flatMap((run) => takeOver(opened.value, run) ?? []);
  return { kind: 'ok', value: { journal: opened.value, failure: null, aside: { file, rescued } } };
}

/**
 * Opens the record, or what stands in for it: a still that may be hot is watched and made safe even where nothing can be written. A damaged
 * file is set aside, never deleted, and what can be saved of open runs goes on in a new one.
 *
 * @throws CannotStart where the file is of another program or another version: that is for a person to decide
 */
export function openRecord({ folder, nowMs, opened }: RecordOptions): OpenedRecord {
  const path = join(folder, journalFile);
  const first = open(folder, path);
  if (first.kind === 'ok') return { journal: first.value, failure: null, aside: null };
  const { kind, message, remedy } = first.failure;
  if (kind === 'foreign' || kind === 'newer-version' || kind === 'older-version') {
    throw new CannotStart(`${message}. ${remedy}.`);
  }
  const anew: Stored<OpenedRecord> = kind === 'damaged' ? tryAnew(path, folder) : first;
  if (anew.kind === 'ok') return anew.value;
  const { failure } = anew;
  const journal = standInFor({ path, failure, open: () => open(folder, path), nowMs, opened });
  return { journal, failure, aside: null };
}

function tryAnew(path: string, folder: string): Stored<OpenedRecord> {
  try {
    return beginAnew(path, folder);
  } catch (error) {
    const message = `the damaged record ${path} cannot be set aside (${error instanceof Error ? error.message : String(error)})`;
    return { kind: 'failed', failure: { kind: 'damaged', message, remedy: 'Move it elsewhere by hand' } };
  }
}
