import { deflateRawSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import type { Input } from '../../lib/engine/types';
import { decodeInputs, decodeSummaries, encodeInputs, encodeSummaries, readChunk, summarise } from '../../lib/record';
import { ByteReader, ByteWriter } from '../../lib/record/bytes';
import { commonDigits, digitsOf, readNumbers, writeNumbers } from '../../lib/record/column';
import { crc32 } from '../../lib/record/crc32';
import { type Stillroom, stillroomInputs } from '../bench/stillroom';

const columnBytes = (values: readonly number[]): Uint8Array => {
  const to = new ByteWriter();
  writeNumbers(to, values);
  return to.finish();
};

/** Bytes a reading after deflating, minute by minute, as the journal stores them. */
function bytesPerReading(room: Stillroom, seconds = 3600): number {
  const minutes = new Map<number, Input[]>();
  let readings = 0;
  for (const input of stillroomInputs(seconds, 7, room)) {
    const minute = Math.floor(input.now / 60);
    minutes.set(minute, [...(minutes.get(minute) ?? []), input]);
    readings += input.readings.length;
  }
  const sizes = [...minutes.values()].map((inputs) => deflateRawSync(encodeInputs(inputs), { level: 9 }).length);
  return sizes.reduce((sum, size) => sum + size, 0) / readings;
}

describe('CRC-32', () => {
  it('gives the published check value', () => {
    // Check value of the algorithm CRC-32/ISO-HDLC over "123456789" (PNG and Ethernet; memory).
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
  });
});

describe('digits of a number', () => {
  it.each([
    [0, 0],
    [85, 0],
    [78.5, 1],
    [0.0625, 4],
    [1013.25, 2],
    [-127, 0],
    [0.1 + 0.2, 13],
    [-0, 13],
    [Number.NaN, 13],
    [1e300, 13],
    [1 / 3, 13],
  ])('%d needs %d', (value, digits) => {
    expect(digitsOf(value)).toBe(digits);
  });

  it('finds no common grid where one number is too large for the digits of another', () => {
    expect(commonDigits([1.5, 2.25])).toBe(2);
    expect(commonDigits([2 ** 45, 1e-6])).toBeNull();
  });
});

describe('a column of numbers', () => {
  it('takes a byte a value for noise in steps of 0.0625 K', () => {
    const values = Array.from({ length: 60 }, (_, i) => 78 + 0.0625 * ((i * 7) % 9));
    expect(columnBytes(values).length).toBeLessThan(60 + 12);
  });

  it('sets a lone odd double apart and keeps the others short', () => {
    const values = Array.from({ length: 60 }, (_, i) => (i === 30 ? Math.PI : 78 + (i % 5) / 10));
    const bytes = columnBytes(values);
    expect(bytes.length).toBeLessThan(60 + 24);
    expect(readNumbers(new ByteReader(bytes), 60)).toStrictEqual(values);
  });

  it('keeps single-precision registers in four bytes', () => {
    const values = Array.from({ length: 60 }, (_, i) => Math.fround(Math.sin(i)));
    expect(columnBytes(values).length).toBe(1 + 4 * 60);
  });
});

describe('a minute of scans', () => {
  const room = { clockS: 0.001, together: false };

  it('costs about 2.5 bytes a reading or less on a millisecond clock, scan by scan and in batches', () => {
    expect(bytesPerReading(room)).toBeLessThan(2.2);
    expect(bytesPerReading({ ...room, together: true })).toBeLessThan(2.2);
  });

  it('costs under four bytes a reading on a microsecond clock, whose jitter is most of it', () => {
    expect(bytesPerReading({ ...room, clockS: 1e-6 })).toBeLessThan(4);
  });

  it('costs nearly nothing where nothing was read', () => {
    const ticks = Array.from({ length: 60 }, (_, i): Input => ({ now: 100 + i, readings: [], orders: [] }));
    expect(deflateRawSync(encodeInputs(ticks), { level: 9 }).length).toBeLessThan(60);
    expect(decodeInputs(encodeInputs(ticks))).toStrictEqual(ticks);
  });

  it('refuses an input with a field it would lose', () => {
    const input = { now: 1, readings: [{ point: 'vapour', value: 1, atS: 1, colour: 'red' }], orders: [] };
    expect(() => encodeInputs([input])).toThrow('a reading has a field "colour" that the record cannot keep');
  });

  it.each([
    ['nothing', new Uint8Array(0), 'is not one of ours'],
    ['something else', new TextEncoder().encode('{"now":1,"readings":[]}'), 'is not one of ours'],
    [
      'a chunk with a bad checksum',
      encodeInputs([]).map((byte, i) => (i === 5 ? byte ^ 1 : byte)),
      'does not agree with its checksum',
    ],
  ])('says what is wrong with %s', (_what, bytes, message) => {
    const read = readChunk(bytes);
    expect(read).toEqual({ kind: 'damaged', message: `the chunk ${message}` });
    expect(() => decodeInputs(bytes)).toThrow(message);
  });

  it('names the version it cannot read', () => {
    const bytes = encodeInputs([]);
    bytes[3] = 9;
    new DataView(bytes.buffer).setUint32(bytes.length - 4, crc32(bytes.subarray(0, -4)), true);
    expect(readChunk(bytes)).toEqual({
      kind: 'damaged',
      message: 'the chunk has version 9, and this program reads version 1',
    });
  });
});

describe('a minute summary', () => {
  const inputs: Input[] = [
    { now: 1, readings: [{ point: 'vapour', value: 78, atS: 1 }], orders: [] },
    {
      now: 2,
      readings: [
        { point: 'vapour', value: 80, atS: 2 },
        { point: 'boiler', value: null, atS: 2, fault: 'null' },
        { point: 'vapour', value: 85, atS: 2, fault: 'sentinel' },
        { point: 'vapour', value: Number.NaN, atS: 2 },
      ],
      orders: [],
    },
    { now: 3, readings: [{ point: 'vapour', value: 79, atS: 3 }], orders: [] },
  ];

  it('counts only readings that are numbers without a fault', () => {
    expect(summarise(inputs)).toEqual([{ point: 'vapour', count: 3, min: 78, mean: 79, max: 80, last: 79 }]);
  });

  it('comes back from its bytes to single precision', () => {
    const points = ['boiler', 'vapour'];
    const bytes = encodeSummaries(summarise(inputs), (point) => points.indexOf(point));
    expect(decodeSummaries(bytes, points)).toEqual(summarise(inputs));
    expect(bytes.length).toBe(1 + 2 + 16);
  });

  it('is refused when it is cut short or names an unknown point', () => {
    const bytes = encodeSummaries(summarise(inputs), () => 1);
    expect(decodeSummaries(bytes.slice(0, 10), ['boiler', 'vapour'])).toBeNull();
    expect(decodeSummaries(bytes, ['boiler'])).toBeNull();
  });
});
