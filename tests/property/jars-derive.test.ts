import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  checkSheet,
  type DeriveOptions,
  deriveRecipe,
  type Sheet,
  type SheetDocument,
  type Verdict,
  verdicts,
} from '../../lib/jars';
import { showProblem } from '../../lib/problems';
import { replayWithEngine } from './jars-run';

/** Verdicts as people give them: mostly out, in, oak, out; now and then one that does not fit. */
const someVerdicts = (count: number): fc.Arbitrary<readonly Verdict[]> =>
  fc
    .record({
      first: fc.nat(count),
      hearts: fc.nat(count),
      oak: fc.nat(3),
      odd: fc.option(fc.tuple(fc.nat(count), fc.constantFrom(...verdicts)), { nil: null, freq: 4 }),
    })
    .map(({ first, hearts, oak, odd }) =>
      Array.from({ length: count }, (_, index): Verdict => {
        if (odd !== null && odd[0] === index) return odd[1];
        if (index < first) return 'out';
        if (index < first + hearts) return 'in';
        return index < first + hearts + oak ? 'in-for-oak' : 'out';
      }),
    );

const oneJar = fc.record({
  riseK: fc.oneof(
    { weight: 8, arbitrary: fc.double({ min: 0.02, max: 1.2, noNaN: true }) },
    { weight: 2, arbitrary: fc.double({ min: -1, max: 3, noNaN: true }) },
    { weight: 1, arbitrary: fc.constant(0) },
  ),
  lastsS: fc.oneof(
    { weight: 8, arbitrary: fc.integer({ min: 240, max: 2400 }) },
    { weight: 1, arbitrary: fc.integer({ min: 5, max: 300 }) },
  ),
  volumeL: fc.double({ min: 0.05, max: 1.5, noNaN: true }),
  fallVolPercent: fc.option(
    fc.oneof(
      { weight: 12, arbitrary: fc.double({ min: -2, max: 8, noNaN: true }) },
      { weight: 1, arbitrary: fc.double({ min: -30, max: 30, noNaN: true }) },
    ),
    { nil: undefined, freq: 12 },
  ),
  driftHPaPerH: fc.double({ min: -4, max: 4, noNaN: true }),
});

const anySheet: fc.Arbitrary<SheetDocument> = fc
  .record({
    jars: fc.array(oneJar, { minLength: 1, maxLength: 24 }),
    startC: fc.double({ min: 76, max: 88, noNaN: true }),
    startHPa: fc.double({ min: 820, max: 1035, noNaN: true }),
    startVolPercent: fc.double({ min: 40, max: 88, noNaN: true }),
    chargeL: fc.double({ min: 20, max: 120, noNaN: true }),
    chargeVolPercent: fc.double({ min: 8, max: 40, noNaN: true }),
    holdUpL: fc.oneof(
      { weight: 3, arbitrary: fc.constant(0) },
      { weight: 1, arbitrary: fc.double({ min: 0.01, max: 0.3, noNaN: true }) },
    ),
    foreshotsJars: fc.nat(2),
    beforeJarsL: fc.constantFrom(0, 0, 0.2),
    kind: fc.constantFrom('pot' as const, 'pot' as const, 'pot' as const, 'column' as const),
  })
  .chain((made) => someVerdicts(made.jars.length).map((said) => writeSheet(made, said)));

interface Made {
  readonly jars: readonly {
    riseK: number;
    lastsS: number;
    volumeL: number;
    fallVolPercent: number | undefined;
    driftHPaPerH: number;
  }[];
  readonly startC: number;
  readonly startHPa: number;
  readonly startVolPercent: number;
  readonly chargeL: number;
  readonly chargeVolPercent: number;
  readonly holdUpL: number;
  readonly foreshotsJars: number;
  readonly beforeJarsL: number;
  readonly kind: 'pot' | 'column';
}

function writeSheet(made: Made, said: readonly Verdict[]): SheetDocument {
  let tempC = made.startC;
  let timeS = 2000;
  let pressureHPa = made.startHPa;
  let strengthVolPercent = made.startVolPercent;
  const reading = () => ({ vapourTempC: tempC, airPressureHPa: pressureHPa, timeS });
  const start = reading();
  const jars = made.jars.map((jar, index) => {
    tempC += jar.riseK;
    timeS += jar.lastsS;
    strengthVolPercent = Math.min(95, Math.max(1, strengthVolPercent - (jar.fallVolPercent ?? 2)));
    pressureHPa += (jar.driftHPaPerH * jar.lastsS) / 3600;
    return {
      number: index + 1,
      ...(index === 0 ? { start } : {}),
      end: reading(),
      volumeL: jar.volumeL,
      ...(jar.fallVolPercent === undefined ? {} : { strengthVolPercent }),
      verdict: said[index] ?? ('out' as const),
    };
  });
  return {
    sheet: 1,
    name: 'Odd',
    still: { name: 'Odd', kind: made.kind, holdUpL: made.holdUpL },
    charge: { volumeL: made.chargeL, strengthVolPercent: made.chargeVolPercent },
    foreshotsJars: made.foreshotsJars,
    beforeJarsL: made.beforeJarsL,
    jars,
  };
}

const ways: readonly DeriveOptions[] = [
  {},
  { by: 'temperature' },
  { tailsBy: 'strength' },
  { tailsBy: 'share' },
  { headsBy: 'temperature', tailsBy: 'share' },
  { headsCut: 'ask' },
];

function sheetOf(document: SheetDocument): Sheet {
  const checked = checkSheet(document);
  if (checked.kind === 'bad') throw new Error(checked.problems.map(showProblem).join('\n'));
  return checked.value;
}

describe('any sheet, however odd', () => {
  it('gives a recipe that the engine replays to the same jars in and out, or a refusal that says why', () => {
    let derived = 0;
    let refused = 0;
    fc.assert(
      fc.property(anySheet, fc.constantFrom(...ways), (document, options) => {
        const sheet = sheetOf(document);
        const result = deriveRecipe(sheet, options);
        if (result.kind === 'bad') {
          refused += 1;
          expect(result.problems.length).toBeGreaterThan(0);
          for (const one of result.problems) {
            expect(one.message.length).toBeGreaterThan(8);
            expect(one.remedy.length).toBeGreaterThan(8);
          }
          return;
        }
        derived += 1;
        const { recipe, variants, figures } = result.value;
        for (const { variant, selection } of variants) {
          const wanted = figures.jars
            .map((jar) => jar.number)
            .filter((n) => n >= selection.firstJar && n <= selection.lastJar);
          expect(selection.against).toEqual([]);
          const replayed = replayWithEngine(figures, recipe, variant);
          expect({ variant, jars: replayed.jarsIn }).toEqual({ variant, jars: wanted });
        }
      }),
      { numRuns: 80, endOnFailure: true },
    );
    // Both ends of the property have been seen, or it would prove nothing.
    expect(derived).toBeGreaterThan(10);
    expect(refused).toBeGreaterThan(10);
  });
});
