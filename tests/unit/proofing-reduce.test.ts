import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { densityKgM3, massFractionFromAbv } from '../../lib/physics';
import { blend, planBottling, type ReductionRequest, reduce } from '../../lib/proofing';
import { okValue } from '../reference/ok-value';

const strong = fc.double({ min: 0.5, max: 0.96, noNaN: true });
const weak = fc.double({ min: 0.2, max: 0.49, noNaN: true });
const volume = fc.double({ min: 0.1, max: 500, noNaN: true });
const temp = fc.double({ min: 5, max: 35, noNaN: true });

function tenLitres(strengthAbv: number, targetAbv: number, more: Partial<ReductionRequest> = {}): ReductionRequest {
  return { amount: { kind: 'volume', volumeL: 10, tempC: 20 }, strengthAbv, targetAbv, ...more };
}

describe('reduction', () => {
  it('is V ρ1 (p1/p2 − 1) of water', () => {
    const p1 = massFractionFromAbv(0.72);
    const p2 = massFractionFromAbv(0.43);
    const expectedKg = (10 * densityKgM3(p1, 20) * (p1 / p2 - 1)) / 1000;
    expect(okValue(reduce(tenLitres(0.72, 0.43))).waterKg).toBeCloseTo(expectedKg, 12);
  });

  it('blended back gives the target strength, mass and volume within 1e-9', () => {
    fc.assert(
      fc.property(strong, weak, volume, temp, (strengthAbv, targetAbv, volumeL, tempC) => {
        const amount = { kind: 'volume', volumeL, tempC } as const;
        const reduced = okValue(reduce({ amount, strengthAbv, targetAbv }));
        const blended = okValue(
          blend([
            { amount, strengthAbv },
            { amount: { kind: 'mass', massKg: reduced.waterKg }, strengthAbv: 0 },
          ]),
        );
        expect(Math.abs(blended.strength.strengthAbv - targetAbv)).toBeLessThan(1e-9);
        expect(Math.abs(blended.massKg / reduced.massKg - 1)).toBeLessThan(1e-9);
        expect(Math.abs(blended.volume20L / reduced.volume20L - 1)).toBeLessThan(1e-9);
        expect(Math.abs(blended.alcoholL / reduced.alcoholL - 1)).toBeLessThan(1e-9);
        expect(Math.abs(blended.contractionL - reduced.contractionL)).toBeLessThan(1e-9 * volumeL);
      }),
    );
  });

  it('in steps takes the same water in all', () => {
    const once = okValue(reduce(tenLitres(0.72, 0.42)));
    const rested = okValue(reduce(tenLitres(0.72, 0.42, { restsAbv: [0.6, 0.5] })));
    expect(rested.steps).toHaveLength(3);
    expect(rested.waterKg).toBeCloseTo(once.waterKg, 12);
    expect(rested.steps.reduce((sum, step) => sum + step.waterKg, 0)).toBeCloseTo(once.waterKg, 12);
    expect(rested.volume20L).toBeCloseTo(once.volume20L, 12);
    expect(rested.steps.map((step) => step.toAbv)).toEqual([0.6, 0.5, 0.42]);
  });

  it('contracts: less comes out than goes in', () => {
    fc.assert(
      fc.property(strong, weak, (strengthAbv, targetAbv) => {
        expect(okValue(reduce(tenLitres(strengthAbv, targetAbv))).contractionL).toBeGreaterThan(0);
      }),
    );
  });

  it('from 44–45 to 40 % vol gives 10 to 12.5 % more volume (common practice)', () => {
    for (const strengthAbv of [0.44, 0.45]) {
      const more = okValue(reduce(tenLitres(strengthAbv, 0.4))).volume20L / 10 - 1;
      expect(more).toBeGreaterThanOrEqual(0.0995);
      expect(more).toBeLessThanOrEqual(0.1255);
    }
  });

  it('weighed spirit needs the water its volume would', () => {
    const massKg = (10 * densityKgM3(massFractionFromAbv(0.65), 12)) / 1000;
    const weighed = okValue(reduce({ amount: { kind: 'mass', massKg }, strengthAbv: 0.65, targetAbv: 0.42 }));
    const measured = okValue(reduce(tenLitres(0.65, 0.42, { amount: { kind: 'volume', volumeL: 10, tempC: 12 } })));
    expect(weighed.waterKg).toBeCloseTo(measured.waterKg, 12);
  });

  it('cold water takes less room than warm', () => {
    const cold = okValue(reduce(tenLitres(0.65, 0.42, { waterTempC: 4 })));
    const warm = okValue(reduce(tenLitres(0.65, 0.42, { waterTempC: 30 })));
    expect(warm.waterKg).toBe(cold.waterKg);
    expect(warm.waterL).toBeGreaterThan(cold.waterL);
  });

  it('cautions below 42 % vol and when much water goes in at once', () => {
    const result = reduce(tenLitres(0.7, 0.4));
    expect(result.kind === 'ok' && result.warnings).toHaveLength(2);
    const rested = reduce(tenLitres(0.7, 0.43, { restsAbv: [0.55] }));
    expect(rested.kind === 'ok' && rested.warnings).toHaveLength(0);
  });
});

describe('reduction: what is refused', () => {
  it('lists all problems with their paths', () => {
    const amount = { kind: 'volume', volumeL: -1, tempC: 45 } as const;
    const result = reduce({ amount, strengthAbv: 0.4, targetAbv: 0.6, restsAbv: [0.5], waterTempC: 60 });
    if (result.kind === 'ok') throw new Error('should be refused');
    expect(result.problems.map((found) => found.path)).toEqual([
      'amount.volumeL',
      'amount.tempC',
      'waterTempC',
      'restsAbv.0',
      'targetAbv',
    ]);
  });

  it('a target of nothing', () => {
    expect(reduce(tenLitres(0.6, 0))).toMatchObject({ kind: 'bad', problems: [{ path: 'targetAbv' }] });
    expect(reduce({ ...tenLitres(0.6, 0.4), amount: { kind: 'mass', massKg: 0 } })).toMatchObject({ kind: 'bad' });
  });
});

describe('bottling plan', () => {
  it('is the reduction read backwards within 1e-9', () => {
    fc.assert(
      fc.property(strong, weak, volume, (strengthAbv, targetAbv, finishedL) => {
        const plan = okValue(planBottling(finishedL, targetAbv, strengthAbv));
        const amount = { kind: 'mass', massKg: plan.spiritKg } as const;
        const reduced = okValue(reduce({ amount, strengthAbv, targetAbv }));
        expect(Math.abs(reduced.volume20L / finishedL - 1)).toBeLessThan(1e-9);
        expect(Math.abs(reduced.waterKg / plan.waterKg - 1)).toBeLessThan(1e-8);
      }),
    );
  });

  it('needs a spirit at least as strong as the bottle', () => {
    expect(planBottling(10, 0.5, 0.4)).toMatchObject({ kind: 'bad', problems: [{ path: 'finishedAbv' }] });
    expect(okValue(planBottling(10, 0.4, 0.4)).waterKg).toBeCloseTo(0, 12);
  });
});
