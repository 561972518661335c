import { writeFileSync } from 'node:fs';
import { stringify } from 'yaml';
import { checkSheet, printLabels, type Sheet, workOut, writeCsv } from '../../lib/jars';
import { type Problem, problem } from '../../lib/problems';
import { fail, flagOf, type Io, misunderstood, numberOf, readOptions, textOf } from './command';
import { sheetOf, sheetOptions } from './jars-sheet';

/** Writes a document as YAML where the file is called so, else as JSON. */
export function writeDocument(file: string, document: object): void {
  const text = /\.ya?ml$/i.test(file) ? stringify(document) : `${JSON.stringify(document, null, 2)}\n`;
  writeFileSync(file, text);
}

/** Writes a sheet as CSV, YAML or JSON, by the ending of the file. */
export function writeSheet(file: string, sheet: Sheet): void {
  if (/\.csv$/i.test(file)) writeFileSync(file, writeCsv(sheet));
  else writeDocument(file, sheet);
}

/** Labels of a sheet as a page to print. */
export function labels(args: readonly string[], io: Io): number {
  const spec = { ...sheetOptions, out: { type: 'string', short: 'o' }, 'up-to': { type: 'string' } } as const;
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const problems: Problem[] = [];
  const upToJar = numberOf(options, 'up-to', problems, [1, 200]) ?? 0;
  const sheet = sheetOf(options, options.positionals[0]);
  if (sheet.kind === 'bad') problems.push(...sheet.problems);
  if (problems.length > 0 || sheet.kind === 'bad') return fail(io, problems, json);
  const page = printLabels(workOut(sheet.value), { upToJar });
  const out = textOf(options, 'out');
  const count = Math.max(sheet.value.jars.length, upToJar, 1);
  if (out !== undefined) writeFileSync(out, page);
  if (json) io.out(`${JSON.stringify({ labels: count, ...(out === undefined ? { page } : { out }) }, null, 2)}\n`);
  else io.out(out === undefined ? page : `${count} labels in ${out}: print on A4 without scaling.\n`);
  return 0;
}

const columns = [
  'jar',
  'end time [h:mm]',
  'end vapour [°C]',
  'end air pressure [hPa]',
  'volume [mL]',
  'strength [% vol]',
  'sample temperature [°C]',
  'verdict',
  'note',
] as const;

/** A sheet with nothing on it but its header, to be filled in by hand or in a spreadsheet. */
export function blank(args: readonly string[], io: Io): number {
  const spec = {
    out: { type: 'string', short: 'o' },
    name: { type: 'string' },
    still: { type: 'string' },
    jars: { type: 'string' },
    'charge-l': { type: 'string' },
    'charge-percent': { type: 'string' },
    'charge-is': { type: 'string' },
    altitude: { type: 'string' },
  } as const;
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const problems: Problem[] = [];
  const volumeL = numberOf(options, 'charge-l', problems, [0.1, 1e5]);
  const percent = numberOf(options, 'charge-percent', problems, [0.1, 96]);
  const altitudeM = numberOf(options, 'altitude', problems, [-400, 5500]);
  const jars = numberOf(options, 'jars', problems, [1, 200]) ?? 24;
  for (const [name, value] of [
    ['charge-l', volumeL],
    ['charge-percent', percent],
  ] as const) {
    if (value === null && textOf(options, name) === undefined)
      problems.push(problem(`--${name}`, undefined, 'is missing', 'Shares of the alcohol rest on it'));
  }
  const what = textOf(options, 'charge-is');
  const sheet = checkSheet({
    sheet: 1,
    name: textOf(options, 'name') ?? 'Development run',
    still: { name: textOf(options, 'still') ?? 'Still' },
    charge: { volumeL: volumeL ?? 1, strengthVolPercent: percent ?? 1, ...(what === undefined ? {} : { what }) },
    airPressure: altitudeM === null ? {} : { altitudeM },
    jars: [],
  });
  if (sheet.kind === 'bad') problems.push(...sheet.problems);
  if (problems.length > 0 || sheet.kind === 'bad') return fail(io, problems, json);
  const csv = blankCsv(sheet.value, Math.round(jars));
  const out = textOf(options, 'out');
  if (out !== undefined) writeFileSync(out, csv);
  if (json) io.out(`${JSON.stringify({ jars, ...(out === undefined ? { csv } : { out }) }, null, 2)}\n`);
  else io.out(out === undefined ? csv : `A sheet for ${jars} jars in ${out}.\n`);
  return 0;
}

function blankCsv(sheet: Sheet, jars: number): string {
  const header = writeCsv(sheet)
    .split('\r\n')
    .filter((line) => line.startsWith('#'));
  const rows = Array.from({ length: jars }, (_, index) => `${index + 1}${','.repeat(columns.length - 1)}`);
  return `${[...header, columns.join(','), ...rows].join('\r\n')}\r\n`;
}
