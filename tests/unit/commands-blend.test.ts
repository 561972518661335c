import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Caution, figuresOf, type PlainStrength, runLine } from './commands-run';

interface Blended {
  readonly parts: readonly { readonly alcoholShare: number }[];
  readonly blend: {
    readonly volume20L: number;
    readonly massKg: number;
    readonly weightInAirKg: number;
    readonly strength: PlainStrength;
    readonly alcoholL: number;
    readonly contractionL: number;
  };
  readonly addition?: {
    readonly add20L: number;
    readonly addKg: number;
    readonly volume20L: number;
    readonly target: PlainStrength;
  };
  readonly cautions: readonly Caution[];
}

describe('blend', () => {
  it('adds up the alcohol of any number of jars', async () => {
    const jar = fc.record({ litres: fc.integer({ min: 1, max: 50 }), percent: fc.integer({ min: 1, max: 95 }) });
    await fc.assert(
      fc.asyncProperty(fc.array(jar, { minLength: 1, maxLength: 24 }), async (jars) => {
        const parts = jars.map(({ litres, percent }) => `--part "${litres}L ${percent}%vol"`).join(' ');
        const { blend, parts: shares } = await figuresOf<Blended>(`blend ${parts}`);
        const alcoholL = jars.reduce((sum, { litres, percent }) => sum + (litres * percent) / 100, 0);
        expect(blend.alcoholL).toBeCloseTo(alcoholL, 8);
        expect(blend.volume20L * blend.strength.strengthAbv).toBeCloseTo(alcoholL, 8);
        expect(shares.reduce((sum, one) => sum + one.alcoholShare, 0)).toBeCloseTo(1, 10);
      }),
      { numRuns: 25 },
    );
  });

  it('counts each jar at its own temperature', async () => {
    const cold = await figuresOf<Blended>('blend --part "2L 70%vol 5C" --part "2L 50%vol 5C"');
    const warm = await figuresOf<Blended>('blend --part "2L 70%vol 35C" --part "2L 50%vol 35C"');
    expect(cold.blend.massKg).toBeGreaterThan(warm.blend.massKg * 1.02);
    expect(cold.blend.strength.strengthAbv).toBeCloseTo(warm.blend.strength.strengthAbv, 3);
  });

  it('takes water by its name', async () => {
    const named = await figuresOf<Blended>('blend --part "2L 70%vol" --part "1L water 12C"');
    const written = await figuresOf<Blended>('blend --part "2L 70%vol" --part "1L 0%vol 12C"');
    expect(named.blend).toEqual(written.blend);
    expect(named.blend.contractionL).toBeGreaterThan(0.03);
  });

  it('does the same as proof when water reduces', async () => {
    interface Reduced {
      readonly reduction: { readonly waterKg: number; readonly volume20L: number };
    }
    const { addition } = await figuresOf<Blended>('blend --part "10L 68%vol 18C" --to 42%vol');
    const { reduction } = await figuresOf<Reduced>('proof 10L 68%vol 18C --to 42%vol');
    expect(addition?.addKg).toBeCloseTo(reduction.waterKg, 9);
    expect(addition?.volume20L).toBeCloseTo(reduction.volume20L, 9);
  });

  it('reaches a target with a stronger spirit: the sum put together has it', async () => {
    const { addition, blend } = await figuresOf<Blended>('blend --part "5L 55%vol" --to 60%vol --with 80%vol');
    const whole = `blend --part "5L 55%vol" --part "${addition!.add20L.toFixed(9)}L 80%vol"`;
    const together = await figuresOf<Blended>(whole);
    expect(together.blend.strength.strengthAbv).toBeCloseTo(0.6, 9);
    expect(together.blend.volume20L).toBeCloseTo(addition!.volume20L, 6);
    expect(blend.strength.strengthAbv).toBeCloseTo(0.55, 10);
  });

  it.each([
    ['blend --part "5L 55%vol" --to 60%vol', "the blend's 55.00 % vol and water. Give --with"],
    ['blend --part "5L 55%vol" --to 60%vol --with 58%vol', 'and the 58.00 % vol to be added'],
    ['blend --part "5L 55%vol" --part "2L"', '--part 2: "2L": has no strength'],
    ['blend --part "5L 55%vol" --part "60%vol"', '--part 2: "60%vol": has no amount'],
    ['blend --part "5L 55%vol 60C"', '--part 1: "5L 55%vol 60C": densities are known from -20 to 40 °C'],
    ['blend --part "5L 155%vol"', 'Give 0 to 100 %vol'],
    ['blend --part "5 55%vol"', '--part 1: "5": has no unit'],
  ])('refuses %s', async (line, words) => {
    const ran = await runLine(line);
    expect(ran).toMatchObject({ code: 1, out: '' });
    expect(ran.err).toContain(words);
  });

  it('lists what is wrong with every part at once', async () => {
    const ran = await runLine('blend --part "5 55%vol" --part "2L" --part "1L 40%vol 70C" --to 40');
    expect(ran.err.trim().split('\n')).toHaveLength(4);
  });

  it.each(['blend 5L 55%vol', 'blend --part "5L 55%vol" --with 80%vol'])('does not understand %s', async (line) => {
    expect(await runLine(line)).toMatchObject({ code: 2, out: '' });
  });
});
