import { describe, expect, it } from 'vitest';
import { createRandom, nextBetween, nextGaussian, nextIndex, nextUnit, subSeed } from '../../simulators/model';

const many = 100_000;

describe('random source', () => {
  it('gives the same numbers for the same seed and name', () => {
    const draw = () => {
      const random = createRandom(42, 'probe/vapour-temp');
      return Array.from({ length: 20 }, () => nextUnit(random));
    };
    expect(draw()).toEqual(draw());
  });

  it('gives unlike numbers for another seed or another name', () => {
    const first = [
      createRandom(1, 'a'),
      createRandom(2, 'a'),
      createRandom(1, 'b'),
      createRandom(11, ''),
      createRandom(1, '1'),
    ];
    const heads = first.map((random) => nextUnit(random).toFixed(9));
    expect(new Set(heads).size).toBe(first.length);
  });

  it('keeps its numbers for ever, so that a seed of an old report still replays', () => {
    const random = createRandom(7, 'weather');
    const numbers = [nextUnit(random), nextUnit(random), nextUnit(random)].map((value) => Number(value.toFixed(8)));
    expect(numbers).toEqual([0.75352903, 0.09217166, 0.93001876]);
    expect(subSeed(7, 'weather')).toBe(299_503_616);
  });

  it('spreads evenly: mean, variance and the fill of 20 bins', () => {
    const random = createRandom(3, 'even');
    const bins = new Array<number>(20).fill(0);
    let sum = 0;
    let squares = 0;
    for (let index = 0; index < many; index++) {
      const value = nextUnit(random);
      expect(value >= 0 && value < 1).toBe(true);
      bins[Math.floor(value * 20)]! += 1;
      sum += value;
      squares += value * value;
    }
    expect(sum / many).toBeCloseTo(0.5, 2);
    expect(squares / many - (sum / many) ** 2).toBeCloseTo(1 / 12, 2);
    // Chi squared with 19 degrees of freedom: 43.8 is passed once in a thousand.
    const chiSquared = bins.reduce((total, count) => total + (count - many / 20) ** 2 / (many / 20), 0);
    expect(chiSquared).toBeLessThan(43.8);
  });

  it('gives normal deviates: mean 0, spread 1, 4.6 % beyond two', () => {
    const random = createRandom(5, 'bell');
    let sum = 0;
    let squares = 0;
    let beyond = 0;
    for (let index = 0; index < many; index++) {
      const value = nextGaussian(random);
      sum += value;
      squares += value * value;
      if (Math.abs(value) > 2) beyond++;
    }
    expect(sum / many).toBeCloseTo(0, 1);
    expect(squares / many).toBeCloseTo(1, 1);
    expect(beyond / many).toBeGreaterThan(0.043);
    expect(beyond / many).toBeLessThan(0.048);
  });

  it('keeps indices and bounds', () => {
    const random = createRandom(9, 'bounds');
    const seen = new Set<number>();
    for (let index = 0; index < 500; index++) {
      seen.add(nextIndex(random, 4));
      const value = nextBetween(random, -3, 2);
      expect(value >= -3 && value < 2).toBe(true);
    }
    expect([...seen].sort()).toEqual([0, 1, 2, 3]);
  });

  it('is plain JSON and goes on from a copy', () => {
    const random = createRandom(1, 'copy');
    nextGaussian(random);
    const copy = JSON.parse(JSON.stringify(random)) as typeof random;
    expect([nextGaussian(copy), nextUnit(copy)]).toEqual([nextGaussian(random), nextUnit(random)]);
  });
});
