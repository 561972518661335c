import { describe, expect, it } from 'vitest';
import { abvFromMoleFraction, bubblePoint, moleFractionFromAbv } from '../../lib/physics';
import { balanceRun, expectYield, type MeasuredFraction } from '../../lib/proofing';
import { okValue } from '../reference/ok-value';

const lowWines = { volumeL: 60, strengthAbv: 0.3, tempC: 20, untilAbv: 0.2 };

describe('what a charge should yield', () => {
  it('agrees with an independent integration (trapezia over x, not ln x) within 1e-7', () => {
    const expected = okValue(expectYield(lowWines));
    const x0 = moleFractionFromAbv(0.3);
    const xEnd = moleFractionFromAbv(expected.residueAbv);
    expect(abvFromMoleFraction(bubblePoint(xEnd, 1013.25).y)).toBeCloseTo(0.2, 9);
    const slices = 40_000;
    const width = (xEnd - x0) / slices;
    let lnLeft = 0;
    for (let i = 0; i <= slices; i++) {
      const x = x0 + i * width;
      lnLeft += (i === 0 || i === slices ? 0.5 : 1) / (bubblePoint(x, 1013.25).y - x);
    }
    const shareOver = 1 - (Math.exp(lnLeft * width) * xEnd) / x0;
    expect(Math.abs(shareOver - expected.alcoholShare)).toBeLessThan(1e-7);
  });

  it('accounts for all alcohol', () => {
    const expected = okValue(expectYield(lowWines));
    expect(expected.chargeAlcoholL).toBeCloseTo(18, 10);
    const left = expected.residue20L * expected.residueAbv;
    expect(expected.alcoholL + left).toBeCloseTo(expected.chargeAlcoholL, 9);
    expect(expected.distillate20L * expected.distillateAbv).toBeCloseTo(expected.alcoholL, 9);
    expect(expected.alcoholShare).toBeCloseTo(expected.alcoholL / 18, 9);
  });

  it('begins with the vapour of the charge and boils hotter as it ends', () => {
    const expected = okValue(expectYield(lowWines));
    const first = bubblePoint(moleFractionFromAbv(0.3), 1013.25);
    expect(expected.firstDistillateAbv).toBeCloseTo(abvFromMoleFraction(first.y), 12);
    expect(expected.residueBoilsAtC).toBeGreaterThan(first.tempC);
    expect(expected.distillateAbv).toBeLessThan(expected.firstDistillateAbv);
    expect(expected.distillateAbv).toBeGreaterThan(0.2);
  });

  it('grows when collecting goes on longer', () => {
    const shares = [0.5, 0.3, 0.2, 0.1, 0.05].map(
      (untilAbv) => okValue(expectYield({ ...lowWines, untilAbv })).alcoholShare,
    );
    for (let i = 1; i < shares.length; i++) expect(shares[i]!).toBeGreaterThan(shares[i - 1]!);
    expect(shares[shares.length - 1]!).toBeGreaterThan(0.95);
  });

  it('hardly depends on the air pressure', () => {
    const valley = okValue(expectYield(lowWines));
    const mountain = okValue(expectYield({ ...lowWines, airPressureHPa: 800 }));
    expect(Math.abs(valley.alcoholShare - mountain.alcoholShare)).toBeLessThan(0.02);
    expect(mountain.residueBoilsAtC).toBeLessThan(valley.residueBoilsAtC - 5);
  });

  it('refuses an end the first drop is already past, and lists what else is wrong', () => {
    expect(expectYield({ ...lowWines, untilAbv: 0.9 })).toMatchObject({
      kind: 'bad',
      problems: [{ path: 'untilAbv' }],
    });
    expect(expectYield({ ...lowWines, untilAbv: 0 })).toMatchObject({ kind: 'bad', problems: [{ path: 'untilAbv' }] });
    const result = expectYield({ volumeL: 0, strengthAbv: 0.95, tempC: 60, untilAbv: 0.2, airPressureHPa: 1500 });
    if (result.kind === 'ok') throw new Error('should be refused');
    expect(result.problems.map((found) => found.path)).toEqual(['volumeL', 'tempC', 'strengthAbv', 'airPressureHPa']);
  });
});

const charge = { volumeL: 60, strengthAbv: 0.3, tempC: 20 };
const fractions: readonly MeasuredFraction[] = [
  { name: 'foreshots', volumeL: 0.3, strengthAbv: 0.8, tempC: 20 },
  { name: 'heads', volumeL: 1.2, strengthAbv: 0.78, tempC: 20 },
  { name: 'hearts', volumeL: 16, strengthAbv: 0.7, tempC: 20 },
  { name: 'tails', volumeL: 10, strengthAbv: 0.4, tempC: 20 },
];
const residue = { volumeL: 32, strengthAbv: 0.034, tempC: 20 };

describe('balance of a run', () => {
  it('adds up the fractions and says where the alcohol went', () => {
    const balance = okValue(balanceRun(charge, fractions, residue));
    expect(balance.chargeAlcoholL).toBeCloseTo(18, 9);
    expect(balance.collectedAlcoholL).toBeCloseTo(0.24 + 0.936 + 11.2 + 4, 9);
    expect(balance.residueAlcoholL).toBeCloseTo(1.088, 9);
    expect(balance.unaccountedAlcoholL).toBeCloseTo(18 - 16.376 - 1.088, 9);
    expect(balance.fractions[3]!.cumulativeShare).toBeCloseTo(balance.comeOverShare, 12);
    expect(balance.fractions.map((line) => line.name)).toEqual(['foreshots', 'heads', 'hearts', 'tails']);
    const parts = balance.collectedAlcoholL + balance.residueAlcoholL + balance.unaccountedAlcoholL;
    expect(parts).toBeCloseTo(balance.chargeAlcoholL, 12);
  });

  it('closes when the gap is within two standard uncertainties', () => {
    const tidy = { ...residue, strengthAbv: 0.05 };
    const result = balanceRun(charge, fractions, tidy);
    expect(okValue(result).verdict).toBe('closed');
    expect(result.kind === 'ok' && result.warnings).toEqual([]);
  });

  it('finds alcohol missing, and thinks of a leak first', () => {
    const result = balanceRun(charge, fractions.slice(0, 3), residue);
    expect(okValue(result).verdict).toBe('missing');
    expect(result.kind === 'ok' && result.warnings[0]!.remedy).toContain('leak');
  });

  it('finds more than was charged', () => {
    const result = balanceRun({ ...charge, strengthAbv: 0.25 }, fractions, residue);
    expect(okValue(result).verdict).toBe('excess');
    expect(okValue(result).unaccountedAlcoholL).toBeLessThan(0);
  });

  it('says so when the residue was not measured', () => {
    const result = balanceRun(charge, fractions);
    expect(result.kind === 'ok' && result.warnings[0]!.path).toBe('residue');
  });

  it('is as sure as the measurements are: uncertainties in quadrature', () => {
    const sure = { volumeUncertaintyL: 0, strengthUncertaintyAbv: 0 };
    const only = { ...charge, volumeUncertaintyL: 0.3, strengthUncertaintyAbv: 0.004 };
    const exact = fractions.map((fraction) => ({ ...fraction, ...sure }));
    const { uncertaintyL } = okValue(balanceRun(only, exact, { ...residue, ...sure }));
    expect(uncertaintyL).toBeCloseTo(Math.hypot(0.3 * 0.3, 0.004 * 60), 12);
  });

  it('refuses what cannot be', () => {
    const result = balanceRun(
      { ...charge, strengthAbv: 30 },
      [{ name: 'hearts', volumeL: -1, strengthAbv: 0.7, tempC: 50 }],
      {
        ...residue,
        strengthAbv: -0.1,
      },
    );
    if (result.kind === 'ok') throw new Error('should be refused');
    expect(result.problems.map((found) => found.path)).toEqual([
      'charge.strengthAbv',
      'fractions.0.tempC',
      'fractions.0.volumeL',
      'residue.strengthAbv',
    ]);
    expect(balanceRun({ ...charge, strengthAbv: 0 }, [])).toMatchObject({ kind: 'bad' });
  });
});
