import fc, { type Arbitrary } from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Input, Order, OrderKind, Reading, ReadingFault } from '../../lib/engine/types';
import { decodeInputs, encodeInputs, readChunk, readExactJson, writeExactJson } from '../../lib/record';
import { crc32 } from '../../lib/record/crc32';

/** Objects with the usual prototype: the record gives back plain data. */
const plainRecord = <T extends object>(model: { [K in keyof T]: Arbitrary<T[K]> }): Arbitrary<T> =>
  fc.record<T>(model, { noNullPrototype: true });

const faults: readonly ReadingFault[] = ['missing', 'null', 'text', 'not-a-number', 'infinite', 'sentinel', 'offline'];
const kinds: readonly OrderKind[] = ['start', 'hold', 'cut', 'acknowledge', 'note'];

/** Values as probes send them, and as nothing should. */
const value = fc.oneof(
  { weight: 6, arbitrary: fc.integer({ min: 0, max: 2000 }).map((n) => n * 0.0625) },
  { weight: 4, arbitrary: fc.integer({ min: -1000, max: 110_000 }).map((n) => n / 100) },
  { weight: 2, arbitrary: fc.float() },
  { weight: 2, arbitrary: fc.double() },
  {
    weight: 2,
    arbitrary: fc.constantFrom(
      0,
      -0,
      85,
      -127,
      Number.NaN,
      Infinity,
      -Infinity,
      5e-324,
      Number.MAX_VALUE,
      2 ** 53,
      2 ** 46,
      0.1 + 0.2,
    ),
  },
  { weight: 1, arbitrary: fc.constant(null) },
);
const time = fc.oneof(
  fc.integer({ min: 0, max: 40_000_000 }).map((n) => n / 1000),
  fc.integer({ min: 0, max: 40_000 }),
  fc.double({ min: 0, max: 1e9, noNaN: true }),
  fc.double(),
);
const point = fc.oneof(
  fc.constantFrom('vapour', 'boiler', 'barometer', 'heat-power'),
  fc.string({ unit: 'binary' }),
  fc.constant('__proto__'),
);
const reading: fc.Arbitrary<Reading> = plainRecord({
  point,
  value,
  atS: time,
  fault: fc.option(fc.constantFrom(...faults), { nil: undefined }),
}).map(({ fault, ...plain }) => (fault === undefined ? plain : { ...plain, fault }));
const order: fc.Arbitrary<Order> = plainRecord({
  id: fc.string({ unit: 'binary' }),
  kind: fc.constantFrom(...kinds),
  by: fc.string({ unit: 'grapheme' }),
  from: fc.constantFrom('still' as const, 'remote' as const),
  text: fc.option(fc.string({ unit: 'binary' }), { nil: undefined }),
  forS: fc.option(fc.double(), { nil: undefined }),
}).map(({ text, forS, ...plain }) => ({
  ...plain,
  ...(text === undefined ? {} : { text }),
  ...(forS === undefined ? {} : { forS }),
}));
const anyInput: fc.Arbitrary<Input> = plainRecord({
  now: time,
  readings: fc.array(reading, { maxLength: 6 }),
  orders: fc.oneof(
    { weight: 9, arbitrary: fc.constant([]) },
    { weight: 1, arbitrary: fc.array(order, { maxLength: 3 }) },
  ),
  dropped: fc.option(fc.integer({ min: 1, max: 1e6 }), { nil: undefined, freq: 9 }),
}).map(({ dropped, ...plain }) => (dropped === undefined ? plain : { ...plain, dropped }));

/** Scans as a host makes them: forward, on a millisecond clock, each reading stamped when it arrived, now and then a tick. */
const steadyInputs = fc
  .array(
    plainRecord({
      afterMs: fc.integer({ min: 1, max: 1500 }),
      lagMs: fc.integer({ min: 0, max: 3 }),
      values: fc.array(value, { maxLength: 4 }),
    }),
  )
  .map((scans) => {
    let nowMs = 7_200_000;
    return scans.map(({ afterMs, lagMs, values }): Input => {
      nowMs += afterMs;
      return {
        now: nowMs / 1000,
        readings: values.map((read, i) => ({ point: `point-${i}`, value: read, atS: (nowMs - lagMs) / 1000 })),
        orders: [],
      };
    });
  });

describe('a chunk', () => {
  it('gives back any inputs bit for bit', () => {
    fc.assert(
      fc.property(fc.array(anyInput, { maxLength: 40 }), (inputs) => {
        expect(decodeInputs(encodeInputs(inputs))).toStrictEqual(inputs);
      }),
      { numRuns: 2000 },
    );
  });

  it('gives back steady inputs bit for bit', () => {
    fc.assert(
      fc.property(steadyInputs, (inputs) => {
        expect(decodeInputs(encodeInputs(inputs))).toStrictEqual(inputs);
      }),
      { numRuns: 1000 },
    );
  });

  it('gives back the bits of a whole column of odd doubles, long enough for exceptions among decimals', () => {
    fc.assert(
      fc.property(fc.array(value, { minLength: 1, maxLength: 200 }), (values) => {
        const inputs = values.map(
          (read, i): Input => ({ now: i / 10, readings: [{ point: 'vapour', value: read, atS: i / 10 }], orders: [] }),
        );
        expect(decodeInputs(encodeInputs(inputs))).toStrictEqual(inputs);
      }),
      { numRuns: 1000 },
    );
  });

  it('gives back the bits of a decimal column with a rare oddity in it', () => {
    const plain = fc.integer({ min: -2000, max: 2000 }).map((n) => n / 16);
    const odd = fc.constantFrom(
      -0,
      Number.NaN,
      Infinity,
      -Infinity,
      Math.PI,
      5e-324,
      2 ** 46,
      -(2 ** 46),
      2 ** 46 - 1,
      2 ** 60,
      1e-12,
    );
    const column = fc.array(plain, { minLength: 34, maxLength: 80 });
    fc.assert(
      fc.property(column, fc.array(fc.tuple(fc.nat(), odd), { maxLength: 2 }), (values, oddities) => {
        for (const [place, oddity] of oddities) values[place % values.length] = oddity;
        const inputs = values.map(
          (read, i): Input => ({ now: i, readings: [{ point: 'vapour', value: read, atS: i }], orders: [] }),
        );
        expect(decodeInputs(encodeInputs(inputs))).toStrictEqual(inputs);
      }),
      { numRuns: 1000 },
    );
  });

  it('is the same bytes for the same inputs', () => {
    fc.assert(
      fc.property(fc.array(anyInput, { maxLength: 10 }), (inputs) => {
        expect(encodeInputs(inputs)).toEqual(encodeInputs(structuredClone(inputs)));
      }),
    );
  });

  it('says that it is damaged when any one bit is turned, and gives back nothing', () => {
    fc.assert(
      fc.property(fc.array(anyInput, { maxLength: 12 }), fc.nat(), fc.nat({ max: 7 }), (inputs, at, bit) => {
        const bytes = encodeInputs(inputs);
        const place = at % bytes.length;
        bytes[place] = (bytes[place] ?? 0) ^ (1 << bit);
        expect(readChunk(bytes).kind).toBe('damaged');
      }),
      { numRuns: 2000 },
    );
  });

  it('says that it is damaged when it is cut short or runs on', () => {
    fc.assert(
      fc.property(
        fc.array(anyInput, { maxLength: 12 }),
        fc.nat(),
        fc.uint8Array({ minLength: 1, maxLength: 9 }),
        (inputs, at, more) => {
          const bytes = encodeInputs(inputs);
          expect(readChunk(bytes.slice(0, at % bytes.length)).kind).toBe('damaged');
          expect(readChunk(Uint8Array.from([...bytes, ...more])).kind).toBe('damaged');
        },
      ),
      { numRuns: 1000 },
    );
  });
});

describe('a forged chunk, its checksum made to fit', () => {
  it('is read as something or refused with a message, and never stops the reader', () => {
    fc.assert(
      fc.property(
        fc.array(anyInput, { maxLength: 12 }),
        fc.array(fc.tuple(fc.nat(), fc.nat({ max: 255 })), { minLength: 1, maxLength: 4 }),
        (inputs, changes) => {
          const bytes = encodeInputs(inputs);
          const body = bytes.subarray(0, bytes.length - 4);
          for (const [at, byte] of changes) body[4 + (at % (body.length - 4))] = byte;
          new DataView(bytes.buffer).setUint32(body.length, crc32(body), true);
          const read = readChunk(bytes);
          if (read.kind === 'damaged') expect(read.message).toMatch(/^the chunk /);
          else expect(Array.isArray(read.inputs)).toBe(true);
        },
      ),
      { numRuns: 5000 },
    );
  });
});

describe('exact JSON', () => {
  it('gives back any plain data, odd numbers and its own mark included', () => {
    const data = fc.anything({
      key: fc.oneof(fc.string(), fc.constant('$exact')),
      values: [fc.double(), fc.string({ unit: 'binary' }), fc.constantFrom(null, true, -0, Number.NaN)],
    });
    fc.assert(
      fc.property(data, (thing) => {
        expect(readExactJson(writeExactJson(thing))).toStrictEqual(thing);
      }),
      { numRuns: 2000 },
    );
  });
});
