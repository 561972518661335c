import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  adjustTo,
  type BlendPart,
  blend,
  massFromWeightKg,
  proofGallonsFromPureAlcohol,
  proofGallonsOfEthanol,
  pureAlcoholFromProofGallons,
  pureAlcoholL,
  spiritMass,
  spiritVolumeL,
  weightInAirKg,
  wineGallons,
} from '../../lib/proofing';
import { okValue } from '../reference/ok-value';

const part: fc.Arbitrary<BlendPart> = fc.record({
  amount: fc.record({
    kind: fc.constant('volume' as const),
    volumeL: fc.double({ min: 0.05, max: 50, noNaN: true }),
    tempC: fc.double({ min: 0, max: 40, noNaN: true }),
  }),
  strengthAbv: fc.double({ min: 0, max: 0.97, noNaN: true }),
});

function litres(volumeL: number, strengthAbv: number, tempC = 20): BlendPart {
  return { amount: { kind: 'volume', volumeL, tempC }, strengthAbv };
}

describe('blend', () => {
  it('of one part is that part', () => {
    const alone = okValue(blend([litres(3, 0.62)]));
    expect(alone.strength.strengthAbv).toBeCloseTo(0.62, 12);
    expect(alone.volume20L).toBeCloseTo(3, 12);
    expect(alone.alcoholL).toBeCloseTo(1.86, 12);
    expect(alone.contractionL).toBeCloseTo(0, 12);
    expect(alone.alcoholShares).toEqual([1]);
  });

  it('keeps mass and alcohol, whatever the temperatures, within 1e-9', () => {
    fc.assert(
      fc.property(fc.array(part, { minLength: 1, maxLength: 24 }), (parts) => {
        const blended = okValue(blend(parts));
        const apart = parts.map(({ amount, strengthAbv }) =>
          amount.kind === 'volume'
            ? spiritMass(amount.volumeL, strengthAbv, amount.tempC)
            : { massKg: 0, ethanolKg: 0 },
        );
        const massKg = apart.reduce((sum, one) => sum + one.massKg, 0);
        const ethanolKg = apart.reduce((sum, one) => sum + one.ethanolKg, 0);
        expect(Math.abs(blended.massKg / massKg - 1)).toBeLessThan(1e-9);
        expect(Math.abs(blended.ethanolKg - ethanolKg)).toBeLessThan(1e-9 * massKg);
        const again = spiritMass(blended.volume20L, blended.strength.strengthAbv, 20);
        expect(Math.abs(again.massKg / massKg - 1)).toBeLessThan(1e-9);
        expect(Math.abs(again.ethanolKg - ethanolKg)).toBeLessThan(1e-9 * massKg);
      }),
    );
  });

  it('does not depend on the order or on blending in two goes', () => {
    fc.assert(
      fc.property(fc.array(part, { minLength: 3, maxLength: 8 }), (parts) => {
        const whole = okValue(blend(parts));
        const reversed = okValue(blend([...parts].reverse()));
        const first = okValue(blend(parts.slice(0, 2)));
        const joined = {
          amount: { kind: 'mass', massKg: first.massKg } as const,
          strengthAbv: first.strength.strengthAbv,
        };
        const inTwo = okValue(blend([joined, ...parts.slice(2)]));
        expect(Math.abs(reversed.strength.strengthAbv - whole.strength.strengthAbv)).toBeLessThan(1e-12);
        expect(Math.abs(inTwo.strength.strengthAbv - whole.strength.strengthAbv)).toBeLessThan(1e-9);
        expect(Math.abs(inTwo.volume20L / whole.volume20L - 1)).toBeLessThan(1e-9);
      }),
    );
  });

  it('lies between its weakest and its strongest part', () => {
    fc.assert(
      fc.property(fc.array(part, { minLength: 2, maxLength: 10 }), (parts) => {
        const strengths = parts.map((one) => one.strengthAbv);
        const found = okValue(blend(parts)).strength.strengthAbv;
        expect(found).toBeGreaterThanOrEqual(Math.min(...strengths) - 1e-12);
        expect(found).toBeLessThanOrEqual(Math.max(...strengths) + 1e-12);
      }),
    );
  });

  it('swells a little where weak parts meet water, contracts where strong ones do', () => {
    expect(okValue(blend([litres(1, 0), litres(1, 0.2)])).contractionL).toBeLessThan(0);
    expect(okValue(blend([litres(1, 0), litres(1, 0.96)])).contractionL).toBeGreaterThan(0.05);
  });

  it('a warm jar holds less than its volume at 20 °C would', () => {
    expect(okValue(blend([litres(10, 0.7, 35)])).volume20L).toBeLessThan(9.9);
    expect(okValue(blend([litres(10, 0.7, 35)])).alcoholL).toBeCloseTo(pureAlcoholL(10, 0.7, 35), 12);
  });

  it('refuses with the path of every wrong part', () => {
    const result = blend([
      litres(1, 0.5),
      litres(-1, 63, 50),
      { amount: { kind: 'mass', massKg: Number.NaN }, strengthAbv: 0.4 },
    ]);
    if (result.kind === 'ok') throw new Error('should be refused');
    expect(result.problems.map((found) => found.path)).toEqual([
      'parts.1.strengthAbv',
      'parts.1.volumeL',
      'parts.1.tempC',
      'parts.2.massKg',
    ]);
  });

  it('refuses nothing at all', () => {
    expect(blend([])).toMatchObject({ kind: 'bad', problems: [{ path: 'parts' }] });
    expect(blend([litres(0, 0.4)])).toMatchObject({ kind: 'bad', problems: [{ path: 'parts' }] });
  });
});

describe('adjusting a blend', () => {
  it('meets the target within 1e-9, upward with spirit and downward with water', () => {
    fc.assert(
      fc.property(
        part,
        fc.double({ min: 0, max: 0.97, noNaN: true }),
        fc.double({ min: 0.05, max: 0.95, noNaN: true }),
        (first, secondAbv, share) => {
          const targetAbv = first.strengthAbv + share * (secondAbv - first.strengthAbv);
          fc.pre(Math.abs(secondAbv - first.strengthAbv) > 0.02);
          const added = okValue(adjustTo(first, secondAbv, targetAbv));
          const second = { amount: { kind: 'mass', massKg: added.addKg } as const, strengthAbv: secondAbv };
          const blended = okValue(blend([first, second]));
          expect(Math.abs(blended.strength.strengthAbv - targetAbv)).toBeLessThan(1e-9);
          expect(Math.abs(blended.massKg / added.massKg - 1)).toBeLessThan(1e-9);
          expect(Math.abs(blended.volume20L / added.volume20L - 1)).toBeLessThan(1e-9);
        },
      ),
    );
  });

  it('refuses a target that does not lie between the two', () => {
    expect(adjustTo(litres(1, 0.5), 0.7, 0.4)).toMatchObject({ kind: 'bad', problems: [{ path: 'targetAbv' }] });
    expect(adjustTo(litres(1, 0.5), 0.5, 0.6)).toMatchObject({ kind: 'bad' });
    expect(okValue(adjustTo(litres(1, 0.5), 0, 0.5)).addKg).toBe(0);
  });
});

describe('amounts of alcohol', () => {
  it('at 20 °C litres of pure alcohol are volume times strength', () => {
    expect(pureAlcoholL(60, 0.3)).toBeCloseTo(18, 10);
    expect(pureAlcoholL(60, 0.3, 41)).toBeNaN();
  });

  it('proof gallons and litres of pure alcohol change into each other', () => {
    expect(pureAlcoholFromProofGallons(proofGallonsFromPureAlcohol(7.3))).toBeCloseTo(7.3, 12);
    expect(pureAlcoholFromProofGallons(1)).toBeCloseTo(1.9018, 4);
  });

  it('one wine gallon of 100 proof is one proof gallon', () => {
    const spirit = okValue(blend([litres(3.785411784, 0.5)]));
    const gallons = wineGallons({ massKg: spirit.massKg, ethanolKg: spirit.ethanolKg });
    expect(proofGallonsOfEthanol(spirit.ethanolKg)).toBeCloseTo((gallons * spirit.strength.proofUs) / 100, 12);
  });

  it('volume and mass change into each other at any temperature', () => {
    expect(spiritVolumeL(spiritMass(12, 0.55, 8), 8)).toBeCloseTo(12, 12);
    expect(spiritVolumeL({ massKg: 0, ethanolKg: 0 }, 20)).toBe(0);
  });

  it('air bears 0.11 to 0.14 % of the weight', () => {
    const weightKg = weightInAirKg(10, 900);
    expect(1 - weightKg / 10).toBeGreaterThan(0.0011);
    expect(1 - weightKg / 10).toBeLessThan(0.0014);
    expect(massFromWeightKg(weightKg, 900)).toBeCloseTo(10, 12);
  });
});
