import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { OrderKind } from '../../lib/engine/types';
import { type Problem, problem } from '../../lib/problems';
import { english } from '../../lib/words';
import { type RunStory, readStory, wordingOf } from '../report';
import { type Journal, StoreError } from '../store';
import {
  type Command,
  fail,
  flagOf,
  type Io,
  misunderstood,
  numberOf,
  type Options,
  readOptions,
  textOf,
} from './command';
import { type Exportable, type Exporting, exportables, exported, joined, writePieces } from './export-files';
import { failStore, withRecord } from './record-options';

const help = `middlecut export ID [--what WHAT] [--out FILE]
middlecut export ID --to FOLDER

Takes a run out of the record.

  --what WHAT     log        readings as CSV, as replay --log reads them (usual)
                  decisions  decisions, commands and orders as JSON lines, with their reasons in words
                  run        everything as one JSON, readings too
                  recipe     the exact recipe, its variant put in
                  still      the still with its calibrations
  --out FILE      where it goes; - for standard output (usual)
  --to FOLDER     all five as files of that folder, and how to replay them
  --every S       for the log: a row every so many seconds, with the last reading of each measuring point; a row for
                  every scan that read something if left out
  --measured-only for the log: without what drives and people reported; most such logs need no still to be replayed
  --data FOLDER   where the record lies (middlecut-data)
  --json          which files were written, as JSON

Readings are raw: calibrations stand in the still. A log holds no orders: where somebody held, resumed or undid
something its replay goes its own way; middlecut replay --run knows the orders too.
`;

const spec = {
  what: { type: 'string' },
  out: { type: 'string' },
  to: { type: 'string' },
  every: { type: 'string' },
  'measured-only': { type: 'boolean' },
  data: { type: 'string' },
} as const;

interface Ask {
  readonly runId: string;
  readonly what: Exportable;
  readonly out: string | null;
  readonly to: string | null;
  readonly everyS: number;
  readonly measuredOnly: boolean;
  readonly json: boolean;
}

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'export', read.message);
  const { options } = read;
  const [runId, second] = options.positionals;
  if (runId === undefined || second !== undefined) return misunderstood(io, 'export', 'name one run.');
  const problems: Problem[] = [];
  const ask = askOf(runId, options, problems);
  if (problems.length > 0) return fail(io, problems, ask.json);
  if (ask.json && ask.out === null && ask.to === null) {
    return misunderstood(io, 'export', '--json tells which files were written: give --out or --to.');
  }
  return withRecord(options, 'read', io, ask.json, (journal) => {
    try {
      return exportRun(journal, ask, io);
    } catch (error) {
      if (error instanceof StoreError) return failStore(io, error.failure, ask.json);
      const told = problemOf(error);
      if (told === null) throw error;
      return fail(io, [told], ask.json);
    }
  });
}

function askOf(runId: string, options: Options, problems: Problem[]): Ask {
  const what = textOf(options, 'what') ?? 'log';
  const out = textOf(options, 'out') ?? null;
  const to = textOf(options, 'to') ?? null;
  if (!Object.hasOwn(exportables, what)) {
    problems.push(problem('--what', what, 'cannot be exported', `Use one of ${Object.keys(exportables).join(', ')}`));
  }
  if (to !== null && (out !== null || textOf(options, 'what') !== undefined)) {
    problems.push(problem('--to', to, 'writes everything', 'Leave out --what and --out, or --to'));
  }
  const everyS = numberOf(options, 'every', problems, [0.1, 3600]) ?? 0;
  return {
    runId,
    what: what as Exportable,
    out: out === '-' ? null : out,
    to,
    everyS,
    // A valve proven late by a sparse log would count as stuck.
    measuredOnly: everyS > 0 || flagOf(options, 'measured-only'),
    json: flagOf(options, 'json'),
  };
}

/** What the disk could not do; null for any other error. */
function problemOf(error: unknown): Problem | null {
  if (!(error instanceof Error) || !('code' in error) || !('path' in error)) return null;
  return problem('file', String(error.path), `could not be written (${String(error.code)})`, 'Name another place');
}

function exportRun(journal: Journal, ask: Ask, io: Io): number {
  const story = readStory(journal, ask.runId);
  if (story.kind === 'failed') return failStore(io, story.failure, ask.json);
  const exporting: Exporting = { ...ask, journal, story: story.value, wording: wordingOf(english) };
  if (ask.to === null && ask.out === null) {
    for (const text of joined(exported(ask.what, exporting))) io.out(text);
    remark(ask.what, story.value, io);
    return 0;
  }
  const files = ask.to === null ? { [ask.what]: ask.out ?? '' } : filesIn(ask.to, story.value);
  const written = Object.entries(files).map(([what, file]) => {
    const bytes = writePieces(file, exported(what as Exportable, exporting));
    remark(what as Exportable, story.value, io);
    return { what, file, bytes };
  });
  if (ask.json) io.out(`${JSON.stringify({ run: ask.runId, files: written }, null, 2)}\n`);
  else {
    for (const { file, bytes } of written) io.out(`${file}: ${bytes} bytes\n`);
    if (files.log !== undefined && ask.to !== null) io.out(`\n${replayLine(files, story.value)}\n`);
  }
  return 0;
}

/** A thinned run has no readings any more, and a run without a recipe none to give. */
function filesIn(folder: string, { run }: RunStory): Partial<Record<Exportable, string>> {
  mkdirSync(folder, { recursive: true });
  const name = run.runId.replace(/[^A-Za-z0-9._-]/g, '_').replace(/^\.+/, '_');
  const has = (what: Exportable): boolean =>
    (what !== 'log' || !run.thinned) && (what !== 'recipe' || run.plant.recipe !== null);
  return Object.fromEntries(
    Object.entries(exportables)
      .filter(([what]) => has(what as Exportable))
      .map(([what, ending]) => [what, join(folder, `${name}.${ending}`)]),
  );
}

/** Orders that lead a run elsewhere than its readings alone do. */
const leading: readonly OrderKind[] = ['hold', 'resume', 'stop', 'abort', 'reset', 'undo-cut', 'decline-cut'];

function remark(what: Exportable, story: RunStory, io: Io): void {
  if (what !== 'log') return;
  const given = story.told.orders.filter(({ order, accepted }) => accepted === true && leading.includes(order.kind));
  if (given.length === 0) return;
  const kinds = [...new Set(given.map(({ order }) => order.kind))].join(', ');
  io.err(`The log holds no orders, and this run had some (${kinds}): its replay may go its own way.\n`);
}

const quoted = (text: string): string => (/^[\w./-]+$/.test(text) ? text : `'${text.replaceAll("'", `'\\''`)}'`);

function replayLine(files: Partial<Record<Exportable, string>>, { run }: RunStory): string {
  const { charge, recipe } = run.plant;
  if (recipe === null) return 'Without a recipe there is nothing to replay.';
  const parts = ['npx middlecut replay', `--log ${quoted(files.log ?? '')}`, `--recipe ${quoted(files.recipe ?? '')}`];
  parts.push(`--still ${quoted(files.still ?? '')}`);
  if (charge !== null) {
    parts.push(`--charge-l ${charge.volumeL} --charge-percent ${Number((100 * charge.strengthAbv).toFixed(6))}`);
  }
  return `See it again: ${parts.join(' ')}`;
}

export const exportRuns: Command = { help, run };
