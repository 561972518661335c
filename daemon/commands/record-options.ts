import { join } from 'node:path';
import { type Problem, problem } from '../../lib/problems';
import { languages, type Saying } from '../../lib/words';
import { journalFile } from '../host/daemon';
import { type Journal, openJournal, type Stored, type StoreFailure } from '../store';
import { type Io, type Options, textOf } from './command';

/** What the commands about the record have in common: where it lies, dates, who, and how failures are told. */

export const usualFolder = 'middlecut-data';

/** Opens the record of --data; a file that is not there is never made by a look. */
export function openRecord(options: Options, mode: 'read' | 'write'): Stored<Journal> {
  const path = join(textOf(options, 'data') ?? usualFolder, journalFile);
  // The daemon checks every page when it opens the file; a look into a large record should not wait for that.
  const reading = openJournal(path, { readOnly: true, check: 'none' });
  if (mode === 'read' || reading.kind === 'failed') return reading;
  reading.value.close();
  return openJournal(path, { check: 'none', busyTimeoutMs: 5000 });
}

/** Works on the record and closes it; what it could not do is told. */
export function withRecord(
  options: Options,
  mode: 'read' | 'write',
  io: Io,
  json: boolean,
  work: (journal: Journal) => number,
): number {
  const opened = openRecord(options, mode);
  if (opened.kind === 'failed') return failStore(io, opened.failure, json);
  try {
    return work(opened.value);
  } finally {
    opened.value.close();
  }
}

export function failStore(io: Io, failure: StoreFailure, json: boolean): number {
  if (json) io.out(`${JSON.stringify({ failure }, null, 2)}\n`);
  else io.err(`${failure.message}. ${failure.remedy}.\n`);
  return 1;
}

const dayMs = 86_400_000;

/**
 * A local day or moment as ISO 8601 writes it: 2026-05-12, 2026-05-12T08:00. The `end` of a day is the beginning of the next.
 * @returns ms since 1970; null where it is not given or, with a problem, is no date
 */
export function dateOption(options: Options, name: string, edge: 'start' | 'end', problems: Problem[]): number | null {
  const text = textOf(options, name);
  if (text === undefined) return null;
  const day = /^(\d{4})-(\d\d)-(\d\d)$/.exec(text);
  const atMs = day === null ? momentOf(text) : dayOf(Number(day[1]), Number(day[2]), Number(day[3]), edge);
  if (atMs === null) {
    problems.push(problem(`--${name}`, text, 'is no date', 'Write it as 2026-05-12 or 2026-05-12T08:00'));
  }
  return atMs;
}

function dayOf(year: number, month: number, day: number, edge: 'start' | 'end'): number | null {
  const date = new Date(year, month - 1, day);
  if (date.getMonth() !== month - 1 || date.getDate() !== day) return null;
  if (edge === 'start') return date.getTime();
  // Noon of the next day back to its beginning: a day is not always 24 hours long.
  return new Date(date.getTime() + 1.5 * dayMs).setHours(0, 0, 0, 0);
}

function momentOf(text: string): number | null {
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\d/.test(text)) return null;
  const atMs = Date.parse(text);
  return Number.isFinite(atMs) ? atMs : null;
}

/** Who enters something: --by, else who is logged in. */
export function whoOf(options: Options, io: Io): string {
  return textOf(options, 'by') ?? io.environment.USER ?? io.environment.LOGNAME ?? 'command line';
}

/** Language and scale of --language and --temperatures. */
export function sayingOption(options: Options, problems: Problem[]): Saying {
  const [code, scale] = [textOf(options, 'language') ?? 'en', textOf(options, 'temperatures') ?? 'C'];
  const language = languages[code];
  const names = Object.keys(languages).join(', ');
  if (language === undefined) problems.push(problem('--language', code, 'is no language of ours', `Use ${names}`));
  if (scale !== 'C' && scale !== 'F') problems.push(problem('--temperatures', scale, 'is no scale', 'Use C or F'));
  return { language: language ?? languages.en!, temperature: scale === 'F' ? 'F' : 'C' };
}
