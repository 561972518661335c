import type { Reading, ReadingFault } from '../engine/types';
import { convert, parseUnit } from '../units';
import { valueAtPath } from './json-path';
import { type CompiledMapping, unitOfKind } from './mapping';
import { textOfUtf8 } from './utf8';

/** What a message says about a point: a value in the unit of its kind, a fault, or nothing at all. */
export type Mapped =
  | { readonly kind: 'value'; readonly value: number }
  | { readonly kind: 'fault'; readonly fault: ReadingFault }
  | { readonly kind: 'none' };

export interface Arrival {
  /** The broker had kept the message: nobody knows how old it is. */
  readonly retained: boolean;
}

export function fault(kind: ReadingFault): Mapped {
  return { kind: 'fault', fault: kind };
}
const none: Mapped = { kind: 'none' };

/** A sentinel is met within this: firmware cuts 127.9375 to 127.937. */
const sentinelTolerance = 1e-3;
const plainNumber = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,4})?$/;
/** No source writes a number longer than this; what is longer is not worth matching. */
const longestNumber = 64;
const commaNumber = /^[+-]?\d+(?:,\d+)?$/;
const nullWords = new Set(['null', 'none', 'nil', 'unavailable', 'unknown', 'undefined', 'n/a', '-', '--', '---']);

/**
 * A number as text, strictly: no empty text (Number('') is 0), no hex, no trailing words, no thousands separators.
 *
 * @returns the finite number, or why it is none
 */
export function numberOfText(text: string, decimalComma: boolean): number | ReadingFault {
  const plain = text.trim();
  if (plain === '') return 'empty';
  if (plain.length > longestNumber) return 'text';
  const isNumber = decimalComma ? commaNumber.test(plain) : plainNumber.test(plain);
  if (isNumber) {
    const value = Number(decimalComma ? plain.replace(',', '.') : plain);
    return Number.isFinite(value) ? value : 'infinite';
  }
  const word = plain.toLowerCase();
  if (/^[+-]?nan$/.test(word)) return 'not-a-number';
  if (/^[+-]?inf(?:inity)?$/.test(word)) return 'infinite';
  return nullWords.has(word) ? 'null' : 'text';
}

function tokenOf(text: string, mapping: CompiledMapping): number | undefined {
  return mapping.tokens.get(mapping.tokensIgnoreCase ? text.toUpperCase() : text);
}

/** From the raw number of a source to the unit of the kind of point. */
function inUnitOfKind(raw: number, mapping: CompiledMapping, unitText: string | null): Mapped {
  if (!Number.isFinite(raw)) return fault(Number.isNaN(raw) ? 'not-a-number' : 'infinite');
  if (mapping.sentinels.some((sentinel) => Math.abs(raw - sentinel) <= sentinelTolerance)) return fault('sentinel');
  const scaled = raw * mapping.scale + mapping.offset;
  if (!Number.isFinite(scaled)) return fault('infinite');
  const own = unitOfKind(mapping.kind);
  const from = unitText ?? mapping.unit;
  if (own === null || from === null || from === own) return { kind: 'value', value: scaled };
  const converted = convert(scaled, from, own);
  if (converted.kind === 'error') return fault('unit');
  return Number.isFinite(converted.value) ? { kind: 'value', value: converted.value } : fault('infinite');
}

/**
 * What a raw value from any source says, once it stands alone: a JSON member, a field of a line, a decoded register.
 *
 * @param raw anything JSON can hold
 * @param unitText unit the message itself stated; null where the mapping's own holds
 * @returns the value [unit of the kind], or the fault; never throws
 */
export function readValue(raw: unknown, mapping: CompiledMapping, unitText: string | null = null): Mapped {
  if (raw === null) return fault('null');
  const isState = unitOfKind(mapping.kind) === null;
  switch (typeof raw) {
    case 'number': {
      const token = tokenOf(String(raw), mapping);
      return token !== undefined ? { kind: 'value', value: token } : inUnitOfKind(raw, mapping, unitText);
    }
    case 'boolean': {
      const token = tokenOf(String(raw), mapping);
      if (token !== undefined) return { kind: 'value', value: token };
      return isState ? { kind: 'value', value: raw ? 1 : 0 } : fault('not-a-number');
    }
    case 'string': {
      const text = raw.trim();
      const token = tokenOf(text, mapping);
      if (token !== undefined) return { kind: 'value', value: token };
      const value = numberOfText(text, mapping.decimalComma);
      if (typeof value === 'number') return inUnitOfKind(value, mapping, unitText);
      return fault(value === 'text' && (isState || mapping.tokens.size > 0) ? 'unknown-token' : value);
    }
    default:
      return fault('text');
  }
}

function parseJson(text: string): { readonly document: unknown } | null {
  try {
    return { document: JSON.parse(text) as unknown };
  } catch {
    return null;
  }
}

/** The unit the document states; a fault where it should and doesn't, or says nonsense. */
function statedUnit(document: unknown, mapping: CompiledMapping): string | null | 'fault' {
  if (mapping.unitPath === null) return null;
  const stated = valueAtPath(document, mapping.unitPath);
  if (stated === undefined) return mapping.unit ?? 'fault';
  return typeof stated === 'string' && parseUnit(stated).kind === 'ok' ? stated : 'fault';
}

function readDocument(text: string, mapping: CompiledMapping): Mapped {
  const parsed = parseJson(text);
  if (parsed === null) return fault('text');
  const raw = mapping.path === null ? parsed.document : valueAtPath(parsed.document, mapping.path);
  if (raw === undefined) return mapping.missing === 'ignore' ? none : fault('missing');
  const unit = statedUnit(parsed.document, mapping);
  return unit === 'fault' ? fault('unit') : readValue(raw, mapping, unit);
}

/** Text of a payload without byte order mark and surrounding blanks; a fault where it is too large, binary or empty. */
export function textOfPayload(
  payload: string | Uint8Array,
  maxBytes: number,
): { readonly text: string } | ReadingFault {
  if (payload.length > maxBytes) return 'too-large';
  const text = typeof payload === 'string' ? payload : textOfUtf8(payload);
  if (text === null) return 'text';
  const plain = text.replace(/^\uFEFF/, '').trim();
  return plain === '' ? 'empty' : { text: plain };
}

/**
 * What one message says about one point.
 *
 * Text, JSON, binary, empty, huge or hostile: anything may come. Never throws.
 *
 * @param payload as it arrived
 * @param mapping made ready by compileMapping
 * @param arrival whether the broker had kept it
 * @returns a value [unit of the kind of point], a fault, or nothing (a partial message about something else)
 */
export function readPayload(payload: string | Uint8Array, mapping: CompiledMapping, arrival: Arrival): Mapped {
  if (arrival.retained && mapping.retained === 'refuse') return fault('retained');
  const found = textOfPayload(payload, mapping.maxBytes);
  if (typeof found === 'string') return fault(found);
  if (mapping.path !== null || mapping.unitPath !== null || found.text.startsWith('"'))
    return readDocument(found.text, mapping);
  return readValue(found.text, mapping);
}

/** A reading for the engine; null where the message said nothing. */
export function readingOf(mapped: Mapped, point: string, atS: number): Reading | null {
  switch (mapped.kind) {
    case 'value':
      return { point, value: mapped.value, atS };
    case 'fault':
      return { point, value: null, atS, fault: mapped.fault };
    case 'none':
      return null;
  }
}
