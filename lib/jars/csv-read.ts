import { abvFromMassFraction, massFractionFromProof } from '../physics';
import type { Checked, Problem } from '../problems';
import { guessSeparator, type Row, splitRows } from './csv-cells';
import {
  conversionOf,
  headerFields,
  jarFields,
  parseName,
  parseTasterName,
  shortNames,
  tastingFields,
} from './csv-columns';
import { type Column, note, type Reading, readCell } from './csv-values';
import { checkSheet, type Sheet, type SheetDocument } from './sheet';

type Plain = Record<string, unknown>;

/** Sets a value at a dotted path, making the objects on the way. */
function put(target: Plain, path: string, value: unknown): void {
  const [first, ...rest] = path.split('.');
  if (first === undefined) return;
  if (rest.length === 0) target[first] = value;
  else {
    const inner = (target[first] as Plain | undefined) ?? {};
    target[first] = inner;
    put(inner, rest.join('.'), value);
  }
}

function headerRow(reading: Reading, row: Row, header: Plain): void {
  const title = row.cells[0]!.replace(/^#/, '').trim();
  const written = parseName(title);
  const field = headerFields.find((one) => one.name === written.name);
  if (field === undefined) {
    if (title === '') return;
    note(
      reading,
      row.line,
      `#${title}`,
      undefined,
      'is no row of the header',
      `Use one of ${headerFields.map((one) => one.name).join(', ')}`,
    );
    return;
  }
  const conversion = conversionOf(field, written.unit);
  if (conversion.kind === 'error') {
    note(reading, row.line, `#${title}`, undefined, conversion.message, conversion.remedy);
    return;
  }
  const value = readCell(
    reading,
    row.line,
    { title: `#${title}`, field, taster: null, conversion },
    row.cells[1] ?? '',
  );
  if (value === undefined) return;
  const isProof = conversion.kind === 'proof' && typeof value === 'number';
  put(header, field.path, isProof ? 100 * abvFromMassFraction(massFractionFromProof(value)) : value);
}

function columnsOf(reading: Reading, row: Row): (Column | null)[] {
  const seen = new Set<string>();
  return row.cells.map((title): Column | null => {
    if (title.trim() === '') return null;
    const tasted = parseTasterName(title);
    const written = tasted === null ? parseName(title) : { name: tasted.field, unit: null };
    const name = tasted === null ? (shortNames[written.name] ?? written.name) : written.name;
    const field = (tasted === null ? jarFields : tastingFields).find((one) => one.name === name);
    const key = `${tasted?.taster ?? ''}|${name}`;
    if (field === undefined) {
      const names = [...jarFields, ...tastingFields.map((one) => ({ name: `${one.name} (taster)` }))].map(
        (one) => one.name,
      );
      note(reading, row.line, title.trim(), undefined, 'is no column of a jar sheet', `Use one of ${names.join(', ')}`);
      return null;
    }
    if (seen.has(key)) {
      note(reading, row.line, title.trim(), undefined, 'stands twice', 'Keep one of the columns');
      return null;
    }
    seen.add(key);
    const conversion = conversionOf(field, written.unit);
    if (conversion.kind === 'error')
      note(reading, row.line, title.trim(), undefined, conversion.message, conversion.remedy);
    if (conversion.kind === 'proof') reading.proof = true;
    return { title: title.trim(), field, taster: tasted?.taster ?? null, conversion };
  });
}

function jarRow(reading: Reading, row: Row, columns: readonly (Column | null)[]): Plain {
  const jar: Plain = {};
  const tastings = new Map<string, Plain>();
  if (row.cells.length > columns.length && row.cells.slice(columns.length).some((cell) => cell.trim() !== '')) {
    const remedy = 'Quote cells that hold the separator, or use decimal points in a file with commas';
    note(reading, row.line, 'row', row.cells.length, `has more cells than the ${columns.length} columns`, remedy);
  }
  for (const [index, column] of columns.entries()) {
    const cell = row.cells[index] ?? '';
    if (column === null) continue;
    const value = readCell(reading, row.line, column, cell);
    if (value === undefined) continue;
    if (column.taster === null) {
      put(jar, column.field.path, column.conversion.kind === 'proof' ? (value as number) / 2 : value);
      continue;
    }
    const tasting = tastings.get(column.taster) ?? { taster: column.taster };
    tastings.set(column.taster, tasting);
    put(tasting, column.field.path, column.field.path === 'descriptors' ? words(String(value)) : value);
  }
  return tastings.size === 0 ? jar : { ...jar, tastings: [...tastings.values()] };
}

function words(cell: string): string[] {
  return cell
    .split('|')
    .map((word) => word.trim())
    .filter((word) => word !== '');
}

/** Header of a sheet to begin with, e.g. from the still's own record; rows of the file go before it. */
export type HeaderDefaults = Partial<Omit<SheetDocument, 'sheet' | 'jars'>>;

/**
 * Reads a jar sheet from CSV: `#` rows with the header, one row of column names with units, one row a jar.
 *
 * Comma, semicolon or tab; decimal point or comma, one of them all through; any unit of the quantity in the column's name, times of day as h:mm.
 *
 * @param text the file
 * @param defaults header for what the file does not say
 * @returns the sheet, or all problems at once with line and column
 * Source: RFC 4180 for the cells; the column names are our own.
 */
export function readCsv(text: string, defaults: HeaderDefaults = {}): Checked<Sheet> {
  const split = splitRows(text, guessSeparator(text));
  if (split.kind === 'bad') return split;
  const reading: Reading = { problems: [], decimal: null, proof: false, clockFirstS: null, clockLastS: 0 };
  const header: Plain = {};
  const jars: Plain[] = [];
  const lines: number[] = [];
  let columns: (Column | null)[] | null = null;
  for (const row of split.value) {
    if (columns === null && row.cells[0]!.trimStart().startsWith('#')) headerRow(reading, row, header);
    else if (columns === null) columns = columnsOf(reading, row);
    else if (row.cells.some((cell) => cell.trim() !== '')) {
      jars.push(jarRow(reading, row, columns));
      lines.push(row.line);
    }
  }
  if (columns === null)
    note(reading, 1, 'file', undefined, 'has no row of column names', 'Begin with: jar, vapour [°C], …');
  const document = withDefaults(header, defaults, jars);
  if (reading.proof) setProofBasis(reading, document, header);
  const checked = checkSheet(document);
  const found = [
    ...reading.problems,
    ...(checked.kind === 'bad' ? checked.problems.map((one) => atLine(one, lines)) : []),
  ];
  return found.length > 0 || checked.kind === 'bad' ? { kind: 'bad', problems: found } : checked;
}

function withDefaults(header: Plain, defaults: HeaderDefaults, jars: readonly Plain[]): Plain {
  const merged: Plain = { sheet: 1, name: 'Imported sheet', still: {}, ...defaults };
  for (const [key, value] of Object.entries(header)) {
    const under = merged[key];
    merged[key] = typeof value === 'object' && typeof under === 'object' ? { ...under, ...value } : value;
  }
  const still = merged.still as Plain;
  if (still.name === undefined) merged.still = { ...still, name: 'Still' };
  return { ...merged, jars: jars.map((jar, index) => ({ number: index + 1, ...jar })) };
}

function setProofBasis(reading: Reading, document: Plain, header: Plain): void {
  const said = (header.strength as Plain | undefined)?.basis;
  if (said === '20C') {
    note(
      reading,
      1,
      'strength [proof]',
      undefined,
      'is on the 60 °F basis, but the header says 20C',
      'Remove the row "strength basis"',
    );
  }
  document.strength = { ...(document.strength as Plain | undefined), basis: '60F' };
}

/** A problem of the sheet at the line that it came from. */
function atLine(one: Problem, lines: readonly number[]): Problem {
  const match = /^jars\.(\d+)\.?(.*)$/.exec(one.path);
  if (match === null) return { ...one, path: `header, ${one.path}` };
  const line = lines[Number(match[1])];
  const name = jarFields.find((field) => field.path === match[2])?.name ?? match[2];
  return { ...one, path: `line ${line ?? '?'}, ${name}` };
}
