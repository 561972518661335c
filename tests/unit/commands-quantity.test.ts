import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Measure,
  measureOf,
  readMeasured,
  readNumber,
  readStrength,
  readWritten,
  splitQuantities,
} from '../../daemon/commands/quantity';
import { massFractionFromAbv, massFractionFromProof } from '../../lib/physics';

function numberIn(text: string): number | string {
  const read = readNumber(text);
  return read.kind === 'ok' ? read.value : read.message;
}

function measured(text: string, measure: Exclude<Measure, 'strength'>): number | string {
  const read = readMeasured(text, measure);
  return read.kind === 'ok' ? read.value.value : read.message;
}

describe('numbers as people write them', () => {
  it.each([
    ['92.4', 92.4],
    ['92,4', 92.4],
    ['-5', -5],
    ['\u22125,5', -5.5],
    ['+3', 3],
    ['.5', 0.5],
    ['0,375', 0.375],
    ['1.234', 1.234],
    ['1234,567', 1234.567],
    ['1,234.5', 1234.5],
    ['1.234,5', 1234.5],
    ['1,234,567', 1_234_567],
    ['12\u202f345,6', 12_345.6],
  ])('reads %s', (text, value) => {
    expect(numberIn(text)).toBe(value);
  });

  it('refuses one comma before three digits, which may be either, and offers both', () => {
    const read = readNumber('1,500');
    expect(read).toMatchObject({ kind: 'bad', message: 'may be thousands or a decimal' });
    expect(read.kind === 'bad' && read.remedy).toBe('Write 1500 or 1.500');
  });

  it.each(['', 'x', '1,2,3', '1.2.3', '1,23.4.5', '12,34,567.8', '--5', '1.234,567,8'])('refuses %j', (text) => {
    expect(typeof numberIn(text)).toBe('string');
  });

  it('reads what it would write, with point or comma', () => {
    fc.assert(
      fc.property(fc.double({ min: -9e5, max: 9e5, noNaN: true }), fc.boolean(), (value, comma) => {
        const text = value.toFixed(2);
        expect(numberIn(comma ? text.replace('.', ',') : text)).toBeCloseTo(Number(text), 10);
      }),
    );
  });
});

describe('quantities with units', () => {
  it.each([
    ['92.4C', 'temperature', 92.4],
    ['92,4 °C', 'temperature', 92.4],
    ['198 °F', 'temperature', 92.2222],
    ['955hPa', 'pressure', 955],
    ['95.5 kPa', 'pressure', 955],
    ['28.2 inHg', 'pressure', 954.9615],
    ['716 mm Hg', 'pressure', 954.5883],
    ['5 gal', 'volume', 18.9271],
    ['750 mL', 'volume', 0.75],
    ['12 lb', 'mass', 5.4431],
    ['2000ft', 'length', 609.6],
    ['0.94805 g/mL', 'density', 948.05],
    ['948.05kg/m³', 'density', 948.05],
  ] as const)('reads %s as %s', (text, measure, value) => {
    expect(measured(text, measure)).toBeCloseTo(value, 3);
  });

  it('never guesses a missing unit', () => {
    expect(measured('28.2', 'pressure')).toBe('has no unit');
    expect(measured('92,4', 'temperature')).toBe('has no unit');
  });

  it('says what a quantity of another kind is', () => {
    expect(measured('955hPa', 'temperature')).toBe('is a pressure, not a temperature');
    expect(measured('62%vol', 'volume')).toBe('is a strength, not a volume');
    expect(measured('5 fl oz', 'volume')).toBe("unit 'fl oz' is not known");
    expect(measured('C', 'temperature')).toBe('is no quantity');
  });

  it('names samples of what it would take', () => {
    const read = readMeasured('5', 'volume');
    expect(read.kind === 'bad' && read.remedy).toBe('Write volume as 10L, 750mL or 5gal');
  });
});

describe('strengths', () => {
  it('reads every scale to its own mass fraction, never mixing the bases', () => {
    const massFraction = (text: string) => {
      const read = readStrength(text);
      return read.kind === 'ok' ? read.value.massFraction : Number.NaN;
    };
    expect(massFraction('62 %vol')).toBe(massFractionFromAbv(0.62));
    expect(massFraction('62%')).toBe(massFractionFromAbv(0.62));
    expect(massFraction('62 vol.-%')).toBe(massFractionFromAbv(0.62));
    expect(massFraction('124 proof')).toBe(massFractionFromProof(124));
    expect(massFraction('62%vol60F')).toBe(massFractionFromProof(124));
    expect(massFraction('62%vol60F')).not.toBe(massFraction('62%vol'));
    expect(massFraction('31.2 %mass')).toBeCloseTo(0.312, 12);
    expect(massFraction('100%mol')).toBe(1);
    expect(massFraction('0 mol/mol')).toBe(0);
  });

  it.each([
    ['101%vol', 'is out of range', 'Give 0 to 100 %vol'],
    ['201proof', 'is out of range', 'Give 0 to 200 proof'],
    ['-1%mass', 'is out of range', 'Give 0 to 100 %mass'],
    ['62', 'has no unit', 'Write strength as'],
    ['0.62 abv', 'may be a fraction or per cent', 'Write strength as'],
    ['62C', 'is a temperature, not a strength', 'Write strength as'],
  ])('refuses %s', (text, message, remedy) => {
    const read = readStrength(text);
    expect(read).toMatchObject({ kind: 'bad', message });
    expect(read.kind === 'bad' && read.remedy).toContain(remedy);
  });
});

describe('a line of quantities', () => {
  it.each([
    ['2.1L 68.2%vol 18C', ['2.1L', '68.2%vol', '18C']],
    ['10 L of 68,2 % vol at 18 °C', ['10 L', '68,2 % vol', '18 °C']],
    ['12kg, 124 proof', ['12kg', '124 proof']],
    ['0.3C,0.31C;0.3C', ['0.3C', '0.31C', '0.3C']],
    ['5 US gal 62 %vol60F -2C', ['5 US gal', '62 %vol60F', '-2C']],
    ['98 100 C', ['98', '100 C']],
    ['', []],
  ])('takes %j apart', (text, pieces) => {
    expect(splitQuantities(text)).toEqual(pieces);
  });

  it('never throws and never makes a quantity of what is none', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 40 }), (text) => {
        for (const piece of splitQuantities(text)) {
          const written = readWritten(piece);
          if (written.kind === 'ok') expect(Number.isFinite(written.value.value)).toBe(true);
          measureOf(piece);
          readStrength(piece);
        }
      }),
      { numRuns: 500 },
    );
  });
});
