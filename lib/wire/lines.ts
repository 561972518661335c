import { parsePath } from './json-path';
import type { CompiledMapping } from './mapping';
import { fault, type Mapped, readPayload, readValue } from './payload';

export const lineFormats = ['key-value', 'csv', 'checksummed', 'json'] as const;
export type LineFormat = (typeof lineFormats)[number];

export interface LineMapping {
  readonly format: LineFormat;
  /** A name (key-value), a column counted from 0 (csv, checksummed) or a path (json). */
  readonly field: string;
  /** Separator of the fields; `;` where the line has one, else comma or blanks. */
  readonly separator?: string;
  /** csv: a line with another number of columns is no data line and is passed over. */
  readonly columns?: number;
}

/** Bytes of a line that has not ended yet, and whether its beginning was seen. */
export interface Unfinished {
  readonly text: string;
  readonly startSeen: boolean;
}
export const nothingYet: Unfinished = { text: '', startSeen: false };
const maxLineLength = 4096;

export interface LinesTaken {
  readonly lines: readonly string[];
  readonly rest: Unfinished;
  /** A line grew past any length that makes sense and was dropped. */
  readonly overflow: boolean;
}

/**
 * Cuts a stream of text into whole lines.
 *
 * What comes before the first line end is dropped: the port may have been opened in the middle of a line, and `1.3` of `91.3` looks like a
 * reading. A line that has not ended is never given out.
 *
 * @param unfinished what was left over; nothingYet after opening the port
 * @param chunk what has just arrived
 */
export function takeLines(unfinished: Unfinished, chunk: string): LinesTaken {
  const pieces = (unfinished.text + chunk).split(/\r\n|\n|\r(?!$)/);
  const last = pieces.pop() ?? '';
  const whole = unfinished.startSeen ? pieces : pieces.slice(1);
  const lines = whole.filter((line) => line.length <= maxLineLength && line.trim() !== '');
  const startSeen = unfinished.startSeen || pieces.length > 0;
  const overflow = last.length > maxLineLength || whole.some((line) => line.length > maxLineLength);
  // After an overflow the rest of the long line is dropped as a line without a beginning.
  if (last.length > maxLineLength) return { lines, rest: nothingYet, overflow };
  return { lines, rest: { text: last, startSeen }, overflow };
}

const none: Mapped = { kind: 'none' };

function splitFields(line: string, separator: string | undefined): readonly string[] {
  if (separator !== undefined) return line.split(separator);
  return line.includes(';') ? line.split(';') : line.split(/[,\t ]+/);
}

function readKeyValue(line: string, source: LineMapping, mapping: CompiledMapping): Mapped {
  const fields = splitFields(line, source.separator)
    .map((field) => field.trim())
    .filter((field) => field !== '');
  const pairs = fields.map((field) => /^([A-Za-z_][\w.-]*)\s*[=:]\s*(.*)$/.exec(field));
  // One field that is no pair, and the whole line is something else: boot messages, a torn line.
  if (pairs.length === 0 || pairs.some((pair) => pair === null)) return none;
  const found = pairs.find((pair) => pair?.[1] === source.field);
  if (found === undefined) return mapping.missing === 'ignore' ? none : fault('missing');
  return readValue(found?.[2] ?? '', mapping);
}

function readColumn(columns: readonly string[], source: LineMapping, mapping: CompiledMapping): Mapped {
  const column = columns[Number(source.field)];
  if (column === undefined) return mapping.missing === 'ignore' ? none : fault('missing');
  return readValue(column, mapping);
}

function readCsv(line: string, source: LineMapping, mapping: CompiledMapping): Mapped {
  const columns = line.split(source.separator ?? (line.includes(';') ? ';' : ','));
  if (source.columns !== undefined && columns.length !== source.columns) return none;
  return readColumn(columns, source, mapping);
}

/** XOR of all characters between `$` and `*`, in two hex digits after it, as marine instruments send (NMEA 0183, IEC 61162-1). */
export function sentenceChecksum(body: string): number {
  let sum = 0;
  for (let at = 0; at < body.length; at += 1) sum ^= body.charCodeAt(at) & 0xff;
  return sum;
}

function readSentence(line: string, source: LineMapping, mapping: CompiledMapping): Mapped {
  if (!line.startsWith('$')) return none;
  const parts = /^\$([^*]*)\*([0-9A-Fa-f]{2})$/.exec(line);
  if (parts === null || sentenceChecksum(parts[1] ?? '') !== Number.parseInt(parts[2] ?? '', 16))
    return fault('checksum');
  return readColumn((parts[1] ?? '').split(source.separator ?? ','), source, mapping);
}

function readJsonLine(line: string, source: LineMapping, mapping: CompiledMapping): Mapped {
  if (!line.startsWith('{')) return none;
  const path = parsePath(source.field);
  if (path.kind === 'error') return fault('missing');
  return readPayload(line, { ...mapping, path: path.path }, { retained: false });
}

/**
 * What one line of a serial device says about one point.
 *
 * @param line whole, without its line end
 * @param source format and field
 * @returns a value, a fault, or nothing where the line is no data line (boot noise) or speaks of other things; never throws
 */
export function readLine(line: string, source: LineMapping, mapping: CompiledMapping): Mapped {
  const plain = line.trim();
  if (plain === '' || plain.length > maxLineLength) return none;
  switch (source.format) {
    case 'key-value':
      return readKeyValue(plain, source, mapping);
    case 'csv':
      return readCsv(plain, source, mapping);
    case 'checksummed':
      return readSentence(plain, source, mapping);
    case 'json':
      return readJsonLine(plain, source, mapping);
  }
}
