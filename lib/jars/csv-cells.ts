import { type Checked, type Problem, problem } from '../problems';

/** A row of a CSV text and the line it begins on. */
export interface Row {
  readonly line: number;
  readonly cells: readonly string[];
}

export const separators = [',', ';', '\t'] as const;
export type Separator = (typeof separators)[number];

const longestText = 2_000_000;
const mostRows = 5000;

function separatorsIn(line: string): Readonly<Record<Separator, number>> & { readonly first: Separator | null } {
  const counts = { ',': 0, ';': 0, '\t': 0 };
  let first: Separator | null = null;
  let quoted = false;
  for (const char of line) {
    if (char === '"') quoted = !quoted;
    else if (!quoted && (char === ',' || char === ';' || char === '\t')) {
      counts[char] += 1;
      first ??= char;
    }
  }
  return { ...counts, first };
}

/** The separator that stands oftenest outside quotes in the row of names; where that has only one name, the first in a `#` row. */
export function guessSeparator(text: string): Separator {
  const lines = text.split(/\r\n|\r|\n/, 200).filter((line) => line.trim() !== '');
  const isHeader = (line: string) => /^[\uFEFF"']*#/.test(line);
  const names = lines.find((line) => !isHeader(line));
  const counts = separatorsIn(names ?? '');
  if (counts[';'] > 0 && counts[';'] >= counts[',']) return ';';
  if (counts['\t'] > counts[',']) return '\t';
  if (counts[','] > 0) return ',';
  return separatorsIn(lines.find((line) => isHeader(line) && separatorsIn(line).first !== null) ?? '').first ?? ',';
}

/**
 * Splits CSV text into rows and cells: quotes, doubled quotes and line breaks in quotes as RFC 4180 has them; any line end; a byte-order mark is
 * passed over. Empty rows are left out.
 *
 * @param text the file
 * @param separator between cells
 * @returns rows with the line each begins on, or what is wrong with the quotes
 * Source: RFC 4180.
 */
export function splitRows(text: string, separator: Separator): Checked<readonly Row[]> {
  if (text.length > longestText) {
    return refuse('', `is longer than ${longestText} characters`, 'Give a jar sheet');
  }
  const rows: Row[] = [];
  let at = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  let line = 1;
  while (at < text.length) {
    if (rows.length >= mostRows) return refuse(`line ${line}`, `has more than ${mostRows} rows`, 'Give a jar sheet');
    const row = readRow(text, at, line, separator);
    if (row.kind === 'bad') return row;
    const { cells, next, lines } = row.value;
    if (cells.length > 1 || cells[0] !== '') rows.push({ line, cells });
    at = next;
    line += lines;
  }
  return { kind: 'ok', value: rows, warnings: [] };
}

interface ReadRow {
  readonly cells: readonly string[];
  readonly next: number;
  readonly lines: number;
}

function readRow(text: string, from: number, line: number, separator: Separator): Checked<ReadRow> {
  const cells: string[] = [];
  let at = from;
  let lines = 0;
  for (;;) {
    if (text[at] === '"') {
      const quoted = readQuoted(text, at, line + lines);
      if (quoted.kind === 'bad') return quoted;
      cells.push(quoted.value.cell);
      lines += quoted.value.lines;
      at = quoted.value.next;
    } else {
      let end = at;
      while (end < text.length && text[end] !== separator && text[end] !== '\n' && text[end] !== '\r') end += 1;
      cells.push(text.slice(at, end));
      at = end;
    }
    const char = text[at];
    if (char === separator) {
      at += 1;
      continue;
    }
    if (char === undefined) return { kind: 'ok', value: { cells, next: at, lines }, warnings: [] };
    if (char === '\n' || char === '\r') {
      const width = char === '\r' && text[at + 1] === '\n' ? 2 : 1;
      return { kind: 'ok', value: { cells, next: at + width, lines: lines + 1 }, warnings: [] };
    }
    return refuse(`line ${line + lines}`, 'has text behind a closing quote', 'Double the quotes inside a quoted cell');
  }
}

function readQuoted(text: string, from: number, line: number): Checked<{ cell: string; next: number; lines: number }> {
  let at = from + 1;
  let lines = 0;
  let cell = '';
  for (;;) {
    const char = text[at];
    if (char === undefined) return refuse(`line ${line}`, 'opens a quote that is never closed', 'Close it');
    if (char === '"') {
      if (text[at + 1] !== '"') return { kind: 'ok', value: { cell, next: at + 1, lines }, warnings: [] };
      at += 1;
    }
    if (char === '\n' || (char === '\r' && text[at + 1] !== '\n')) lines += 1;
    cell += char;
    at += 1;
  }
}

function refuse(path: string, message: string, remedy: string): { kind: 'bad'; problems: readonly Problem[] } {
  return { kind: 'bad', problems: [problem(path, undefined, message, remedy)] };
}

/** A cell as it is written: quoted where it must be. */
export function writeCell(cell: string, separator: Separator): string {
  const needsQuotes = cell.includes(separator) || /["\r\n]/.test(cell) || cell !== cell.trim() || cell.startsWith('#');
  return needsQuotes ? `"${cell.replaceAll('"', '""')}"` : cell;
}

/**
 * Free text made safe for spreadsheets: a leading apostrophe where a program would take it for a formula. Undone by readText.
 */
export function writeText(text: string): string {
  return /^'*[=+\-@\t\r]/.test(text) ? `'${text}` : text;
}

export function readText(cell: string): string {
  return /^'+[=+\-@\t\r]/.test(cell) ? cell.slice(1) : cell;
}

const plainNumber = /^[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?$/;

/** What a cell that should be a number is: its value with the decimal sign it uses, or that it is none. */
export type NumberCell =
  | { readonly kind: 'number'; readonly value: number; readonly decimal: '.' | ',' | null }
  | { readonly kind: 'none' };

/** Reads a number with decimal point or comma; no thousands signs. */
export function readNumber(cell: string): NumberCell {
  const text = cell.trim().replace('−', '-');
  if (!plainNumber.test(text)) return { kind: 'none' };
  const decimal = text.includes(',') ? ',' : text.includes('.') ? '.' : null;
  return { kind: 'number', value: Number(text.replace(',', '.')), decimal };
}

/** A number as people of that decimal sign write it, nothing rounded. */
export function writeNumber(value: number, decimal: '.' | ','): string {
  const text = String(value);
  return decimal === ',' ? text.replace('.', ',') : text;
}
