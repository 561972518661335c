import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type PointKind, pointKinds } from '../../lib/still/schema';
import {
  compileMapping,
  filterCovers,
  filterMatches,
  type Mapped,
  mappingSchema,
  nothingYet,
  parseCommand,
  parseOnline,
  parseOrder,
  parsePath,
  parseTopic,
  readAvailability,
  readLine,
  readPayload,
  readReply,
  readThermometerFile,
  takeLines,
  valueAtPath,
} from '../../lib/wire';

const kinds = Object.keys(pointKinds) as PointKind[];
const payload = fc.oneof(
  fc.json({ maxDepth: 6 }),
  fc.string({ unit: 'binary', maxLength: 200 }),
  fc.double().map(String),
  fc.uint8Array({ maxLength: 300 }),
  fc.constantFrom(
    '',
    ' ',
    'null',
    'nan',
    '{"__proto__":1}',
    '{"a":{"toString":null}}',
    '[[[[[[',
    '1e400',
    '\uFEFF7',
    '"',
  ),
);
const path = fc.oneof(
  fc.string({ maxLength: 30 }),
  fc.constantFrom('a', 'a.b[0]', "a*[Id='x'].t", '__proto__.x', "['']", '*', '$'),
);
const mapping = fc
  .record(
    {
      path,
      unitPath: path,
      unit: fc.constantFrom('C', 'F', 'hPa', '%', 'L/h', 'L', 'W', 'x'),
      scale: fc.double({ noNaN: true }),
      offset: fc.double({ noNaN: true }),
      tokens: fc.dictionary(
        fc.string({ minLength: 1, maxLength: 6 }),
        fc.double({ noNaN: true, noDefaultInfinity: true }),
      ),
      sentinels: fc.array(fc.double({ noNaN: true, noDefaultInfinity: true }), { maxLength: 3 }),
      decimalComma: fc.boolean(),
      missing: fc.constantFrom('fault', 'ignore'),
      retained: fc.constantFrom('refuse', 'accept'),
    },
    { requiredKeys: [] },
  )
  .map((made) => mappingSchema.safeParse(made));

function isSound(read: Mapped): boolean {
  return read.kind !== 'value' || Number.isFinite(read.value);
}

describe('anything on the wire', () => {
  it('is read to a finite number, a fault or nothing, and nothing is thrown', () => {
    fc.assert(
      fc.property(payload, mapping, fc.constantFrom(...kinds), fc.boolean(), (sent, made, kind, retained) => {
        if (!made.success) return;
        const compiled = compileMapping(made.data, kind);
        if (compiled.kind === 'bad') {
          expect(compiled.problems.length).toBeGreaterThan(0);
          return;
        }
        expect(isSound(readPayload(sent, compiled.value, { retained }))).toBe(true);
        if (typeof sent === 'string') expect(isSound(readThermometerFile(sent, compiled.value))).toBe(true);
      }),
      { numRuns: 20_000 },
    );
  });

  it('pollutes no prototype', () => {
    const before = Object.keys(Object.prototype).length;
    fc.assert(
      fc.property(fc.json({ maxDepth: 4 }), (inner) => {
        const sent = `{"__proto__":${inner},"constructor":{"prototype":${inner}},"t":1}`;
        const compiled = compileMapping({ path: 't' }, 'vapour-temp');
        if (compiled.kind === 'ok')
          expect(readPayload(sent, compiled.value, { retained: false })).toEqual({ kind: 'value', value: 1 });
      }),
      { numRuns: 2000 },
    );
    expect(Object.keys(Object.prototype).length).toBe(before);
    expect(({} as { polluted?: unknown }).polluted).toBeUndefined();
  });

  it('is an order, or a list of problems with remedies', () => {
    fc.assert(
      fc.property(payload, (sent) => {
        const parsed = parseOrder(sent);
        if (parsed.kind === 'bad') for (const p of parsed.problems) expect(p.remedy).not.toBe('');
      }),
      { numRuns: 10_000 },
    );
  });

  it('is an availability, a reply, a command, a path, a topic, or none', () => {
    const all = [{ kind: 'key', key: 'id' }] as const;
    fc.assert(
      fc.property(payload, (sent) => {
        readAvailability(sent, { path: null });
        readReply(sent, { idPath: all, errorPath: all });
        const text = typeof sent === 'string' ? sent : '';
        parseCommand(text);
        parseOnline(text);
        parseTopic(text);
        const parsed = parsePath(text);
        if (parsed.kind === 'ok') valueAtPath({ a: [1, { b: 2 }] }, parsed.path);
      }),
      { numRuns: 10_000 },
    );
  });

  it('cut into lines anywhere gives the same lines', () => {
    const line = fc.string({ unit: fc.constantFrom('T', '1', '=', '.', ';', ' '), maxLength: 12 });
    fc.assert(
      fc.property(
        fc.array(line, { maxLength: 8 }),
        fc.constantFrom('\n', '\r\n'),
        fc.array(fc.nat(40), { maxLength: 8 }),
        (made, end, cuts) => {
          const text = made.map((one) => one + end).join('');
          const whole = takeLines(nothingYet, text).lines;
          let rest = nothingYet;
          const taken: string[] = [];
          let from = 0;
          for (const cut of [...cuts.sort((a, b) => a - b), text.length]) {
            const step = takeLines(rest, text.slice(from, Math.max(from, cut)));
            from = Math.max(from, cut);
            rest = step.rest;
            taken.push(...step.lines);
          }
          expect(taken).toEqual(whole);
        },
      ),
      { numRuns: 5000 },
    );
  });

  it('on a serial line is a value, a fault or nothing', () => {
    const compiled = compileMapping({}, 'vapour-temp');
    const format = fc.constantFrom('key-value' as const, 'csv' as const, 'checksummed' as const, 'json' as const);
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary', maxLength: 80 }),
        format,
        fc.constantFrom('0', '2', 'T1', 'a.b'),
        (text, form, field) => {
          if (compiled.kind === 'ok')
            expect(isSound(readLine(text, { format: form, field }, compiled.value))).toBe(true);
        },
      ),
      { numRuns: 10_000 },
    );
  });
});

describe('topic filters', () => {
  const level = fc.constantFrom('a', 'b', '', '+');
  const filter = fc
    .tuple(fc.array(level, { minLength: 1, maxLength: 4 }), fc.boolean())
    .map(([levels, all]) => [...levels, ...(all ? ['#'] : [])].join('/'));
  const topic = fc
    .array(fc.constantFrom('a', 'b', ''), { minLength: 1, maxLength: 5 })
    .map((levels) => levels.join('/'));

  it('that are covered match nothing the covering one does not', () => {
    fc.assert(
      fc.property(filter, filter, topic, (allowed, wanted, sent) => {
        if (filterCovers(allowed, wanted) && filterMatches(wanted, sent))
          expect(filterMatches(allowed, sent)).toBe(true);
      }),
      { numRuns: 20_000 },
    );
  });
});
