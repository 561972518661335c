import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  abv60FFromMassFraction,
  abvFromMassFraction,
  abvFromMoleFraction,
  densityKgM3,
  liquidEnthalpyJPerMol,
  liquidHeatCapacityJPerMolK,
  massFractionFromAbv,
  massFractionFromAbv60F,
  massFractionFromMoleFraction,
  massFractionFromProof,
  moleFractionFromAbv,
  moleFractionFromMassFraction,
  proofFromMassFraction,
  vaporisationHeatJPerMol,
  vapourEnthalpyJPerMol,
} from '../../lib/physics';

const fraction = fc.double({ min: 0, max: 1, noNaN: true });

describe('strengths', () => {
  it('by volume, mass and mole change into each other and back within 1e-12', () => {
    fc.assert(
      fc.property(fraction, (p) => {
        expect(Math.abs(massFractionFromAbv(abvFromMassFraction(p)) - p)).toBeLessThan(1e-12);
        expect(Math.abs(massFractionFromAbv60F(abv60FFromMassFraction(p)) - p)).toBeLessThan(1e-12);
        expect(Math.abs(massFractionFromMoleFraction(moleFractionFromMassFraction(p)) - p)).toBeLessThan(1e-14);
        expect(Math.abs(massFractionFromProof(proofFromMassFraction(p)) - p)).toBeLessThan(1e-12);
        expect(Math.abs(moleFractionFromAbv(abvFromMoleFraction(p)) - p)).toBeLessThan(1e-11);
      }),
      { numRuns: 1000 },
    );
  });

  it('rise together', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 0.999, noNaN: true }), (p) => {
        expect(abvFromMassFraction(p + 0.001)).toBeGreaterThan(abvFromMassFraction(p));
        expect(abv60FFromMassFraction(p + 0.001)).toBeGreaterThan(abv60FFromMassFraction(p));
      }),
    );
  });

  it('by volume at 20 °C and at 60 °F differ by at most 0.15 % vol, and are not the same', () => {
    let widest = 0;
    for (let p = 0; p <= 1; p += 0.01)
      widest = Math.max(widest, Math.abs(abvFromMassFraction(p) - abv60FFromMassFraction(p)));
    expect(widest).toBeGreaterThan(0.0005);
    expect(widest).toBeLessThan(0.0015);
  });

  it('meet at the ends', () => {
    expect(massFractionFromAbv(0)).toBe(0);
    expect(massFractionFromAbv(1)).toBe(1);
    expect(massFractionFromProof(200)).toBe(1);
    expect(abv60FFromMassFraction(1)).toBe(1);
    expect(abvFromMassFraction(1)).toBeCloseTo(1, 5);
  });

  it('refuse what is no fraction', () => {
    for (const wrong of [-0.01, 1.01, 40, Number.NaN]) {
      expect(massFractionFromAbv(wrong)).toBeNaN();
      expect(abvFromMassFraction(wrong)).toBeNaN();
      expect(massFractionFromAbv60F(wrong)).toBeNaN();
      expect(moleFractionFromMassFraction(wrong)).toBeNaN();
      expect(massFractionFromMoleFraction(wrong)).toBeNaN();
    }
  });
});

describe('density', () => {
  it('falls with strength and with temperature above 4 °C', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 0.99, noNaN: true }),
        fc.double({ min: 5, max: 39, noNaN: true }),
        (p, tempC) => {
          expect(densityKgM3(p + 0.01, tempC)).toBeLessThan(densityKgM3(p, tempC));
          expect(densityKgM3(p, tempC + 1)).toBeLessThan(densityKgM3(p, tempC));
        },
      ),
    );
  });

  it('is never extrapolated', () => {
    expect(densityKgM3(0.5, 40)).toBeGreaterThan(800);
    expect(densityKgM3(0.5, -20)).toBeGreaterThan(800);
    for (const tempC of [40.0001, -20.0001, 78, Number.NaN]) expect(densityKgM3(0.5, tempC)).toBeNaN();
    for (const p of [-0.001, 1.001, Number.NaN]) expect(densityKgM3(p, 20)).toBeNaN();
  });
});

describe('enthalpies', () => {
  const temperature = fc.double({ min: 0, max: 110, noNaN: true });

  it('close: vapour is liquid and heat of vaporisation together', () => {
    fc.assert(
      fc.property(fraction, temperature, (y, tempC) => {
        const gap =
          vapourEnthalpyJPerMol(y, tempC) - liquidEnthalpyJPerMol(y, tempC) - vaporisationHeatJPerMol(y, tempC);
        expect(Math.abs(gap)).toBeLessThan(1e-9);
      }),
    );
  });

  it('of the liquid have the heat capacity for their slope and are 0 at 0 °C', () => {
    fc.assert(
      fc.property(fraction, fc.double({ min: 1, max: 109, noNaN: true }), (x, tempC) => {
        const slope = (liquidEnthalpyJPerMol(x, tempC + 0.01) - liquidEnthalpyJPerMol(x, tempC - 0.01)) / 0.02;
        expect(Math.abs(slope - liquidHeatCapacityJPerMolK(x, tempC))).toBeLessThan(1e-4);
        expect(liquidEnthalpyJPerMol(x, 0)).toBe(0);
      }),
    );
  });
});
