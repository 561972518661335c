import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Caution, figuresOf, type PlainStrength, runLine } from './commands-run';

interface Held {
  readonly strength: PlainStrength;
  readonly massKg: number;
  readonly weightInAirKg: number;
  readonly volumeL: number;
  readonly volume20L: number;
  readonly alcoholL: number;
  readonly proofGallonsUs: number;
}

interface Reduced {
  readonly spirit: Held;
  readonly reduction: {
    readonly waterKg: number;
    readonly waterWeightInAirKg: number;
    readonly waterL: number;
    readonly volume20L: number;
    readonly massKg: number;
    readonly contractionL: number;
    readonly steps: readonly { readonly toAbv: number; readonly waterKg: number }[];
  };
  readonly bottles?: number;
  readonly remainderL?: number;
  readonly leftOverL?: number;
  readonly cautions: readonly Caution[];
}

describe('what a spirit holds', () => {
  it('is the same measured by volume, in gallons, in proof or on the scale', async () => {
    const byVolume = (await figuresOf<{ spirit: Held }>('proof 10L 68.2%vol')).spirit;
    const gallons = (10 / 3.785411784).toFixed(9);
    const proof = byVolume.strength.proofUs.toFixed(9);
    const us = (await figuresOf<{ spirit: Held }>(`proof ${gallons}gal ${proof}proof 68F`)).spirit;
    const weighed = (await figuresOf<{ spirit: Held }>(`proof ${byVolume.weightInAirKg.toFixed(9)}kg 68.2%vol`)).spirit;
    for (const other of [us, weighed]) {
      expect(other.alcoholL).toBeCloseTo(6.82, 6);
      expect(other.massKg).toBeCloseTo(byVolume.massKg, 6);
      expect(other.proofGallonsUs).toBeCloseTo(byVolume.proofGallonsUs, 6);
    }
    expect(byVolume.weightInAirKg).toBeLessThan(byVolume.massKg);
  });

  it('takes account of the temperature of the volume: warm litres hold less', async () => {
    const warm = (await figuresOf<{ spirit: Held }>('proof 10L 68.2%vol 30C')).spirit;
    expect(warm.alcoholL).toBeLessThan(6.82 * 0.992);
    expect(warm.volume20L).toBeLessThan(10);
  });

  it('counts bottles it would fill as it is', async () => {
    expect((await runLine('proof 10L 42%vol --bottle 700mL')).out).toMatch(
      /bottles +14 of 0\.700 L, 0\.200 L left over/,
    );
    expect((await figuresOf<Reduced>('proof 7L 42%vol --bottle 700mL')).bottles).toBe(10);
  });
});

describe('reduction', () => {
  it('keeps the alcohol and the mass, whatever the way', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.double({ min: 45, max: 95, noNaN: true }),
        fc.double({ min: 5, max: 44, noNaN: true }),
        fc.integer({ min: 5, max: 35 }),
        async (from, to, tempC) => {
          const line = `proof 10L ${from.toFixed(6)}%vol ${tempC}C --to ${to.toFixed(6)}%vol`;
          const { spirit, reduction } = await figuresOf<Reduced>(line);
          expect(reduction.massKg).toBeCloseTo(spirit.massKg + reduction.waterKg, 9);
          expect((reduction.volume20L * Number(to.toFixed(6))) / 100).toBeCloseTo(spirit.alcoholL, 9);
          const rested = await figuresOf<Reduced>(`${line} --rest 44.5%vol`);
          expect(rested.reduction.waterKg).toBeCloseTo(reduction.waterKg, 9);
          expect(rested.reduction.steps).toHaveLength(2);
        },
      ),
      { numRuns: 25 },
    );
  });

  it('gives water by weight and by volume at its own temperature', async () => {
    const cold = (await figuresOf<Reduced>('proof 10L 70%vol --to 45%vol --water-temp 4C')).reduction;
    const warm = (await figuresOf<Reduced>('proof 10L 70%vol --to 45%vol --water-temp 35C')).reduction;
    expect(warm.waterKg).toBeCloseTo(cold.waterKg, 12);
    expect(warm.waterL / cold.waterL).toBeCloseTo(1.006, 3);
    expect(cold.waterWeightInAirKg / cold.waterKg).toBeCloseTo(1 - 0.00105, 5);
  });

  it('cautions about clouding below 42 % vol, and not above', async () => {
    const deep = await runLine('proof 10L 60%vol --to 40%vol');
    expect(deep.out).toContain('may cloud below about 42 % vol (common practice)');
    const shallow = await runLine('proof 10L 60%vol --to 43%vol');
    expect(shallow.out).not.toContain('42 % vol (common practice)');
  });

  it('plans a bottling backwards: spirit and water make exactly the bottles', async () => {
    interface Plan {
      readonly spirit20L: number;
      readonly water20L: number;
      readonly wantedL: number;
      readonly cautions: readonly Caution[];
    }
    const plan = await figuresOf<Plan>('proof 68.2%vol --to 40%vol --bottles 120 --bottle 500mL');
    expect(plan.wantedL).toBe(60);
    const back = await figuresOf<Reduced>(`proof ${plan.spirit20L.toFixed(9)}L 68.2%vol --to 40%vol`);
    expect(back.reduction.volume20L).toBeCloseTo(60, 6);
    expect(back.reduction.waterL).toBeCloseTo(plan.water20L, 6);
    expect(plan.cautions.some((one) => one.message.includes('cloud'))).toBe(true);
    const wanted = await figuresOf<Plan>('proof 68.2%vol --to 40%vol --wanted 60L');
    expect(wanted.spirit20L).toBeCloseTo(plan.spirit20L, 12);
  });

  it('says how far the spirit at hand falls short of what is wanted', async () => {
    const found = await figuresOf<Reduced>('proof 10L 68%vol --to 42%vol --bottles 50 --bottle 500mL');
    expect(found.leftOverL).toBeCloseTo(found.reduction.volume20L - 25, 9);
    const shown = await runLine('proof 10L 68%vol --to 42%vol --wanted 25L');
    expect(shown.out).toMatch(/wanted +8\.81\d L short of the 25\.00 L/);
  });

  it('shows gallons and pounds to those who gave gallons', async () => {
    const shown = await runLine('proof 5gal 124proof 60F --to 90proof');
    expect(shown.out).toContain('US gal)');
    expect(shown.out).toContain('lb)');
    expect(shown.out).toContain('wine gallons (60 °F)');
    expect((await runLine('proof 5L 62%vol --to 45%vol')).out).not.toContain('gal)');
  });

  it.each([
    ['proof 10L 40%vol --to 50%vol', '--to: "50%vol": is stronger than the 40.00 % vol before it. Water only'],
    ['proof 10L 70%vol --rest 40%vol --to 50%vol', '--to: "50%vol": is stronger than the 40.00 % vol'],
    ['proof 10L 70%vol --rest 75%vol --to 50%vol', '--rest: "75%vol": is stronger than the 70.00 % vol'],
    ['proof 10L 70%vol --to 0%vol', 'no amount of water reaches 0'],
    ['proof 10L 70%vol --to 45', '--to: "45": has no unit'],
    ['proof 10L 70%vol --to 45%vol --water-temp 60C', '--water-temp: "60C"'],
    ['proof 10L 70%vol --to 45%vol --bottle 500mL --bottles 2.5', 'is no number of bottles'],
    ['proof 10L 70%vol 55C', 'densities are known from -20 to 40 °C'],
    ['proof 10L 12kg 70%vol', 'has two of amount'],
    ['proof -10L 70%vol', 'is no amount. Give more than 0'],
    ['proof 10L', 'has no strength'],
    ['proof 10L 70%vol 1000hPa', 'is no amount, strength or temperature'],
    ['proof 1,500L 70%vol', 'may be thousands or a decimal. Write 1500 or 1.500'],
  ])('refuses %s', async (line, words) => {
    const ran = await runLine(line);
    expect(ran).toMatchObject({ code: 1, out: '' });
    expect(ran.err).toContain(words);
  });

  it.each([
    'proof 68.2%vol',
    'proof 10L 68%vol --rest 50%vol',
    'proof 10L 68%vol --to 40%vol --bottles 20',
    'proof 68%vol --to 40%vol --bottles 20 --bottle 1L --wanted 20L',
    'proof 60L 30%vol --until 20%vol --to 40%vol',
    'proof 60L 30%vol --pressure 955hPa',
    'proof 30%vol --until 20%vol',
  ])('does not understand %s', async (line) => {
    expect(await runLine(line)).toMatchObject({ code: 2, out: '' });
  });
});

describe('what a charge should yield', () => {
  interface Yield {
    readonly alcoholL: number;
    readonly alcoholShare: number;
    readonly chargeAlcoholL: number;
    readonly distillate20L: number;
    readonly distillateAbv: number;
    readonly residue20L: number;
    readonly residueAbv: number;
    readonly firstDistillateAbv: number;
    readonly cautions: readonly Caution[];
  }

  it('accounts for all the alcohol of the charge', async () => {
    const found = await figuresOf<Yield>('proof 60L 30%vol 15C --until 20%vol --altitude 500m');
    expect(found.alcoholL + found.residue20L * found.residueAbv).toBeCloseTo(found.chargeAlcoholL, 9);
    expect(found.distillate20L * found.distillateAbv).toBeCloseTo(found.alcoholL, 9);
    expect(found.alcoholShare).toBeCloseTo(found.alcoholL / found.chargeAlcoholL, 12);
  });

  it('comes to the same for a weighed charge', async () => {
    const byVolume = await figuresOf<Yield>('proof 60L 30%vol --until 20%vol');
    const { spirit } = await figuresOf<{ spirit: Held }>('proof 60L 30%vol');
    const weighed = await figuresOf<Yield>(`proof ${spirit.weightInAirKg.toFixed(9)}kg 30%vol --until 20%vol`);
    expect(weighed.alcoholL).toBeCloseTo(byVolume.alcoholL, 6);
  });

  it('cautions about a charge so strong that it gives off flammable vapour', async () => {
    const strong = await figuresOf<Yield>('proof 60L 45%vol --until 20%vol');
    expect(strong.cautions.some((one) => one.message.includes('flash point'))).toBe(true);
    const usual = await figuresOf<Yield>('proof 60L 30%vol --until 20%vol');
    expect(usual.cautions.some((one) => one.message.includes('flash point'))).toBe(false);
  });

  it.each([
    ['proof 60L 30%vol --until 80%vol', 'the first distillate of this charge has 76.3 % vol'],
    ['proof 60L 30%vol --until 0%vol', 'Give a lower strength, above 0'],
    ['proof 60L 95%vol --until 40%vol', 'above 0 to 90 % vol'],
    ['proof 60L 0%vol --until 40%vol', 'above 0 to 90 % vol'],
    ['proof 60L 30%vol --until 20%vol --pressure 300hPa', 'Give 500 to 1100 hPa'],
  ])('refuses %s', async (line, words) => {
    const ran = await runLine(line);
    expect(ran).toMatchObject({ code: 1, out: '' });
    expect(ran.err).toContain(words);
  });
});
