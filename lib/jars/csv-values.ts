import { type Problem, problem } from '../problems';
import { readNumber, readText } from './csv-cells';
import type { Conversion, Field } from './csv-columns';

/** One column of the file: what it fills, and how. */
export interface Column {
  readonly title: string;
  readonly field: Field;
  readonly taster: string | null;
  readonly conversion: Conversion;
}

/** What is learnt of the whole file while it is read. */
export interface Reading {
  readonly problems: Problem[];
  /** First decimal sign seen, and where. */
  decimal: { readonly sign: '.' | ','; readonly line: number } | null;
  /** A strength in US proof puts the sheet on the 60 °F basis. */
  proof: boolean;
  /** Clock time of the first reading [s of the day], and the last one seen. */
  clockFirstS: number | null;
  clockLastS: number;
}

export function note(
  reading: Reading,
  line: number,
  title: string,
  value: unknown,
  message: string,
  remedy: string,
): void {
  reading.problems.push(problem(`line ${line}, ${title}`, value, message, remedy));
}

function clockS(reading: Reading, cell: string): number | null {
  const match = /^(\d{1,2})[:.](\d{2})(?:[:.](\d{2}))?$/.exec(cell.trim());
  if (match === null) return null;
  const [hours, minutes, seconds] = [Number(match[1]), Number(match[2]), Number(match[3] ?? 0)];
  if (hours > 23 || minutes > 59 || seconds > 59) return null;
  let timeS = hours * 3600 + minutes * 60 + seconds;
  reading.clockFirstS ??= timeS;
  // Past midnight the clock begins anew.
  while (timeS < reading.clockFirstS || timeS < reading.clockLastS - 43_200) timeS += 86_400;
  reading.clockLastS = timeS;
  return timeS - reading.clockFirstS;
}

function numberOf(reading: Reading, line: number, title: string, cell: string): number | null {
  const read = readNumber(cell);
  if (read.kind === 'none') {
    note(
      reading,
      line,
      title,
      cell,
      'is not a number',
      'Write digits with a decimal point or comma and no thousands sign',
    );
    return null;
  }
  if (read.decimal !== null) {
    reading.decimal ??= { sign: read.decimal, line };
    if (reading.decimal.sign !== read.decimal) {
      const message = `mixes decimal point and comma: line ${reading.decimal.line} has "${reading.decimal.sign}"`;
      note(reading, line, title, cell, message, 'Use one of them all through the file');
      return null;
    }
  }
  return read.value;
}

/** The value of a cell in our own unit; undefined where it is empty or wrong. */
export function readCell(reading: Reading, line: number, column: Column, cell: string): unknown {
  const { field, conversion, title } = column;
  if (field.measure === 'text') return cell === '' ? undefined : readText(cell);
  if (cell.trim() === '') return undefined;
  if (field.measure === 'word') return wordOf(reading, line, column, cell);
  if (conversion.kind === 'error') return undefined;
  if (conversion.kind === 'clock') {
    const timeS = clockS(reading, cell);
    if (timeS === null) note(reading, line, title, cell, 'is no time of day', 'Write hours and minutes: 14:05');
    return timeS ?? undefined;
  }
  const value = numberOf(reading, line, title, cell);
  if (value === null) return undefined;
  return conversion.kind === 'convert' ? conversion.to(value) : value;
}

const wordSpellings: Readonly<Record<string, string>> = {
  oak: 'in-for-oak',
  '?': 'unsure',
  '20c': '20C',
  '60f': '60F',
};

function wordOf(reading: Reading, line: number, column: Column, cell: string): string | undefined {
  const plain = cell
    .trim()
    .toLowerCase()
    .replace(/[\s_]+/g, '-')
    .replace('°', '');
  const word = wordSpellings[plain] ?? plain;
  if (column.field.words?.includes(word)) return word;
  note(
    reading,
    line,
    column.title,
    cell,
    'is none of the words known here',
    `Use one of ${column.field.words?.join(', ')}`,
  );
  return undefined;
}
