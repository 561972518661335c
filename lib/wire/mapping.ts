import { z } from 'zod';
import { type Checked, type Problem, problem } from '../problems';
import { type PointKind, pointKinds } from '../still/schema';
import { parseUnit, quantityOf, type Unit } from '../units';
import { type JsonPath, parsePath } from './json-path';

/** How a raw value becomes a reading, whatever it came over. */
export const valueFields = {
  unit: z
    .string()
    .min(1)
    .optional()
    .describe(
      'Unit the source sends: °C, °F, hPa, mmHg, L/h, % …; the unit of the kind of point if left out (must be given for strength, level and gas)',
    ),
  scale: z.number().optional().describe('Multiplies the raw value, before offset and unit; 1 if left out'),
  offset: z
    .number()
    .optional()
    .describe('Added after the scale, in the unit of the source; 0 if left out. Calibration belongs in the still'),
  tokens: z
    .record(z.string().min(1).max(64), z.number())
    .optional()
    .describe(
      'Words the source sends and the value each stands for, e.g. AN: 1, AUS: 0; ON and OFF and the like are known for drive-state and attendance',
    ),
  sentinels: z
    .array(z.number())
    .max(16)
    .optional()
    .describe(
      'Raw values by which the source means "no reading"; -127 for temperatures if left out. Never list 85: a still runs there',
    ),
  decimalComma: z.boolean().optional().describe('The source writes 78,4 for 78.4'),
};

/** How a text or JSON payload becomes a reading. */
export const payloadFields = {
  path: z
    .string()
    .min(1)
    .max(200)
    .optional()
    .describe(
      "Where the value stands in a JSON payload, e.g. DS18B20*[Id='3C01F0962C11'].Temperature; left out for a plain value",
    ),
  unitPath: z.string().min(1).max(200).optional().describe('Where the payload itself says the unit, e.g. TempUnit'),
  ...valueFields,
  missing: z
    .enum(['fault', 'ignore'])
    .optional()
    .describe(
      'A payload without the value is a fault, or a partial message that says nothing about it (then staleness tells)',
    ),
  retained: z
    .enum(['refuse', 'accept'])
    .optional()
    .describe('A message the broker had kept may be hours old: refused unless said otherwise'),
  maxBytes: z
    .number()
    .int()
    .min(1)
    .max(1048576)
    .optional()
    .describe('A larger payload is refused unread; 65536 if left out'),
};

export const mappingSchema = z.strictObject(payloadFields);
export type Mapping = z.output<typeof mappingSchema>;
export type ValueMapping = Pick<Mapping, keyof typeof valueFields>;

/** A mapping made ready: paths understood, units looked up, defaults in place. */
export interface CompiledMapping {
  readonly kind: PointKind;
  readonly path: JsonPath | null;
  readonly unitPath: JsonPath | null;
  /** Unit of the source; null where it is the unit of the kind. */
  readonly unit: Unit | null;
  readonly scale: number;
  readonly offset: number;
  readonly tokens: ReadonlyMap<string, number>;
  /** Compared as written, or without case (our own words for on and off). */
  readonly tokensIgnoreCase: boolean;
  readonly sentinels: readonly number[];
  readonly decimalComma: boolean;
  readonly missing: 'fault' | 'ignore';
  readonly retained: 'refuse' | 'accept';
  readonly maxBytes: number;
}

/** Words for on and off, open and closed, that need no mapping; upper case. */
const stateWords: ReadonlyMap<string, number> = new Map([
  ...['ON', 'OPEN', 'OPENED', 'TRUE', 'YES'].map((word) => [word, 1] as const),
  ...['OFF', 'CLOSE', 'CLOSED', 'SHUT', 'FALSE', 'NO'].map((word) => [word, 0] as const),
]);

/** Unit of the kind of point, or null for states, which have none. */
export function unitOfKind(kind: PointKind): Unit | null {
  const unit = pointKinds[kind].unit;
  return unit === 'state' ? null : unit;
}

function checkUnit(kind: PointKind, mapping: Mapping): { unit: Unit | null; problems: readonly Problem[] } {
  const own = unitOfKind(kind);
  if (mapping.unit === undefined) {
    if (own !== 'fraction' || mapping.unitPath !== undefined) return { unit: null, problems: [] };
    const remedy = "Say unit: '%' where 42 means forty-two per cent, unit: fraction where 0.42 does";
    return { unit: null, problems: [problem('unit', undefined, `a ${kind} needs its unit stated`, remedy)] };
  }
  if (own === null) {
    return {
      unit: null,
      problems: [problem('unit', mapping.unit, `a ${kind} has no unit`, 'Remove the unit; use tokens or scale')],
    };
  }
  const parsed = parseUnit(mapping.unit);
  if (parsed.kind === 'error')
    return { unit: null, problems: [problem('unit', mapping.unit, parsed.problem, parsed.remedy)] };
  if (quantityOf(parsed.unit) === quantityOf(own)) return { unit: parsed.unit, problems: [] };
  const message = `a ${kind} is a ${quantityOf(own)}, this unit measures ${quantityOf(parsed.unit)}`;
  return {
    unit: null,
    problems: [problem('unit', mapping.unit, message, `Use a unit of ${quantityOf(own)}, e.g. ${own}`)],
  };
}

function checkPath(field: string, text: string | undefined): { path: JsonPath | null; problems: readonly Problem[] } {
  if (text === undefined) return { path: null, problems: [] };
  const parsed = parsePath(text);
  if (parsed.kind === 'ok') return { path: parsed.path, problems: [] };
  return { path: null, problems: [problem(field, text, parsed.problem, parsed.remedy)] };
}

function numberProblems(mapping: Mapping): readonly Problem[] {
  const found: Problem[] = [];
  if (mapping.scale === 0)
    found.push(
      problem('scale', 0, 'a scale of 0 makes every reading the same', 'Use the factor from raw value to unit'),
    );
  if (mapping.sentinels?.includes(85)) {
    found.push(
      problem(
        'sentinels',
        85,
        '85 °C is inside the working range of a still',
        'Remove it; w1 files are checked by their own bytes',
      ),
    );
  }
  return found;
}

/**
 * Makes a mapping ready for one kind of point.
 *
 * @param mapping as configured
 * @param kind of the point it feeds: fixes the unit inside and the words for on and off
 * @returns the mapping ready for readPayload, or every problem with its path inside the mapping
 */
export function compileMapping(mapping: Mapping, kind: PointKind): Checked<CompiledMapping> {
  const unit = checkUnit(kind, mapping);
  const path = checkPath('path', mapping.path);
  const unitPath = checkPath('unitPath', mapping.unitPath);
  const problems = [...unit.problems, ...path.problems, ...unitPath.problems, ...numberProblems(mapping)];
  if (problems.length > 0) return { kind: 'bad', problems };
  const isState = unitOfKind(kind) === null;
  const isTemperature = unitOfKind(kind) === 'C';
  const value: CompiledMapping = {
    kind,
    path: path.path,
    unitPath: unitPath.path,
    unit: unit.unit,
    scale: mapping.scale ?? 1,
    offset: mapping.offset ?? 0,
    tokens: mapping.tokens === undefined ? (isState ? stateWords : new Map()) : new Map(Object.entries(mapping.tokens)),
    tokensIgnoreCase: mapping.tokens === undefined,
    sentinels: mapping.sentinels ?? (isTemperature ? [-127] : []),
    decimalComma: mapping.decimalComma ?? false,
    missing: mapping.missing ?? 'fault',
    retained: mapping.retained ?? 'refuse',
    maxBytes: mapping.maxBytes ?? 65536,
  };
  return { kind: 'ok', value, warnings: [] };
}
