import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  activityCoefficients,
  azeotrope,
  bubblePoint,
  bubblePressureHPa,
  bubbleTempC,
  dewPoint,
  dewTempC,
  ethanolBoilingPointC,
  liquidAtBubbleTemp,
  vapourAtDewTemp,
  vapourAtTemp,
  vapourOverLiquid,
  waterBoilingPointC,
} from '../../lib/physics';
import { slowBubbleTempC } from '../reference/equilibrium-set';

const pressure = fc.double({ min: 500, max: 1100, noNaN: true });
const composition = fc.double({ min: 0, max: 1, noNaN: true });
const guess = fc.double({ min: 1, max: 149, noNaN: true });

/** Vapour over the liquid that boils at a temperature, by bisection over x up to the azeotrope. */
function slowVapourAtDewTemp(tempC: number, pressureHPa: number): number {
  let low = 0;
  let high = azeotrope(pressureHPa).x;
  for (let step = 0; step < 80; step++) {
    const middle = (low + high) / 2;
    if (bubblePressureHPa(middle, tempC) < pressureHPa) low = middle;
    else high = middle;
  }
  return vapourAtTemp((low + high) / 2, tempC);
}

describe('bubble and dew points', () => {
  it('fast form and bisection agree within 1e-9 K over a grid', () => {
    for (let pressureHPa = 500; pressureHPa <= 1100; pressureHPa += 60) {
      for (let x = 0; x <= 1; x += 0.01) {
        expect(Math.abs(bubbleTempC(x, pressureHPa) - slowBubbleTempC(x, pressureHPa))).toBeLessThan(1e-9);
      }
    }
  });

  it('do not depend on the guess', () => {
    fc.assert(
      fc.property(composition, pressure, guess, (x, pressureHPa, guessC) => {
        expect(Math.abs(bubbleTempC(x, pressureHPa, guessC) - bubbleTempC(x, pressureHPa))).toBeLessThan(1e-10);
        expect(Math.abs(vapourOverLiquid(x, pressureHPa, guessC) - bubblePoint(x, pressureHPa).y)).toBeLessThan(1e-12);
      }),
      { numRuns: 1000 },
    );
  });

  it('are each the inverse of the other', () => {
    fc.assert(
      fc.property(composition, pressure, (x, pressureHPa) => {
        const { tempC, y } = bubblePoint(x, pressureHPa);
        const back = dewPoint(y, pressureHPa);
        expect(Math.abs(back.tempC - tempC)).toBeLessThan(1e-9);
        expect(Math.abs(back.x - x)).toBeLessThan(1e-9);
        expect(Math.abs(dewTempC(y, pressureHPa) - tempC)).toBeLessThan(1e-9);
      }),
      { numRuns: 1000 },
    );
  });

  it('enclose: nothing boils below its azeotrope or above water', () => {
    fc.assert(
      fc.property(composition, pressure, (x, pressureHPa) => {
        const { tempC } = bubblePoint(x, pressureHPa);
        expect(tempC).toBeLessThanOrEqual(waterBoilingPointC(pressureHPa) + 1e-9);
        expect(tempC).toBeGreaterThanOrEqual(azeotrope(pressureHPa).tempC - 1e-9);
        expect(dewTempC(x, pressureHPa)).toBeGreaterThanOrEqual(tempC - 1e-9);
      }),
    );
  });

  it('give richer vapour over richer liquid', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 0.999, noNaN: true }), pressure, (x, pressureHPa) => {
        expect(bubblePoint(x + 0.001, pressureHPa).y).toBeGreaterThan(bubblePoint(x, pressureHPa).y);
      }),
    );
  });

  it('refuse what is no composition or no pressure', () => {
    for (const x of [-0.01, 1.01, Number.NaN]) {
      expect(bubbleTempC(x, 1000)).toBeNaN();
      expect(bubblePoint(x, 1000)).toEqual({ tempC: Number.NaN, y: Number.NaN });
      expect(dewPoint(x, 1000)).toEqual({ tempC: Number.NaN, x: Number.NaN });
    }
    for (const pressureHPa of [0, -5, 2500, Number.NaN]) {
      expect(bubblePoint(0.5, pressureHPa).tempC).toBeNaN();
      expect(dewTempC(0.5, pressureHPa)).toBeNaN();
      expect(vapourOverLiquid(0.5, pressureHPa)).toBeNaN();
      expect(vapourOverLiquid(0, pressureHPa)).toBeNaN();
    }
  });
});

describe('composition from temperature', () => {
  const waterSide = fc.double({ min: 0, max: 0.89, noNaN: true });

  it('finds the liquid again, and the vapour', () => {
    fc.assert(
      fc.property(waterSide, pressure, (x, pressureHPa) => {
        const { tempC, y } = bubblePoint(x, pressureHPa);
        expect(Math.abs(liquidAtBubbleTemp(tempC, pressureHPa) - x)).toBeLessThan(1e-9);
        expect(Math.abs(vapourAtDewTemp(tempC, pressureHPa) - y)).toBeLessThan(1e-9);
      }),
      { numRuns: 1000 },
    );
  });

  it('agrees with bisection over a grid', () => {
    for (const pressureHPa of [500, 650, 800, 950, 1013.25, 1100]) {
      const from = azeotrope(pressureHPa).tempC + 0.05;
      const to = waterBoilingPointC(pressureHPa);
      for (let i = 0; i <= 60; i++) {
        const tempC = from + ((to - from) * i) / 60;
        expect(Math.abs(vapourAtDewTemp(tempC, pressureHPa) - slowVapourAtDewTemp(tempC, pressureHPa))).toBeLessThan(
          1e-9,
        );
      }
    }
  });

  it('ends at water above its boiling point and at the azeotrope below that of the azeotrope', () => {
    fc.assert(
      fc.property(pressure, fc.double({ min: 1e-6, max: 30, noNaN: true }), (pressureHPa, beyondK) => {
        const { x, tempC } = azeotrope(pressureHPa);
        expect(liquidAtBubbleTemp(waterBoilingPointC(pressureHPa) + beyondK, pressureHPa)).toBe(0);
        expect(vapourAtDewTemp(waterBoilingPointC(pressureHPa) + beyondK, pressureHPa)).toBe(0);
        expect(Math.abs(liquidAtBubbleTemp(tempC - beyondK, pressureHPa) - x)).toBeLessThan(1e-9);
        expect(Math.abs(vapourAtDewTemp(tempC - beyondK, pressureHPa) - x)).toBeLessThan(1e-9);
      }),
    );
  });

  it('never rises with temperature', () => {
    fc.assert(
      fc.property(fc.double({ min: 55, max: 105, noNaN: true }), pressure, (tempC, pressureHPa) => {
        const cooler = vapourAtDewTemp(tempC, pressureHPa);
        expect(vapourAtDewTemp(tempC + 0.01, pressureHPa)).toBeLessThanOrEqual(cooler + 1e-12);
      }),
    );
  });
});

describe('activity coefficients', () => {
  it('obey Gibbs and Duhem: x d ln γ1 + (1 − x) d ln γ2 = 0 at constant temperature', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        fc.double({ min: 50, max: 105, noNaN: true }),
        (x, tempC) => {
          const step = 1e-5;
          const before = activityCoefficients(x - step, tempC);
          const after = activityCoefficients(x + step, tempC);
          const ethanol = Math.log(after.ethanol / before.ethanol) / (2 * step);
          const water = Math.log(after.water / before.water) / (2 * step);
          expect(Math.abs(x * ethanol + (1 - x) * water)).toBeLessThan(1e-7);
        },
      ),
    );
  });

  it('are one in the pure liquids', () => {
    expect(activityCoefficients(1, 80).ethanol).toBe(1);
    expect(activityCoefficients(0, 80).water).toBe(1);
  });

  it('make the pure ends boil as the vapour-pressure equations say', () => {
    fc.assert(
      fc.property(pressure, (pressureHPa) => {
        expect(bubbleTempC(0, pressureHPa)).toBe(waterBoilingPointC(pressureHPa));
        expect(bubbleTempC(1, pressureHPa)).toBe(ethanolBoilingPointC(pressureHPa));
      }),
    );
  });
});
