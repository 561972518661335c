import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { abvFromMassFraction, densityKgM3, massFractionFromAbv } from '../../lib/physics';
import {
  basisTempC,
  correctHydrometer,
  hydrometerReadingAbv,
  type StrengthBasis,
  strengthFromDensity,
  strengthOfMassFraction,
} from '../../lib/proofing';
import { okValue } from '../reference/ok-value';

const basis = fc.constantFrom<StrengthBasis>('20C', '60F');

describe('hydrometer: true strength', () => {
  it('at the temperature of the instrument the reading is the strength', () => {
    for (const readingAbv of [0.05, 0.2, 0.4, 0.63, 0.96]) {
      const at20 = okValue(correctHydrometer({ readingAbv, tempC: 20, basis: '20C' }));
      expect(at20.strengthAbv).toBeCloseTo(readingAbv, 12);
      const at60F = okValue(correctHydrometer({ readingAbv, tempC: basisTempC('60F'), basis: '60F' }));
      expect(at60F.strengthAbv60F).toBeCloseTo(readingAbv, 12);
      expect(at60F.proofUs).toBeCloseTo(200 * readingAbv, 10);
    }
  });

  it('a cold spirit is stronger than it reads, a warm one weaker', () => {
    expect(okValue(correctHydrometer({ readingAbv: 0.6, tempC: 10, basis: '20C' })).strengthAbv).toBeGreaterThan(0.6);
    expect(okValue(correctHydrometer({ readingAbv: 0.6, tempC: 30, basis: '20C' })).strengthAbv).toBeLessThan(0.6);
  });

  it('undoes the reading the instrument would give', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.02, max: 0.95, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        basis,
        (massFraction, tempC, on) => {
          const readingAbv = hydrometerReadingAbv(massFraction, tempC, on);
          fc.pre(!Number.isNaN(readingAbv));
          const corrected = okValue(correctHydrometer({ readingAbv, tempC, basis: on }));
          expect(Math.abs(corrected.massFraction - massFraction)).toBeLessThan(1e-9);
        },
      ),
    );
  });

  it('takes the expansion of the glass into account: 0.1 to 0.15 % vol at 30 °C', () => {
    const reading = { readingAbv: 0.5, tempC: 30, basis: '20C' } as const;
    const withGlass = okValue(correctHydrometer(reading)).strengthAbv;
    const without = okValue(correctHydrometer({ ...reading, expansionPerK: 0 })).strengthAbv;
    expect(withGlass - without).toBeGreaterThan(0.001);
    expect(withGlass - without).toBeLessThan(0.0015);
  });

  it('gives every basis, each by its own road', () => {
    const strength = strengthOfMassFraction(massFractionFromAbv(0.4));
    expect(strength.strengthAbv).toBeCloseTo(0.4, 12);
    expect(strength.proofUs).toBeCloseTo(200 * strength.strengthAbv60F, 12);
    expect(Math.abs(strength.strengthAbv60F - 0.4)).toBeGreaterThan(0.0003);
    expect(strength.density20KgM3).toBeCloseTo(948.05, 1);
  });

  it('cautions when the sample is far from 20 °C', () => {
    const corrected = correctHydrometer({ readingAbv: 0.7, tempC: 35, basis: '20C' });
    expect(corrected.kind === 'ok' && corrected.warnings.map((found) => found.path)).toEqual(['tempC']);
  });
});

describe('hydrometer: what is refused', () => {
  it('a sample straight off the still: the range is named, cooling is the remedy', () => {
    const corrected = correctHydrometer({ readingAbv: 0.7, tempC: 55, basis: '20C' });
    expect(corrected).toMatchObject({ kind: 'bad', problems: [{ path: 'tempC', value: '55' }] });
    if (corrected.kind === 'bad') {
      expect(corrected.problems[0]!.message).toContain('-20 to 40 °C');
      expect(corrected.problems[0]!.remedy).toContain('Cool');
    }
  });

  it('a percentage where a fraction belongs: all problems at once', () => {
    const corrected = correctHydrometer({ readingAbv: 43, tempC: 60, basis: '20C' });
    if (corrected.kind === 'ok') throw new Error('should be refused');
    expect(corrected.problems.map((found) => found.path)).toEqual(['readingAbv', 'tempC']);
    expect(corrected.problems[0]!.remedy).toContain('0.43');
  });

  it('a reading no mixture can give', () => {
    const corrected = correctHydrometer({ readingAbv: 0, tempC: 30, basis: '20C' });
    expect(corrected).toMatchObject({ kind: 'bad', problems: [{ path: 'readingAbv' }] });
  });
});

describe('density meter', () => {
  it('finds the strength of a density', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 5, max: 40, noNaN: true }),
        (p, tempC) => {
          const found = okValue(strengthFromDensity(densityKgM3(p, tempC), tempC));
          expect(Math.abs(found.strengthAbv - abvFromMassFraction(p))).toBeLessThan(1e-9);
        },
      ),
    );
  });

  it('refuses a sweetened spirit heavier than water', () => {
    const found = strengthFromDensity(1040, 20);
    expect(found).toMatchObject({ kind: 'bad', problems: [{ path: 'densityKgM3' }] });
    expect(strengthFromDensity(900, 45)).toMatchObject({ kind: 'bad', problems: [{ path: 'tempC' }] });
  });
});
