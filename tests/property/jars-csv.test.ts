import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  checkSheet,
  commaStyle,
  plainStyle,
  readCsv,
  type Sheet,
  type SheetDocument,
  verdicts,
  writeCsv,
} from '../../lib/jars';
import { showProblem } from '../../lib/problems';

const opt = <T>(of: fc.Arbitrary<T>) => fc.option(of, { nil: undefined });
/** Drops what is undefined, as JSON does. */
const plain = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T;
const note = (longest: number) => opt(fc.string({ unit: 'grapheme', minLength: 1, maxLength: longest / 4 }));
const double = (min: number, max: number) => fc.double({ min, max, noNaN: true });

const reading = fc.record({
  vapourTempC: opt(double(20, 110)),
  boilerTempC: opt(double(20, 110)),
  airPressureHPa: opt(double(800, 1050)),
  timeS: opt(double(0, 50_000)),
});
const word = fc
  .string({ unit: 'grapheme-ascii', minLength: 1, maxLength: 10 })
  .filter((text) => text.trim() === text && !text.includes('|') && text !== '');
const tasting = (taster: string) =>
  fc.record({
    taster: fc.constant(taster),
    nose: note(400),
    back: note(400),
    descriptors: fc.array(word, { maxLength: 3 }),
    intensity: opt(double(0, 5)),
    // A taster with nothing to say leaves no cell, so everyone says something.
    verdict: fc.constantFrom(...verdicts),
  });
const jar = fc.record({
  start: opt(reading),
  end: opt(reading),
  volumeL: opt(double(0.01, 50)),
  strengthVolPercent: opt(double(0, 95)),
  sampleTempC: opt(double(-5, 35)),
  note: note(800),
  verdict: opt(fc.constantFrom(...verdicts)),
  tastings: fc.subarray(['Ann', 'Ben (guest)', '=Cid;"x"']).chain((names) => fc.tuple(...names.map(tasting))),
});
const sheet: fc.Arbitrary<SheetDocument> = fc
  .record({
    name: fc.string({ unit: 'grapheme', minLength: 1, maxLength: 20 }),
    startedAt: opt(fc.constantFrom('2026-10-03T08:10', '3 October')),
    still: fc.record({
      name: fc.string({ unit: 'grapheme', minLength: 1, maxLength: 20 }),
      holdUpL: double(0, 1),
      kind: fc.constantFrom('pot' as const, 'column' as const),
    }),
    charge: fc.record({ volumeL: double(1, 1000), strengthVolPercent: double(1, 40), what: note(60) }),
    heaterW: opt(double(100, 1e5)),
    probe: fc.record({ offsetK: double(-1, 1), accuracyK: double(0.01, 1) }),
    airPressure: fc.constantFrom({ basis: 'station' as const }, { basis: 'sea-level' as const, altitudeM: 420.5 }),
    jars: fc.array(jar, { maxLength: 12 }),
  })
  .map(
    (made) =>
      plain({
        sheet: 1 as const,
        ...made,
        jars: made.jars.map((one, index) => ({ number: index + 1, ...one })),
      }) as SheetDocument,
  );

/** Empty readings are no readings: CSV has no cell for them. */
function withoutEmpty(read: Sheet): Sheet {
  return {
    ...read,
    jars: read.jars.map(({ start, end, ...one }) => ({
      ...one,
      ...(start !== undefined && Object.keys(start).length > 0 ? { start } : {}),
      ...(end !== undefined && Object.keys(end).length > 0 ? { end } : {}),
    })),
  };
}

describe('any jar sheet', () => {
  it('is the same after CSV, whatever the separator, the decimal sign and what people write in notes', () => {
    fc.assert(
      fc.property(
        sheet,
        fc.constantFrom(plainStyle, commaStyle, { ...commaStyle, separator: '\t' as const }),
        (document, style) => {
          const checked = checkSheet(document);
          if (checked.kind === 'bad') throw new Error(checked.problems.map(showProblem).join('\n'));
          const back = readCsv(writeCsv(checked.value, style));
          if (back.kind === 'bad') throw new Error(back.problems.map(showProblem).join('\n'));
          const order = (one: Sheet) => ({
            ...one,
            jars: one.jars.map((each) => ({
              ...each,
              tastings: [...each.tastings].sort((a, b) => (a.taster < b.taster ? -1 : 1)),
            })),
          });
          expect(order(back.value)).toEqual(order(withoutEmpty(checked.value)));
        },
      ),
      { numRuns: 300 },
    );
  });

  it('and any other text is read as a sheet or refused with its lines, and nothing is thrown', () => {
    const cell = fc.oneof(
      fc.constantFrom(
        'jar',
        'vapour [°C]',
        'volume [mL]',
        'strength',
        'verdict',
        '#charge [L]',
        '"',
        '""',
        '\n',
        '\r\n',
        ';',
        ',',
        '\t',
        '81,4',
        '1.2.3',
        '#',
        'nose (A)',
      ),
      fc.string({ unit: 'binary', maxLength: 6 }),
    );
    fc.assert(
      fc.property(fc.array(cell, { maxLength: 60 }), (cells) => {
        const result = readCsv(cells.join(''), { charge: { volumeL: 50, strengthVolPercent: 30 } });
        if (result.kind === 'bad') for (const one of result.problems) expect(one.remedy).not.toBe('');
      }),
      { numRuns: 3000 },
    );
  });
});
