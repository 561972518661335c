import { describe, expect, it } from 'vitest';
import { consensusOf, type Jar, jarBehind, jarSchema, pourGlasses, type Verdict } from '../../lib/jars';

const tasted = (...said: readonly (Verdict | undefined)[]): Jar =>
  jarSchema.parse({
    number: 7,
    tastings: said.map((verdict, index) => ({
      taster: `taster ${index + 1}`,
      ...(verdict === undefined ? {} : { verdict }),
    })),
  });

describe('several tasters', () => {
  it.each<[readonly (Verdict | undefined)[], Verdict]>([
    [['in', 'in', 'out'], 'in'],
    [['out', 'out', 'in'], 'out'],
    [['in', 'out'], 'unsure'],
    [['in', 'in-for-oak', 'out'], 'in-for-oak'],
    [['in', 'in-for-oak'], 'unsure'],
    [['in-for-oak', 'in-for-oak'], 'in-for-oak'],
    [['in-for-oak', 'out'], 'unsure'],
    [['in', 'unsure', 'unsure'], 'in'],
    [['unsure'], 'unsure'],
    [[undefined, undefined], 'unsure'],
    [['in', 'in', 'in-for-oak', 'out'], 'unsure'],
  ])('who say %j agree on %s', (said, verdict) => {
    expect(consensusOf(tasted(...said)).verdict).toBe(verdict);
  });

  it('show who disagrees, and how much', () => {
    const split = consensusOf(tasted('in', 'in', 'out'));
    expect(split.dissent).toEqual([{ taster: 'taster 3', verdict: 'out' }]);
    expect(split.votes).toEqual({ out: 1, in: 2, 'in-for-oak': 0, unsure: 0 });
    expect(split.agreement).toBeCloseTo(1 / 3, 12);
    expect(consensusOf(tasted('in', 'in')).agreement).toBe(1);
    expect(consensusOf(tasted('in', 'out')).agreement).toBe(0);
    expect(consensusOf(tasted('in')).agreement).toBeNull();
  });

  it('yield to the decision written on the jar, and their dissent stays to be seen', () => {
    const decided = consensusOf({ ...tasted('out', 'out'), verdict: 'in' });
    expect(decided.verdict).toBe('in');
    expect(decided.decidedBy).toBe('decision');
    expect(decided.dissent).toHaveLength(2);
  });

  it('have their words counted, each taster once', () => {
    const jar = jarSchema.parse({
      number: 1,
      tastings: [
        { taster: 'Ann', descriptors: ['Pear', 'pear ', 'floral'], intensity: 2 },
        { taster: 'Ben', descriptors: ['pear'], intensity: 4 },
      ],
    });
    const agreed = consensusOf(jar);
    expect(agreed.descriptors).toEqual([
      { word: 'pear', tasters: 2 },
      { word: 'floral', tasters: 1 },
    ]);
    expect(agreed.intensity).toEqual({ mean: 3, spread: 2 });
  });
});

describe('glasses', () => {
  const jars = [1, 2, 3, 4, 5, 6, 7];

  it('are poured from both ends inwards, from the heart outwards, or as filled', () => {
    const order = (kind: 'outside-in' | 'inside-out' | 'as-filled', of: readonly number[] = jars) =>
      pourGlasses(of, kind, 1).map((glass) => glass.jar);
    expect(order('outside-in')).toEqual([1, 7, 2, 6, 3, 5, 4]);
    expect(order('inside-out')).toEqual([4, 5, 3, 6, 2, 7, 1]);
    expect(order('outside-in', [1, 2, 3, 4])).toEqual([1, 4, 2, 3]);
    expect(order('as-filled')).toEqual(jars);
    expect(order('outside-in', [])).toEqual([]);
  });

  it('carry every jar once under a hidden number of three digits that tells nothing', () => {
    const glasses = pourGlasses(jars, 'random', 42);
    expect(glasses.map((glass) => glass.jar).sort()).toEqual(jars);
    const hidden = glasses.map((glass) => glass.hiddenNumber!);
    expect(new Set(hidden).size).toBe(7);
    for (const number of hidden) expect(number).toSatisfy((one: number) => one >= 100 && one <= 999);
    for (const glass of glasses) expect(jarBehind(glasses, glass.hiddenNumber!)).toBe(glass.jar);
    expect(jarBehind(glasses, 99)).toBeNull();
  });

  it('stand in the same order for the same seed and in another for another', () => {
    const jarsOf = (seed: number) =>
      pourGlasses(jars, 'random', seed)
        .map((glass) => glass.jar)
        .join();
    expect(jarsOf(42)).toBe(jarsOf(42));
    const seen = new Set(Array.from({ length: 40 }, (_, seed) => jarsOf(seed)));
    expect(seen.size).toBeGreaterThan(35);
  });

  it('put every jar first about equally often', () => {
    const first = new Map<number, number>();
    for (let seed = 0; seed < 2100; seed++) {
      const jar = pourGlasses(jars, 'random', seed)[0]!.jar;
      first.set(jar, (first.get(jar) ?? 0) + 1);
    }
    // 300 expected of each, standard deviation 16.
    for (const jar of jars) expect(first.get(jar)).toSatisfy((times: number) => times > 220 && times < 380);
  });

  it('stand open when nothing is to be hidden', () => {
    expect(pourGlasses(jars, 'as-filled', 1, false).every((glass) => glass.hiddenNumber === null)).toBe(true);
  });
});
