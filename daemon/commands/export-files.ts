import { closeSync, openSync, writeFileSync } from 'node:fs';
import { writeExactJson } from '../../lib/record';
import type { RunStory, Wording } from '../report';
import { type LogAsk, logColumns, logLines } from '../report/log-export';
import { sayDecided } from '../report/said';
import type { Journal, Kept } from '../store';
import { plainStory } from './runs-one';

/** What can be exported of a run, with the ending of its file. */
export const exportables = {
  log: 'log.csv',
  decisions: 'decisions.jsonl',
  run: 'run.json',
  recipe: 'recipe.json',
  still: 'still.json',
} as const;
export type Exportable = keyof typeof exportables;

export interface Exporting {
  readonly journal: Journal;
  readonly story: RunStory;
  readonly wording: Wording;
  readonly everyS: number;
  readonly measuredOnly: boolean;
}

/** The text of an export, piece by piece: a long run is never whole in memory. */
export function* exported(what: Exportable, exporting: Exporting): Generator<string> {
  const { plant } = exporting.story.run;
  switch (what) {
    case 'log':
      yield* logOf(exporting);
      return;
    case 'decisions':
      for (const kept of exporting.journal.readDecisions(exporting.story.run.runId)) {
        yield `${writeExactJson(plainKept(kept, exporting))}\n`;
      }
      return;
    case 'run':
      yield* wholeOf(exporting);
      return;
    case 'recipe':
      yield `${JSON.stringify(plant.recipe, null, 2)}\n`;
      return;
    case 'still':
      yield `${JSON.stringify(plant.still, null, 2)}\n`;
  }
}

function logOf({ journal, story, everyS, measuredOnly }: Exporting): Generator<string> {
  const { run, told } = story;
  const ask: LogAsk = {
    columns: logColumns(run.plant.still, measuredOnly),
    startS: told.startedS ?? run.initial.now,
    everyS,
  };
  return logLines(run, journal.readInputs(run.runId), ask);
}

/** A decision or mark with its words, its time into the run and its moment. */
function plainKept(kept: Kept, { story, wording }: Exporting) {
  const { seq, scan } = kept;
  if (kept.kind === 'mark') {
    const said = sayDecided({ kind: 'mark', mark: kept.mark }, story.run.plant, wording);
    return { seq, scan, ...kept.mark, kind: 'mark', at: new Date(kept.mark.atMs).toISOString(), said };
  }
  const { decision } = kept;
  const at = {
    atS: decision.atS,
    intoS: Number(story.intoS(decision.atS).toFixed(3)),
    at: new Date(Math.round(story.wallMs(decision.atS))).toISOString(),
  };
  if (decision.kind === 'order') return { seq, scan, ...at, kind: 'order', order: decision.order };
  const said = sayDecided(decision, story.run.plant, wording);
  return decision.kind === 'event'
    ? { seq, scan, ...at, kind: 'event', said, event: decision.event }
    : { seq, scan, ...at, kind: 'command', said, command: decision.command };
}

/** Everything as one JSON: the run as `runs ID --json` has it, decisions, minutes, and readings scan by scan. */
function* wholeOf(exporting: Exporting): Generator<string> {
  const { journal, story, wording } = exporting;
  const { runId } = story.run;
  const { head, ...about } = { ...plainStory(story, wording), head: story.run.head };
  yield `{"middlecutRun":1,"head":${JSON.stringify(head)},"run":${writeExactJson(about)}`;
  yield* listOf('decisions', journal.readDecisions(runId), (kept) => plainKept(kept, exporting));
  yield* listOf('minutes', journal.summaries(runId), (minute) => minute);
  if (story.run.thinned) yield ',"inputs":null';
  else yield* listOf('inputs', journal.readInputs(runId), (input) => input);
  yield '}\n';
}

function* listOf<T>(name: string, items: Iterable<T>, plain: (item: T) => unknown): Generator<string> {
  yield `,\n"${name}":[`;
  let between = '\n';
  for (const item of items) {
    yield between + writeExactJson(plain(item));
    between = ',\n';
  }
  yield ']';
}

const piecesAtOnce = 512;

/** Pieces joined to larger ones: thousands of small writes are slow. */
export function* joined(pieces: Iterable<string>): Generator<string> {
  let waiting: string[] = [];
  for (const piece of pieces) {
    if (waiting.push(piece) < piecesAtOnce) continue;
    yield waiting.join('');
    waiting = [];
  }
  yield waiting.join('');
}

/** Writes pieces to a file; how many bytes it has. */
export function writePieces(file: string, pieces: Iterable<string>): number {
  const handle = openSync(file, 'w');
  try {
    let bytes = 0;
    for (const text of joined(pieces)) {
      writeFileSync(handle, text);
      bytes += Buffer.byteLength(text);
    }
    return bytes;
  } finally {
    closeSync(handle);
  }
}
