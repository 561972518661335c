import { describe, expect, it } from 'vitest';
import {
  abvFromMassFraction,
  densityKgM3,
  massFractionFromProof,
  proofFromMassFraction,
  sixtyFahrenheitC,
} from '../../lib/physics';
import {
  correctHydrometer,
  massFromWeightKg,
  proofGallonsOfEthanol,
  reduce,
  spiritMass,
  weightInAirKg,
  wineGallons,
} from '../../lib/proofing';
import { celsiusFromFahrenheit } from '../../lib/units';
import table1 from './data/cfr-27-30-table-1.json';
import { okValue } from './ok-value';

/*
 * Worked examples of the US gauging manual, 27 CFR part 30. Its tables rest on an absolute alcohol of relative density 0.7939 at 60/60 °F, against
 * 0.79382 of OIML R 22, and are rounded in print; weights are in air. Each tolerance says which of these it covers.
 */

const gallonL = 3.785411784;
const poundKg = 0.45359237;

function density60F(proof: number): number {
  return densityKgM3(massFractionFromProof(proof), sixtyFahrenheitC);
}

/** Weight in air of one wine gallon [lb]. */
function gallonLb(proof: number): number {
  return weightInAirKg((density60F(proof) * gallonL) / 1000, density60F(proof)) / poundKg;
}

/** Proof gallons in a weight in air. */
function proofGallonsOfWeight(weightLb: number, proof: number): number {
  const massKg = massFromWeightKg(weightLb * poundKg, density60F(proof));
  return proofGallonsOfEthanol(massKg * massFractionFromProof(proof));
}

describe('27 CFR 30.23 and 30.61, Table 1: true proof', () => {
  it.each(table1.points)('$hydrometerProof at $tempF °F is $trueProof ($where), printed to 0.1', (point) => {
    const reading = {
      readingAbv: point.hydrometerProof / 200,
      tempC: celsiusFromFahrenheit(point.tempF),
      basis: '60F',
    } as const;
    const found = okValue(correctHydrometer(reading)).proofUs;
    expect(Math.abs(found - point.trueProof)).toBeLessThanOrEqual(0.05);
  });
});

describe('27 CFR 30.11: the definition of proof', () => {
  it('ethanol has a relative density of 0.7939 at 60/60 °F within 0.0001', () => {
    const found = densityKgM3(1, sixtyFahrenheitC) / densityKgM3(0, sixtyFahrenheitC);
    expect(Math.abs(found - 0.7939)).toBeLessThanOrEqual(0.0001);
  });

  it('a proof gallon holds 1.9018 L of alcohol at 20 °C', () => {
    const ethanolKg = (1.9018 * 789.24) / 1000;
    expect(proofGallonsOfEthanol(ethanolKg)).toBeCloseTo(1, 4);
  });

  it('100 proof is half alcohol by volume at 60 °F', () => {
    expect(proofFromMassFraction(massFractionFromProof(100))).toBeCloseTo(100, 10);
    expect(abvFromMassFraction(massFractionFromProof(100))).not.toBeCloseTo(0.5, 4);
  });
});

describe('27 CFR 30.66, Table 6: volumes of water', () => {
  it.each([
    { proof: 188, parts: 7.36 },
    { proof: 100, parts: 53.73 },
  ])('100 parts of $proof proof hold $parts parts of water, printed to 0.01', ({ proof, parts }) => {
    const waterKg = (100 * density60F(proof) * (1 - massFractionFromProof(proof))) / 1000;
    const found = (1000 * waterKg) / densityKgM3(0, sixtyFahrenheitC);
    expect(Math.abs(found - parts)).toBeLessThanOrEqual(0.01);
  });

  it('100 wine gallons of 112 proof take 12.42 gallons of water to become 100 proof (0.02: differences of printed parts)', () => {
    const request = {
      amount: { kind: 'volume', volumeL: 100 * gallonL, tempC: sixtyFahrenheitC },
      strengthAbv: abvFromMassFraction(massFractionFromProof(112)),
      targetAbv: abvFromMassFraction(massFractionFromProof(100)),
      waterTempC: sixtyFahrenheitC,
    } as const;
    expect(Math.abs(okValue(reduce(request)).waterL / gallonL - 12.42)).toBeLessThanOrEqual(0.02);
  });
});

describe('27 CFR 30.63 to 30.65, Tables 3 to 5: weight', () => {
  it('190 proof holds 0.27964 proof gallons in a pound, within 4e-5 (0.015 %: the denser alcohol of the tables)', () => {
    expect(Math.abs(proofGallonsOfWeight(1, 190) - 0.27964)).toBeLessThanOrEqual(4e-5);
  });

  it('81,000 lb of 190 proof are 11,921.6 wine gallons within 1.5 (a factor printed to 5 digits)', () => {
    const massKg = massFromWeightKg(81_000 * poundKg, density60F(190));
    const found = wineGallons({ massKg, ethanolKg: massKg * massFractionFromProof(190) });
    expect(Math.abs(found - 11_921.6)).toBeLessThanOrEqual(1.5);
  });

  it('81,000 lb of 190 proof are 22,650.8 proof gallons within 3 (a factor printed to 5 digits)', () => {
    expect(Math.abs(proofGallonsOfWeight(81_000, 190) - 22_650.8)).toBeLessThanOrEqual(3);
  });

  it('60,378 lb of 190 proof are 16,884.1 proof gallons within 2', () => {
    expect(Math.abs(proofGallonsOfWeight(60_378, 190) - 16_884.1)).toBeLessThanOrEqual(2);
  });

  it('1000 lb of 200 proof take 82.03 lb of water to become 190 proof within 0.05 (the print rounds both factors)', () => {
    const request = {
      amount: { kind: 'mass', massKg: 1000 * poundKg },
      strengthAbv: 1,
      targetAbv: abvFromMassFraction(massFractionFromProof(190)),
    } as const;
    expect(Math.abs(okValue(reduce(request)).waterKg / poundKg - 82.03)).toBeLessThanOrEqual(0.05);
  });

  it('400 lb of 141 proof are 54.05 wine gallons within 0.01', () => {
    expect(Math.abs(400 / gallonLb(141) - 54.05)).toBeLessThanOrEqual(0.01);
  });

  it('100 wine gallons of 190 proof weigh 679.43 lb within 0.1', () => {
    expect(Math.abs(100 * gallonLb(190) - 679.43)).toBeLessThanOrEqual(0.1);
  });

  it('10 wine gallons of 190 proof weigh 68 lb (30.44, rounded up to whole ounces)', () => {
    const ounces = Math.ceil(160 * gallonLb(190));
    expect(Math.abs(ounces / 16 - 68)).toBeLessThanOrEqual(1 / 16 + 1e-9);
  });
});

describe('27 CFR 30.51, Table 7: volume at another temperature', () => {
  const massFraction = massFractionFromProof(86.8);
  const tempC = celsiusFromFahrenheit(72);

  it('86.8 proof at 72 °F has the factor 0.995, printed to 0.001', () => {
    const factor = densityKgM3(massFraction, tempC) / density60F(86.8);
    expect(Math.abs(factor - 0.995)).toBeLessThanOrEqual(0.0005);
  });

  it('88 in of 48.96 gallons an inch at 72 °F are 3721.1 proof gallons within 0.3 (the factor of three digits)', () => {
    const { ethanolKg } = spiritMass(88 * 48.96 * gallonL, abvFromMassFraction(massFraction), tempC);
    expect(Math.abs(proofGallonsOfEthanol(ethanolKg) - 3721.1)).toBeLessThanOrEqual(0.3);
  });
});
