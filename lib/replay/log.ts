import { type Checked, type Problem, problem, warning } from '../problems';
import { type PointKind, pointKinds } from '../still/schema';

/** A recorded log: one row a time, one column a point. */
export interface Log {
  /** Column names after timeS: kinds in camel case with their unit, or names of points. */
  readonly columns: readonly string[];
  readonly rows: readonly {
    readonly line: number;
    readonly timeS: number;
    readonly values: readonly (number | null)[];
  }[];
  /** Usual spacing of the rows [s]. */
  readonly spacingS: number;
}

const unitEndings: Readonly<Record<string, string>> = {
  C: 'C',
  hPa: 'HPa',
  fraction: '',
  'L/h': 'LPerH',
  L: 'L',
  W: 'W',
  state: '',
};

/** Header of a kind of point in a log: `vapourTempC`, `airPressureHPa`, `coolantFlowLPerH`, … */
export function headerOf(kind: PointKind): string {
  const camel = kind.replace(/-(\w)/g, (_all, letter: string) => letter.toUpperCase());
  return camel + (unitEndings[pointKinds[kind].unit] ?? '');
}

const kindsByHeader = new Map<string, PointKind>(
  (Object.keys(pointKinds) as PointKind[]).map((kind) => [headerOf(kind), kind]),
);

export function kindOfHeader(header: string): PointKind | null {
  return kindsByHeader.get(header) ?? null;
}

const separators = [';', '\t', ','] as const;
const problemLimit = 50;

/**
 * Reads a log from CSV text: a header with `timeS` and at least one point, numbers with a decimal point (or a comma,
 * where the columns are parted by semicolons). An empty cell is no reading. Rows that go back in time are passed over
 * with a warning; a cell that is no number is an error. All problems at once, with their line.
 *
 * @param text the file
 * @param points names of points that may stand as columns besides the kinds
 */
export function parseLog(text: string, points: readonly string[] = []): Checked<Log> {
  const lines = text.replace(/^\uFEFF/, '').split(/\r?\n/);
  const first = lines.findIndex((line) => line.trim() !== '' && !line.startsWith('#'));
  const header = lines[first];
  if (header === undefined) {
    return {
      kind: 'bad',
      problems: [problem('', text, 'is empty', 'Give a CSV file with a header line: timeS,vapourTempC,…')],
    };
  }
  const separator = separators.find((one) => header.includes(one)) ?? ',';
  const names = header.split(separator).map((name) => name.trim().replace(/^"|"$/g, ''));
  const problems = headerProblems(names, points, first + 1);
  if (problems.length > 0) return { kind: 'bad', problems };
  return readRows(lines, first + 1, names, separator);
}

function headerProblems(names: readonly string[], points: readonly string[], line: number): Problem[] {
  const found: Problem[] = [];
  const known = [...kindsByHeader.keys(), ...points];
  const at = `line ${line}`;
  if (!names.includes('timeS')) {
    found.push(
      problem(at, names.join(','), 'has no column timeS', 'Name the column with the seconds since the start timeS'),
    );
  }
  for (const [index, name] of names.entries()) {
    if (name === 'timeS' ? names.indexOf(name) !== index : names.indexOf(name) !== index) {
      found.push(problem(at, name, 'stands twice in the header', 'Name each column once'));
    } else if (name !== 'timeS' && !known.includes(name)) {
      found.push(problem(at, name, 'is no point', `Use ${known.join(', ')}`));
    }
  }
  if (names.length < 2) found.push(problem(at, names.join(','), 'has no point', 'Add at least vapourTempC'));
  return found;
}

function readRows(lines: readonly string[], from: number, names: readonly string[], separator: string): Checked<Log> {
  const time = names.indexOf('timeS');
  const columns = names.filter((_name, index) => index !== time);
  const rows: { line: number; timeS: number; values: (number | null)[] }[] = [];
  const problems: Problem[] = [];
  const warnings: Problem[] = [];
  const gaps: number[] = [];
  for (let index = from; index < lines.length && problems.length < problemLimit; index += 1) {
    const line = lines[index]!;
    if (line.trim() === '' || line.startsWith('#')) continue;
    const at = `line ${index + 1}`;
    const cells = line.split(separator).map((cell) => readCell(cell, separator));
    if (cells.length !== names.length) {
      problems.push(
        problem(at, line, `has ${cells.length} cells, the header ${names.length}`, 'Give every row one cell a column'),
      );
      continue;
    }
    const wrong = cells.findIndex((cell) => typeof cell === 'string');
    const timeS = cells[time];
    if (wrong >= 0 || typeof timeS !== 'number') {
      const column = wrong >= 0 ? wrong : time;
      problems.push(
        problem(
          `${at}, ${names[column]}`,
          cells[column] ?? '',
          'is no number',
          'Write a number, or leave the cell empty',
        ),
      );
      continue;
    }
    const last = rows[rows.length - 1];
    if (last !== undefined && timeS < last.timeS) {
      warnings.push(
        warning(
          `${at}, timeS`,
          timeS,
          `is before ${last.timeS} of line ${last.line}; row passed over`,
          'Sort the log by time',
        ),
      );
      continue;
    }
    if (last !== undefined && timeS === last.timeS) {
      warnings.push(
        warning(
          `${at}, timeS`,
          timeS,
          `stands already in line ${last.line}; both are read`,
          'Give each row its own time',
        ),
      );
    } else if (last !== undefined) gaps.push(timeS - last.timeS);
    rows.push({ line: index + 1, timeS, values: (cells as (number | null)[]).filter((_cell, cell) => cell !== time) });
  }
  if (rows.length === 0 && problems.length === 0)
    problems.push(problem('', undefined, 'has no rows', 'Give at least one row below the header'));
  if (problems.length > 0) return { kind: 'bad', problems: [...problems, ...warnings] };
  const spacingS = median(gaps) ?? 1;
  return { kind: 'ok', value: { columns, rows, spacingS }, warnings: [...warnings, ...gapWarnings(rows, spacingS)] };
}

function readCell(cell: string, separator: string): number | null | string {
  const text = cell.trim().replace(/^"|"$/g, '');
  if (text === '') return null;
  const plain = separator === ';' ? text.replace(',', '.') : text;
  const value = Number(plain);
  return Number.isFinite(value) ? value : text;
}

function gapWarnings(rows: Log['rows'], spacingS: number): Problem[] {
  const found: Problem[] = [];
  for (const [index, row] of rows.entries()) {
    const before = rows[index - 1];
    if (before === undefined || row.timeS - before.timeS <= Math.max(60, 10 * spacingS)) continue;
    const message = `follows ${Math.round(row.timeS - before.timeS)} s after line ${before.line}`;
    found.push(
      warning(
        `line ${row.line}, timeS`,
        row.timeS,
        message,
        'Readings are stale within the gap, as they would be live',
      ),
    );
  }
  return found.slice(0, problemLimit);
}

function median(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1]!;
}
