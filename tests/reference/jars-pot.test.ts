import { describe, expect, it } from 'vitest';
import { compoundCourse, courseAt, interpolate, potCourse } from '../../lib/jars';
import { abvFromMoleFraction, moleFractionFromAbv, tabulateEquilibrium, vapourOverLiquid } from '../../lib/physics';
import { expectYield } from '../../lib/proofing';

const table = tabulateEquilibrium();

describe('the pot course against other roads to the same figure', () => {
  // Lord Rayleigh, Phil. Mag. 4 (1902) 521: the same integral by Simpson's rule over ln x in lib/proofing, with its own root finding.
  it.each([0.6, 0.4, 0.2, 0.1])('a bare pot has given the same share when the spout falls to %d', (untilAbv) => {
    for (const strengthAbv of [0.2, 0.3]) {
      const integral = expectYield({ volumeL: 60, strengthAbv, tempC: 20, untilAbv });
      if (integral.kind === 'bad') throw new Error('refused');
      const course = potCourse(strengthAbv, 0, table);
      expect(courseAt(course, 'strengthAbv', 100 * integral.value.alcoholShare)).toBeCloseTo(untilAbv, 3);
    }
  });

  it('begins with the vapour of its charge', () => {
    const first = potCourse(0.3, 0, table)[0]!;
    expect(first.strengthAbv).toBeCloseTo(abvFromMoleFraction(vapourOverLiquid(moleFractionFromAbv(0.3), 1013.25)), 4);
    expect(first.sharePercent).toBeCloseTo(0, 9);
  });

  it('keeps the balance of a partial condenser: boiler vapour is what leaves and what runs back', () => {
    const reflux = 0.3;
    for (const point of potCourse(0.3, reflux, table)) {
      const fromBoiler = interpolate(table.x, table.y, point.boilerX);
      const leaving = interpolate(table.x, table.y, point.headX);
      expect((1 - reflux) * leaving + reflux * point.headX).toBeCloseTo(fromBoiler, 3);
    }
  });

  it('lets a compound of relative volatility one go with the moles', () => {
    // d ln m = K d ln n with K near 1: what is left of it is what is left of the moles. Methanol in weak liquid has K about 4 to 8: much faster.
    const course = potCourse(0.3, 0.2, table);
    const methanol = compoundCourse(course, 'methanol', 0.2, 1013.25);
    const half = course.findIndex((point) => point.left < 0.7);
    expect(methanol[half]!).toBeGreaterThan(100 * (1 - course[half]!.left));
  });
});

describe('the pot course against what stillmen find', () => {
  // Cognac, second distillation (trade glossary, in the project's reference values): low wines of 28 to 32 % vol, heads at 78 to 82 % vol.
  it('low wines of 28 to 32 % vol begin at 76 to 83 % vol (common practice: 78 to 82)', () => {
    for (const strengthAbv of [0.28, 0.3, 0.32]) {
      for (const reflux of [0.05, 0.1, 0.2]) {
        expect(courseAt(potCourse(strengthAbv, reflux, table), 'strengthAbv', 1)).toSatisfy(
          (abv: number) => abv > 0.76 && abv < 0.83,
        );
      }
    }
  });

  it('switches to seconds at 60 % vol with 70 to 85 % of the alcohol come over', () => {
    const course = potCourse(0.3, 0.1, table);
    const share = course.find((point) => point.strengthAbv < 0.6)!.sharePercent;
    expect(share).toSatisfy((percent: number) => percent > 70 && percent < 85);
  });

  // Common practice, no source: tails are worth suspecting from about 94 °C, and beyond 95 to 96 °C little is left to collect.
  it('has little left to collect beyond 96 °C vapour', () => {
    for (const reflux of [0, 0.2]) {
      const course = potCourse(0.3, reflux, table);
      expect(course.find((point) => point.vapourC > 96)!.sharePercent).toBeGreaterThan(90);
    }
  });
});
