import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { accuracyDocument } from './accuracy-document';
import { equilibriumSets, scatterBetweenSets, shiftErrors, slopeErrorK } from './accuracy-figures';
import { deviationOf } from './equilibrium-set';

const committed = resolve(__dirname, '../../lib/physics/accuracy.md');

describe('the accuracy document', () => {
  it('is what the data and the code give today; write it anew with -u', async () => {
    expect(existsSync(committed)).toBe(true);
    await expect(accuracyDocument()).toMatchFileSnapshot(committed);
  });

  it('lists every set of the reference tests', () => {
    expect(equilibriumSets.map((set) => deviationOf(set).points)).toEqual([21, 36, 35, 14, 28, 23, 13, 17]);
  });
});

describe('what the document claims', () => {
  it('published sets differ by more than 0.6 K and 0.015 in y at the lowest ethanol, far more than the model from the best of them', () => {
    const [lowest] = scatterBetweenSets();
    expect(lowest!.atmosphereK).toBeGreaterThan(0.6);
    expect(lowest!.atmosphereY).toBeGreaterThan(0.015);
  });

  it('a constant slope is wrong by 0.2 to 0.9 K at 800 hPa, always too high, the more the later the cut', () => {
    const errorsK = [80, 85, 90, 94, 96, 98].map((thresholdC) => slopeErrorK('vapour', thresholdC, 800));
    expect(errorsK[0]!).toBeGreaterThan(0.2);
    expect(errorsK[errorsK.length - 1]!).toBeLessThan(0.9);
    for (let i = 1; i < errorsK.length; i++) expect(errorsK[i]!).toBeGreaterThan(errorsK[i - 1]!);
  });

  it('round trip within 1e-9 K, prepared curve within 1e-8 K', () => {
    const { curveK, roundTripK } = shiftErrors();
    expect(roundTripK).toBeLessThan(1e-9);
    expect(curveK).toBeLessThan(1e-8);
  });
});
