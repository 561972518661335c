import { describe, expect, it } from 'vitest';
import type { PointKind } from '../../lib/still/schema';
import { convert } from '../../lib/units';
import {
  type CompiledMapping,
  compileMapping,
  type LineFormat,
  type Mapped,
  type Mapping,
  nothingYet,
  parsePath,
  type RegisterType,
  readAvailability,
  readLine,
  readPayload,
  readRegisters,
  readReply,
  readThermometerFile,
  registerSentinels,
  takeLines,
  type WordOrder,
} from '../../lib/wire';
import data from './data/feed_payload_samples.json';

/*
 * Payload shapes of common firmware, with invented values; each sample says in `basis` whether its shape was seen in the firmware's own
 * documentation or is from memory. Every sample with an expectation is run; none is left out.
 */
interface Expectation {
  readonly path?: string;
  readonly value?: number | boolean;
  readonly unit?: string;
  readonly quality?: 'bad' | 'none';
  readonly reason?: string;
  readonly availability?: boolean;
  readonly commandError?: boolean;
  readonly action?: string;
}
interface Sample {
  readonly id: string;
  readonly transport: 'mqtt' | 'file' | 'serial' | 'modbus';
  readonly payload?: string;
  readonly registers?: readonly number[];
  readonly decode?: string;
  readonly retain?: boolean;
  readonly expect?: readonly Expectation[];
}
const samples = data.samples as readonly unknown[] as readonly Sample[];

/** What a person would configure beyond what the expectation itself says. */
const configured: Readonly<Record<string, Partial<Mapping>>> = {
  hostile_bom: { path: 't' },
};

function kindFor(expected: Expectation, sample: Sample): PointKind {
  if (typeof expected.value === 'boolean' || sample.id === 'tasmota_stat_custom_text') return 'drive-state';
  if (expected.path?.endsWith('Pressure') === true) return 'air-pressure';
  return expected.path === 'apower' ? 'heat-power' : 'room-temp';
}

function mappingFor(expected: Expectation, sample: Sample): CompiledMapping {
  const payload = sample.payload ?? '';
  const kind = kindFor(expected, sample);
  const stated =
    kind === 'air-pressure'
      ? 'PressureUnit'
      : payload.includes('"TempUnit"') && kind === 'room-temp'
        ? 'TempUnit'
        : null;
  const isDocument = payload.trimStart().startsWith('{') && sample.transport === 'mqtt';
  const compiled = compileMapping(
    {
      ...(expected.path !== undefined && isDocument ? { path: expected.path } : {}),
      ...(stated !== null ? { unitPath: stated } : {}),
      ...(sample.retain === true ? { retained: 'accept' } : {}),
      ...configured[sample.id],
    },
    kind,
  );
  if (compiled.kind === 'bad') throw new Error(JSON.stringify(compiled.problems));
  return compiled.value;
}

function readSerial(sample: Sample, expected: Expectation, mapping: CompiledMapping): Mapped {
  const text = sample.payload ?? '';
  const format: LineFormat = text.startsWith('{')
    ? 'json'
    : text.startsWith('$')
      ? 'checksummed'
      : text.includes('=')
        ? 'key-value'
        : 'csv';
  // The port was open before this chunk came, except where the sample is what a booting device sends first.
  const before = sample.id === 'serial_boot_noise' ? nothingYet : { text: '', startSeen: true };
  const { lines } = takeLines(before, text);
  const field = expected.path ?? 'T1';
  return (
    lines.map((line) => readLine(line, { format, field }, mapping)).find((read) => read.kind !== 'none') ?? {
      kind: 'none',
    }
  );
}

function readRegisterSample(sample: Sample, mapping: CompiledMapping): Mapped {
  const decode = sample.decode ?? '';
  const type: RegisterType = decode.startsWith('float32') ? 'float32' : 'int16';
  const order: WordOrder = decode.includes('CDAB') ? 'CDAB' : 'ABCD';
  const scale = decode.includes('/ 10') ? 0.1 : 1;
  return readRegisters(sample.registers ?? [], type, order, { ...mapping, scale, sentinels: registerSentinels[type] });
}

function readSample(sample: Sample, expected: Expectation): Mapped {
  const mapping = mappingFor(expected, sample);
  switch (sample.transport) {
    case 'mqtt':
      return readPayload(sample.payload ?? '', mapping, { retained: sample.retain === true });
    case 'file':
      return readThermometerFile(sample.payload ?? '', mapping);
    case 'serial':
      return readSerial(sample, expected, mapping);
    case 'modbus':
      return readRegisterSample(sample, mapping);
  }
}

/** The value the engine should see: in the unit of the kind of point. */
function wanted(expected: Expectation): number {
  if (typeof expected.value === 'boolean') return expected.value ? 1 : 0;
  const value = expected.value ?? Number.NaN;
  const inside = { F: 'C', mmHg: 'hPa' }[expected.unit ?? ''];
  if (expected.unit === undefined || inside === undefined) return value;
  const converted = convert(value, expected.unit, inside);
  return converted.kind === 'ok' ? converted.value : Number.NaN;
}

/** The words of the samples on the left, the engine's fault on the right. */
const faults: readonly (readonly [RegExp, string])[] = [
  [/^null/, 'null'],
  [/^missing/, 'missing'],
  [/^nan$/, 'not-a-number'],
  [/^None$/, 'null'],
  [/unknown token/, 'unknown-token'],
  [/^crc NO|^all-ones/, 'checksum'],
  [/^power-on|^all-zero|insufficient power|sentinel|^-127/, 'sentinel'],
  [/^empty|^Number\('/, 'empty'],
  [/decimal comma/, 'text'],
  [/Infinity/, 'infinite'],
];

function check(sample: Sample, expected: Expectation): void {
  if (expected.availability !== undefined) {
    expect(readAvailability(sample.payload ?? '', { path: null })).toBe(expected.availability);
    return;
  }
  if (expected.commandError === true) {
    const [id, error] = [parsePath('id'), parsePath('error.message')];
    if (id.kind !== 'ok' || error.kind !== 'ok') throw new Error('paths');
    const reply = readReply(sample.payload ?? '', { idPath: id.path, errorPath: error.path });
    expect(reply).toEqual({ id: '42', error: "Argument 'id', value 7 not found!" });
    return;
  }
  if (expected.action !== undefined) {
    // Birth of a home automation host: a word of availability like any other; what to do then is the announcer's part.
    expect(readAvailability(sample.payload ?? '', { path: null })).toBe(true);
    return;
  }
  const read = readSample(sample, expected);
  if (expected.quality === 'none') {
    expect(read).toEqual({ kind: 'none' });
  } else if (expected.quality === 'bad') {
    const fault = faults.find(([words]) => words.test(expected.reason ?? 'nan'))?.[1];
    expect(fault, `no fault is named for '${expected.reason}'`).toBeDefined();
    expect(read).toEqual({ kind: 'fault', fault });
  } else {
    expect(read.kind).toBe('value');
    expect(read.kind === 'value' ? read.value : Number.NaN).toBeCloseTo(wanted(expected), 5);
  }
}

describe('feed samples', () => {
  for (const sample of samples) {
    (sample.expect ?? []).forEach((expected, at) => {
      const what =
        expected.quality ?? String(expected.value ?? expected.availability ?? expected.action ?? 'a refused command');
      it(`${sample.id}${at > 0 ? ` (${at + 1})` : ''} › is read as ${what}`, () => check(sample, expected));
    });
  }

  it('holds as many expectations as the file had when it was copied', () => {
    expect(samples.reduce((sum, sample) => sum + (sample.expect?.length ?? 0), 0)).toBe(67);
  });
});
