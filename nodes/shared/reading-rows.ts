import { type Checked, type Problem, problem } from '../../lib/problems';
import { pointKinds, type Still } from '../../lib/still/schema';
import { type CompiledMapping, compileMapping, filterMatches, isTopicFilter, type Mapping } from '../../lib/wire';

/** One line of the readings table as the editor keeps it: where a point's value comes from. */
export interface ReadingRow {
  readonly point: string;
  /** Topic or filter (+, #); any message with the property if empty. */
  readonly topic?: string;
  /** Where the value sits in the message; payload if empty. */
  readonly property?: string;
  /** What the source sends; the unit of the point if empty. */
  readonly unit?: string;
  /** The unit is a word in the message, at this property. */
  readonly unitType?: 'unit' | 'msg';
}

/** A line made ready. */
export interface CompiledRow {
  readonly point: string;
  readonly topic: string | null;
  /** First part of the property, e.g. payload. */
  readonly head: string;
  readonly property: string;
  readonly unitProperty: string | null;
  readonly mapping: CompiledMapping;
}

/** `payload.temp[0]` is `temp[0]` inside `payload`. */
function splitProperty(property: string): { head: string; rest: string } {
  const found = /^([^.[\]]+)(?:\.|(?=\[))?(.*)$/.exec(property);
  return { head: found?.[1] ?? property, rest: found?.[2] ?? '' };
}

function compileRow(row: ReadingRow, still: Still, path: string, lenient: boolean): Checked<CompiledRow> {
  const point = still.points[row.point];
  if (point === undefined) {
    const names = Object.keys(still.points).join(', ');
    return {
      kind: 'bad',
      problems: [problem(`${path}.point`, row.point, `is no point of still "${still.id}"`, `Use one of ${names}`)],
    };
  }
  const topic = row.topic === undefined || row.topic === '' ? null : row.topic;
  if (topic !== null && !isTopicFilter(topic)) {
    return { kind: 'bad', problems: [problem(`${path}.topic`, topic, 'is no topic', 'Put # last and + alone')] };
  }
  const property = row.property === undefined || row.property === '' ? 'payload' : row.property;
  const { head, rest } = splitProperty(property);
  const fromMessage = row.unitType === 'msg' && row.unit !== undefined && row.unit !== '';
  const stated = !fromMessage && row.unit !== undefined && row.unit !== '' ? { unit: row.unit } : {};
  // A fraction without a stated unit is ambiguous for a stranger's device, not for a message made for this node.
  const unit =
    stated.unit === undefined && lenient && pointKinds[point.kind].unit === 'fraction' ? 'fraction' : stated.unit;
  const mapping: Mapping = {
    ...(unit === undefined ? {} : { unit }),
    ...(rest === '' ? {} : { path: rest }),
    missing: topic === null ? 'ignore' : 'fault',
  };
  const compiled = compileMapping(mapping, point.kind);
  if (compiled.kind === 'bad') {
    return { kind: 'bad', problems: compiled.problems.map((one) => ({ ...one, path: `${path}.${one.path}` })) };
  }
  const unitProperty = fromMessage ? (row.unit ?? '') : null;
  return {
    kind: 'ok',
    value: { point: row.point, topic, head, property, unitProperty, mapping: compiled.value },
    warnings: [],
  };
}

/** All lines of the table, or every problem with it. */
export function compileRows(rows: readonly ReadingRow[], still: Still): Checked<readonly CompiledRow[]> {
  const problems: Problem[] = [];
  const compiled: CompiledRow[] = [];
  for (const [index, row] of rows.entries()) {
    const checked = compileRow(row, still, `readings.${index}`, row.unitType === 'msg');
    if (checked.kind === 'ok') compiled.push(checked.value);
    else problems.push(...checked.problems);
  }
  return problems.length > 0 ? { kind: 'bad', problems } : { kind: 'ok', value: compiled, warnings: [] };
}

/** What holds for a point nobody wrote a line for: topic is its name, value in payload, unit its own or msg.unit. */
export function plainRow(point: string, still: Still): CompiledRow {
  const checked = compileRow({ point, topic: point, unit: 'unit', unitType: 'msg' }, still, 'readings', true);
  if (checked.kind === 'bad') throw new Error(`assertion: ${checked.problems[0]?.message}`);
  return checked.value;
}

export function rowMatches(row: CompiledRow, topic: string): boolean {
  return row.topic === null || row.topic === topic || filterMatches(row.topic, topic);
}
