import { userInfo } from 'node:os';
import { verdicts } from '../../lib/jars';
import { type Checked, type Problem, problem } from '../../lib/problems';
import type { Saved } from '../page/record-views';
import type { Change, SheetPart } from '../page/source';
import {
  fail,
  flagOf,
  type Io,
  misunderstood,
  numberOf,
  type OptionSpec,
  type Options,
  readOptions,
  textOf,
} from './command';
import { checkedOf, sheetsIn, withRecord } from './jars-sheet';

type Specs = Readonly<Record<string, OptionSpec>>;

const common = { data: { type: 'string' }, 'by-whom': { type: 'string' } } as const satisfies Specs;

/** Fields by the option that sets them; an empty text takes the field away. */
type Fields = Readonly<Record<string, { readonly field: string; readonly kind: 'number' | 'text' | 'words' }>>;

const measured: Fields = {
  'volume-l': { field: 'volumeL', kind: 'number' },
  'strength-percent': { field: 'strengthVolPercent', kind: 'number' },
  'sample-temp': { field: 'sampleTempC', kind: 'number' },
  'vapour-c': { field: 'vapourTempC', kind: 'number' },
  'pressure-hpa': { field: 'airPressureHPa', kind: 'number' },
  note: { field: 'note', kind: 'text' },
};
const tasted: Fields = {
  nose: { field: 'nose', kind: 'text' },
  front: { field: 'front', kind: 'text' },
  middle: { field: 'middle', kind: 'text' },
  back: { field: 'back', kind: 'text' },
  words: { field: 'descriptors', kind: 'words' },
  intensity: { field: 'intensity', kind: 'number' },
  verdict: { field: 'verdict', kind: 'text' },
};
const header: Fields = {
  name: { field: 'name', kind: 'text' },
  'charge-l': { field: 'chargeL', kind: 'number' },
  'charge-percent': { field: 'chargeVolPercent', kind: 'number' },
  'charge-is': { field: 'chargeWhat', kind: 'text' },
  'foreshots-jars': { field: 'foreshotsJars', kind: 'number' },
};

function specOf(fields: Fields, more: Specs = {}): Specs {
  return { ...common, ...Object.fromEntries(Object.keys(fields).map((name) => [name, { type: 'string' }])), ...more };
}

function changeOf(options: Options, fields: Fields, problems: Problem[]): Change {
  const set = Object.entries(fields).flatMap(([name, { field, kind }]): [string, unknown][] => {
    const text = textOf(options, name);
    if (text === undefined) return [];
    if (text === '') return [[field, null]];
    if (kind === 'text') return [[field, text]];
    if (kind === 'words') return [[field, text.split('|').map((word) => word.trim())]];
    return [[field, numberOf(options, name, problems)]];
  });
  return Object.fromEntries(set);
}

/** The jar a call names as its second word. */
function jarOf(options: Options, problems: Problem[]): number {
  const text = options.positionals[1];
  const jar = Number(text);
  if (text !== undefined && Number.isInteger(jar) && jar >= 1) return jar;
  problems.push(problem('jar', text, text === undefined ? 'is missing' : 'is no number of a jar', 'Give 1, 2, 3, …'));
  return 1;
}

interface Writing {
  readonly options: Options;
  readonly io: Io;
  readonly part: SheetPart;
  readonly change: Change;
  readonly problems: Problem[];
}

/** Adds a revision to one part of a sheet, on top of the latest, and says what stands there now. */
function write({ options, io, part, change, problems }: Writing): number {
  const json = flagOf(options, 'json');
  const [id] = options.positionals;
  if (id === undefined) return misunderstood(io, 'jars', 'name the sheet; jars list shows them.');
  if (Object.keys(change).length === 0) {
    problems.push(problem('', undefined, 'nothing is to be written', 'See middlecut jars --help for what can be'));
  }
  if (problems.length > 0) return fail(io, problems, json);
  const by = textOf(options, 'by-whom') ?? ('taster' in part ? part.taster : whoever());
  const saved = withRecord(options, false, (journal): Checked<Saved<unknown>> => {
    const sheets = sheetsIn(journal);
    const shown = sheets.show(id);
    if (shown.kind !== 'ok') return checkedOf('sheet', id, shown) as Checked<Saved<unknown>>;
    // The command line shows no sheet that somebody could have changed meanwhile: it writes on top of the latest.
    return checkedOf('sheet', id, sheets.save(id, part, { change, from: Number.MAX_SAFE_INTEGER, by }));
  });
  if (saved.kind === 'bad') return fail(io, saved.problems, json);
  if (json) io.out(`${JSON.stringify({ sheet: id, part, by, ...saved.value }, null, 2)}\n`);
  else io.out(`Written as revision ${saved.value.revision} by ${by}.\n`);
  return 0;
}

function whoever(): string {
  try {
    return userInfo().username;
  } catch {
    return 'command line';
  }
}

/** What a sheet is about. */
export function about(args: readonly string[], io: Io): number {
  const read = readOptions(args, specOf(header));
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const problems: Problem[] = [];
  const change = changeOf(read.options, header, problems);
  return write({ options: read.options, io, part: { kind: 'about' }, change, problems });
}

/** What was measured of a jar. */
export function measure(args: readonly string[], io: Io): number {
  const read = readOptions(args, specOf(measured));
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const problems: Problem[] = [];
  const change = changeOf(read.options, measured, problems);
  return write({
    options: read.options,
    io,
    part: { kind: 'jar', jar: jarOf(read.options, problems) },
    change,
    problems,
  });
}

/** What a taster found in a jar. */
export function note(args: readonly string[], io: Io): number {
  const read = readOptions(args, specOf(tasted, { taster: { type: 'string' } }));
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const { options } = read;
  const problems: Problem[] = [];
  const change = changeOf(options, tasted, problems);
  const taster = textOf(options, 'taster');
  if (taster === undefined) problems.push(problem('--taster', undefined, 'is missing', 'Say whose tongue it was'));
  const part: SheetPart = { kind: 'tasting', jar: jarOf(options, problems), taster: taster ?? '?' };
  return write({ options, io, part, change, problems });
}

/** A verdict: a taster's word, or the decision on the jar. `undecided` takes it back. */
export function verdict(args: readonly string[], io: Io): number {
  const read = readOptions(args, { ...common, taster: { type: 'string' } });
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const { options } = read;
  const problems: Problem[] = [];
  const jar = jarOf(options, problems);
  const word = options.positionals[2];
  const words = [...verdicts, 'undecided'] as const;
  if (!words.some((one) => one === word)) {
    problems.push(problem('verdict', word, 'is none of the words for it', `Use one of ${words.join(', ')}`));
  }
  const taster = textOf(options, 'taster');
  const part: SheetPart = taster === undefined ? { kind: 'jar', jar } : { kind: 'tasting', jar, taster };
  return write({ options, io, part, change: { verdict: word === 'undecided' ? null : word }, problems });
}
