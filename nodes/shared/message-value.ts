import { pointKinds, type Still } from '../../lib/still/schema';
import { parseUnit, quantityOf } from '../../lib/units';
import { type Mapped, parsePath, readPayload, readValue, unitOfKind, valueAtPath } from '../../lib/wire';
import type { CompiledRow } from './reading-rows';
import { type Trouble, type TroubleCode, trouble } from './troubles';

/** A Node-RED message; anything may be in it. */
export type Message = Readonly<Record<string, unknown>>;

/** What a topic is about: its last level. */
export const lastLevel = (topic: string): string => topic.slice(topic.lastIndexOf('/') + 1);

export function isPlainObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return value !== null && typeof value === 'object' && !Array.isArray(value) && !(value instanceof Uint8Array);
}

/** What a message says about a point: a value or fault for the engine, and what is wrong in words to be told. */
export interface ReadOut {
  readonly mapped: Mapped;
  readonly trouble: Trouble | null;
}

function shown(value: unknown): string {
  if (value instanceof Uint8Array) return `${value.length} bytes`;
  let text: string | undefined;
  try {
    text = typeof value === 'string' ? `"${value}"` : JSON.stringify(value);
  } catch {
    text = undefined;
  }
  const plain = text ?? String(value);
  return plain.length > 40 ? `${plain.slice(0, 39)}…` : plain;
}

/** A property of a message by its path; undefined where there is none. Never reaches inherited members. */
export function propertyOf(message: Message, property: string): unknown {
  const parsed = parsePath(property);
  return parsed.kind === 'ok' ? valueAtPath(message, parsed.path) : undefined;
}

function mapValue(message: Message, row: CompiledRow, unit: string | null): Mapped {
  const head = Object.hasOwn(message, row.head) ? message[row.head] : undefined;
  const none: Mapped = row.topic === null ? { kind: 'none' } : { kind: 'fault', fault: 'missing' };
  if (head === undefined) return none;
  const retained = message.retain === true;
  if (
    (typeof head === 'string' || head instanceof Uint8Array) &&
    (row.mapping.path !== null || head instanceof Uint8Array)
  ) {
    return readPayload(head, row.mapping, { retained });
  }
  if (retained && row.mapping.retained === 'refuse') return { kind: 'fault', fault: 'retained' };
  const raw = row.mapping.path === null ? head : valueAtPath(head, row.mapping.path);
  return raw === undefined ? none : readValue(raw, row.mapping, unit);
}

/** The unit a message states for a row; null where it states none, 'bad' where it is not one of the point's quantity. */
function statedUnit(message: Message, row: CompiledRow): { unit: string | null; bad: boolean } {
  const own = unitOfKind(row.mapping.kind);
  if (row.unitProperty === null || own === null) return { unit: null, bad: false };
  const stated = propertyOf(message, row.unitProperty);
  if (stated === undefined || stated === null || stated === '') return { unit: null, bad: false };
  const text = typeof stated === 'string' ? stated : shown(stated);
  const parsed = parseUnit(text);
  return { unit: text, bad: parsed.kind === 'error' || quantityOf(parsed.unit) !== quantityOf(own) };
}

/** Reads one point out of a message. Never throws, whatever is in it. */
export function readMessage(message: Message, row: CompiledRow, still: Still): ReadOut {
  const { unit, bad } = statedUnit(message, row);
  const mapped: Mapped = bad ? { kind: 'fault', fault: 'unit' } : mapValue(message, row, unit);
  if (mapped.kind !== 'fault') return { mapped, trouble: null };
  const code: TroubleCode = `value-${mapped.fault}`;
  const kind = still.points[row.point]?.kind;
  const fields = {
    point: row.point,
    property: row.property,
    value: shown(propertyOf(message, row.property)),
    unit: unit ?? row.mapping.unit ?? '?',
    wanted: kind === undefined ? '?' : pointKinds[kind].unit,
  };
  return { mapped, trouble: trouble(code, row.point, fields) };
}
