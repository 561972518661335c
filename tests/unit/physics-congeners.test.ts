import { describe, expect, it } from 'vitest';
import {
  bubblePoint,
  type CongenerName,
  congenerNames,
  congenersArePredictions,
  congenerVolatility,
} from '../../lib/physics';
import table from '../reference/data/congener-predictions.json';

/** Volatility relative to ethanol: above 1 it leaves before it, below 1 after it. */
function relativeToEthanol(name: CongenerName, x: number): number {
  return congenerVolatility(name, x) / (bubblePoint(x, 1013.25).y / x);
}

describe('minor compounds', () => {
  it('are predictions, and say so', () => {
    expect(congenersArePredictions).toBe(true);
    expect(table.status).toContain('prediction');
  });

  it.each(table.points)(
    '$name over x $x: $volatility within 6 % of the predicted table',
    ({ name, x, tempC, volatility }) => {
      const found = congenerVolatility(name as CongenerName, x, tempC);
      expect(Math.abs(Math.log(found / volatility))).toBeLessThan(0.06);
    },
  );

  it('are all in the table', () => {
    expect(new Set(table.points.map((point) => point.name))).toEqual(new Set(congenerNames));
  });

  // What the trade knows (common practice): these lead, those trail, at the strengths of a spirit run.
  it('acetaldehyde and ethyl acetate run ahead of ethanol at every strength', () => {
    for (const x of [0.02, 0.05, 0.1, 0.2, 0.4, 0.6]) {
      expect(relativeToEthanol('acetaldehyde', x)).toBeGreaterThan(1.5);
      expect(relativeToEthanol('ethyl acetate', x)).toBeGreaterThan(1.2);
    }
  });

  it('acetic acid and furfural trail at every strength', () => {
    for (const x of [0.02, 0.05, 0.1, 0.2, 0.4, 0.6]) {
      expect(relativeToEthanol('acetic acid', x)).toBeLessThan(0.35);
      expect(relativeToEthanol('furfural', x)).toBeLessThan(0.6);
    }
  });

  it('isoamyl alcohol leads in weak liquids and trails in strong ones', () => {
    expect(relativeToEthanol('isoamyl alcohol', 0.01)).toBeGreaterThan(1);
    expect(relativeToEthanol('isoamyl alcohol', 0.3)).toBeLessThan(0.7);
  });

  it('methanol is not concentrated in the heads: it stays within a factor of two of ethanol', () => {
    for (const x of [0.02, 0.05, 0.1, 0.2, 0.4]) {
      expect(relativeToEthanol('methanol', x)).toBeGreaterThan(0.5);
      expect(relativeToEthanol('methanol', x)).toBeLessThan(2);
    }
  });

  it('need a liquid and a pressure', () => {
    expect(congenerVolatility('methanol', 1.2, 80)).toBeNaN();
    expect(congenerVolatility('methanol', 0.2, 80, 0)).toBeNaN();
    expect(congenerVolatility('methanol', 0.2, 80, Number.NaN)).toBeNaN();
  });

  it('at a lower pressure are nearly as volatile at their own boiling point', () => {
    for (const name of congenerNames) {
      const ratio = congenerVolatility(name, 0.1, undefined, 800) / congenerVolatility(name, 0.1);
      expect(Math.abs(ratio - 1)).toBeLessThan(0.12);
    }
  });
});
