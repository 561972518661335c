import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  azeotrope,
  compileShift,
  dewTempC,
  jointMoleFraction,
  type ProbeLine,
  shiftBoilerTemp,
  shiftVapourTemp,
  thresholdAt,
  waterBoilingPointC,
} from '../../lib/physics';

const pressure = fc.double({ min: 500, max: 1100, noNaN: true });
const temperature = fc.double({ min: 55, max: 110, noNaN: true });
const line = fc.constantFrom<ProbeLine>('vapour', 'boiler');

function shift(probe: ProbeLine, tempC: number, fromHPa: number, toHPa: number): number {
  return probe === 'vapour' ? shiftVapourTemp(tempC, fromHPa, toHPa) : shiftBoilerTemp(tempC, fromHPa, toHPa);
}

describe('barometric shift', () => {
  it('is undone by the opposite shift within 1e-9 K', () => {
    fc.assert(
      fc.property(line, temperature, pressure, pressure, (probe, tempC, fromHPa, toHPa) => {
        const back = shift(probe, shift(probe, tempC, fromHPa, toHPa), toHPa, fromHPa);
        expect(Math.abs(back - tempC)).toBeLessThan(1e-9);
      }),
      { numRuns: 2000 },
    );
  });

  it('keeps the order of temperatures', () => {
    fc.assert(
      fc.property(
        line,
        temperature,
        fc.double({ min: 1e-6, max: 20, noNaN: true }),
        pressure,
        pressure,
        (probe, tempC, stepK, from, to) => {
          expect(shift(probe, tempC + stepK, from, to)).toBeGreaterThan(shift(probe, tempC, from, to));
        },
      ),
      { numRuns: 2000 },
    );
  });

  it('makes no jump anywhere', () => {
    fc.assert(
      fc.property(line, temperature, pressure, pressure, (probe, tempC, from, to) => {
        const step = shift(probe, tempC + 1e-8, from, to) - shift(probe, tempC, from, to);
        // Near the joint a temperature hardly tells the composition, and the shift is steep there: some hundred K/K at the worst, from 1100 to 500 hPa.
        expect(Math.abs(step)).toBeLessThan(1e-5);
      }),
      { numRuns: 2000 },
    );
  });

  it('makes no jump at its two joints', () => {
    fc.assert(
      fc.property(line, pressure, pressure, (probe, from, to) => {
        for (const jointC of [dewTempC(jointMoleFraction, from), waterBoilingPointC(from)]) {
          const below = shift(probe, jointC - 1e-10, from, to);
          const above = shift(probe, jointC + 1e-10, from, to);
          expect(Math.abs(above - below)).toBeLessThan(1e-6);
        }
      }),
      { numRuns: 500 },
    );
  });

  it('rises with the pressure it is moved to', () => {
    fc.assert(
      fc.property(
        line,
        temperature,
        pressure,
        fc.double({ min: 500, max: 1099, noNaN: true }),
        (probe, tempC, from, to) => {
          expect(shift(probe, tempC, from, to + 1)).toBeGreaterThan(shift(probe, tempC, from, to));
        },
      ),
    );
  });

  it('gives the same by way of a third pressure', () => {
    fc.assert(
      fc.property(line, temperature, pressure, pressure, pressure, (probe, tempC, from, by, to) => {
        const direct = shift(probe, tempC, from, to);
        expect(Math.abs(shift(probe, shift(probe, tempC, from, by), by, to) - direct)).toBeLessThan(1e-7);
      }),
      { numRuns: 1000 },
    );
  });

  it('has its joint on the water side of the azeotrope at every pressure, and close to that at the highest', () => {
    for (let pressureHPa = 500; pressureHPa <= 1100; pressureHPa += 20) {
      expect(azeotrope(pressureHPa).x).toBeGreaterThan(jointMoleFraction);
    }
    expect(azeotrope(1100).x - jointMoleFraction).toBeLessThan(1e-4);
  });

  it('moves water with water', () => {
    fc.assert(
      fc.property(line, pressure, pressure, (probe, from, to) => {
        expect(Math.abs(shift(probe, waterBoilingPointC(from), from, to) - waterBoilingPointC(to))).toBeLessThan(1e-9);
      }),
    );
  });

  it('is NaN outside 500 to 1100 hPa, on either side', () => {
    expect(shiftVapourTemp(90, 499.9, 1000)).toBeNaN();
    expect(shiftVapourTemp(90, 1000, 1100.1)).toBeNaN();
    expect(shiftBoilerTemp(90, Number.NaN, 1000)).toBeNaN();
    expect(shiftVapourTemp(Number.NaN, 1000, 900)).toBeNaN();
  });
});

describe('prepared threshold', () => {
  it('is the full shift within 1e-8 K at every pressure', () => {
    fc.assert(
      fc.property(
        line,
        temperature,
        pressure,
        fc.array(pressure, { minLength: 5, maxLength: 5 }),
        (probe, tempC, reference, pressures) => {
          const curve = compileShift(tempC, reference, probe);
          for (const now of pressures) {
            expect(Math.abs(thresholdAt(curve, now) - shift(probe, tempC, reference, now))).toBeLessThan(1e-8);
          }
        },
      ),
      { numRuns: 200 },
    );
  });

  it('survives being written as JSON, to the last bit', () => {
    fc.assert(
      fc.property(line, temperature, pressure, pressure, (probe, tempC, reference, now) => {
        const curve = compileShift(tempC, reference, probe);
        expect(thresholdAt(JSON.parse(JSON.stringify(curve)), now)).toBe(thresholdAt(curve, now));
      }),
      { numRuns: 50 },
    );
  });

  it('is NaN at a pressure out of range, so that no comparison with it is true', () => {
    const curve = compileShift(92, 1013.25, 'vapour');
    expect(thresholdAt(curve, 499)).toBeNaN();
    expect(thresholdAt(curve, 1101)).toBeNaN();
    expect(100 >= thresholdAt(curve, 1101)).toBe(false);
  });
});
