import { describe, expect, it } from 'vitest';
import { figuresOf, type PlainStrength, runLine } from '../unit/commands-run';
import azeotropes from './data/azeotropes.json';
import table1 from './data/cfr-27-30-table-1.json';
import dilutions from './data/ethanol-dilution-table.json';
import groning from './data/groning-19th-century.json';
import iapws from './data/iapws-if97.json';
import iso2533 from './data/iso-2533.json';
import kamihama from './data/kamihama-2012.json';
import tableVIII from './data/oiml-table-viii.json';
import table55 from './data/practical-receipts-table-55.json';
import usp from './data/usp-alcoholometric-table.json';

/*
 * Published values asked of the command line in the units they are printed in: what is tested here is the way from a written quantity to a printed
 * figure. The tolerances are those of the tests of each source.
 */

const poundKg = 0.45359237;
const gallonL = 3.785411784;

interface Sample {
  readonly strength: PlainStrength;
}

interface Scales {
  readonly strengths: readonly (PlainStrength & { readonly reading60FAbv?: number })[];
}

interface Held {
  readonly spirit: { readonly proofGallonsUs: number; readonly wineGallonsUs: number; readonly weightInAirKg: number };
  readonly reduction?: { readonly waterL: number; readonly waterWeightInAirKg: number; readonly volume20L: number };
}

interface FromTemperature {
  readonly liquid: PlainStrength;
  readonly lowestAbv: number;
  readonly highestAbv: number;
  readonly airPressureHPa: number;
}

describe('strength, against 27 CFR 30.23 and 30.61', () => {
  it.each(table1.points)('$hydrometerProof proof at $tempF °F is $trueProof', async (point) => {
    const line = `strength --hydrometer ${point.hydrometerProof}proof --temp ${point.tempF}F`;
    const found = await figuresOf<Sample>(line);
    expect(Math.abs(found.strength.proofUs - point.trueProof)).toBeLessThanOrEqual(0.05);
    const printed = / = ([\d.]+) US proof/.exec((await runLine(line)).out)?.[1];
    expect(Math.abs(Number(printed) - point.trueProof)).toBeLessThanOrEqual(table1.toleranceProof);
  });
});

describe('strength, against OIML R 22 and tables by its formula', () => {
  it.each(tableVIII.points)(
    '$hydrometerPercentVol % vol at $tempC °C is $truePercentVol (Table VIII)',
    async (point) => {
      const line = `strength --hydrometer ${point.hydrometerPercentVol}%vol --temp ${point.tempC}C`;
      const { strength } = await figuresOf<Sample>(line);
      const difference = Math.abs(100 * strength.strengthAbv - point.truePercentVol);
      expect(difference).toBeLessThanOrEqual(tableVIII.tolerancePercentVol);
    },
  );

  it.each(dilutions.points)('$densityKgM3 kg/m³ at 20 °C is $strengthPercentVol % vol', async (point) => {
    const gPerML = (point.densityKgM3 / 1000).toFixed(5);
    const { strength } = await figuresOf<Sample>(`strength --density ${gPerML}g/mL --temp 20C`);
    expect(Math.abs(100 * strength.strengthAbv - point.strengthPercentVol)).toBeLessThanOrEqual(0.01);
  });
});

describe('strength, against the alcoholometric table of the USP (60 °F)', () => {
  it.each(usp.massFromVolume)('$strengthPercentVol60F % vol at 60 °F is $massPercent % mass', async (point) => {
    const { strengths } = await figuresOf<Scales>(`strength ${point.strengthPercentVol60F}%vol60F`);
    expect(Math.abs(100 * strengths[0]!.massFraction - point.massPercent)).toBeLessThanOrEqual(usp.tolerancePercent);
  });

  it.each(usp.volumeFromMass)('$massPercent % mass is $strengthPercentVol60F % vol at 60 °F', async (point) => {
    const { strengths } = await figuresOf<Scales>(`strength "${point.massPercent} % mass"`);
    const difference = Math.abs(100 * strengths[0]!.strengthAbv60F - point.strengthPercentVol60F);
    expect(difference).toBeLessThanOrEqual(usp.tolerancePercent);
  });
});

describe('strength, against an alcoholometer table of the 19th century (30 to 85 °F)', () => {
  it('finds every reading within 0.2 % vol', async () => {
    for (const { truePercentVol60F, tempF, shownPercentVol } of table55.points) {
      const { strengths } = await figuresOf<Scales>(`strength ${truePercentVol60F}%vol60F --temp ${tempF}F`);
      const difference = Math.abs(100 * strengths[0]!.reading60FAbv! - shownPercentVol);
      expect(difference, `${truePercentVol60F} at ${tempF} °F`).toBeLessThanOrEqual(table55.tolerancePercentVol);
    }
  });
});

describe('strength from a boiler temperature', () => {
  it('holds the measured liquids of Kamihama et al. 2012 within 0.2 K', async () => {
    const points = kamihama.points.filter(({ x }) => x > 0 && x < 0.85);
    expect(points.length).toBeGreaterThan(12);
    for (const { tempK, x } of points) {
      const line = `strength --boiler ${tempK}K --pressure ${kamihama.pressureKPa}kPa --uncertainty 0.2K`;
      const found = await figuresOf<FromTemperature>(line);
      const low = await figuresOf<Scales>(`strength ${100 * found.lowestAbv}%vol`);
      const high = await figuresOf<Scales>(`strength ${100 * found.highestAbv}%vol`);
      expect(low.strengths[0]!.moleFraction, line).toBeLessThan(x);
      expect(high.strengths[0]!.moleFraction, line).toBeGreaterThan(x);
    }
  });

  it.each(groning.points)(
    'a wash of $strengthPercentVol % vol boils near $tempC °C (historic, 1.5 K)',
    async (point) => {
      const line = `strength --boiler ${point.tempC}C --pressure 760mmHg --uncertainty ${groning.toleranceK}K`;
      const found = await figuresOf<FromTemperature>(line);
      expect(100 * found.lowestAbv).toBeLessThan(point.strengthPercentVol);
      expect(100 * found.highestAbv).toBeGreaterThan(point.strengthPercentVol);
    },
  );

  it('refuses below the azeotrope, at a temperature within 0.03 K of the published 78.14 °C', async () => {
    const ran = await runLine('strength --vapour 77.5C --pressure 101.325kPa');
    const least = Number(/condenses from ([\d.]+) to/.exec(ran.err)?.[1]);
    const published = azeotropes.points.find((point) => point.name.startsWith('Carey'))?.tempC;
    expect(Math.abs(least - (published ?? Number.NaN))).toBeLessThanOrEqual(0.03);
  });

  it.each(iso2533.points)('$altitudeM m have $pressureHPa hPa (ISO 2533)', async (point) => {
    const found = await figuresOf<FromTemperature>(`strength --vapour 90C --altitude ${point.altitudeM}m`);
    expect(Math.abs(found.airPressureHPa - point.pressureHPa)).toBeLessThanOrEqual(point.toleranceHPa);
  });
});

describe('proof, against the worked examples of 27 CFR 30', () => {
  it('100 wine gallons of 112 proof take 12.42 gallons of water to become 100 proof (0.02: printed parts)', async () => {
    const line = 'proof 100gal 112proof 60F --to 100proof --water-temp 60F';
    const { reduction } = await figuresOf<Held>(line);
    expect(Math.abs(reduction!.waterL / gallonL - 12.42)).toBeLessThanOrEqual(0.02);
  });

  it('1000 lb of 200 proof take 82.03 lb of water to become 190 proof (0.05: the print rounds both factors)', async () => {
    const { reduction } = await figuresOf<Held>('proof 1000lb 200proof --to 190proof');
    expect(Math.abs(reduction!.waterWeightInAirKg / poundKg - 82.03)).toBeLessThanOrEqual(0.05);
  });

  it.each([
    ['81000lb 190proof 60F', 'wineGallonsUs', 11_921.6, 1.5],
    ['81000lb 190proof 60F', 'proofGallonsUs', 22_650.8, 3],
    ['60378lb 190proof 60F', 'proofGallonsUs', 16_884.1, 2],
    ['400lb 141proof 60F', 'wineGallonsUs', 54.05, 0.01],
    [`${88 * 48.96}gal 86.8proof 72F`, 'proofGallonsUs', 3721.1, 0.3],
  ] as const)('%s: %s %f', async (words, field, value, tolerance) => {
    const { spirit } = await figuresOf<Held>(`proof ${words}`);
    expect(Math.abs(spirit[field] - value)).toBeLessThanOrEqual(tolerance);
  });

  it('100 wine gallons of 190 proof weigh 679.43 lb in air within 0.1', async () => {
    const { spirit } = await figuresOf<Held>('proof 100gal 190proof 60F');
    expect(Math.abs(spirit.weightInAirKg / poundKg - 679.43)).toBeLessThanOrEqual(0.1);
  });
});

// Common practice, no source: 44 to 45 % vol down to 40 gives 10 to 12.5 % more.
describe('proof, against common practice', () => {
  it.each([44, 45])('from %d to 40 %% vol there is 10 to 12.5 %% more', async (percent) => {
    const { reduction } = await figuresOf<Held>(`proof 100L ${percent}%vol --to 40%vol`);
    expect(reduction!.volume20L).toBeGreaterThan(109.9);
    expect(reduction!.volume20L).toBeLessThan(112.6);
  });
});

describe('blend, against a printed contraction', () => {
  it('makes 192.75 L within 0.25 of 100 L of ethanol and 100 L of water', async () => {
    const line = 'blend --part "100L 100%vol" --part "100L water"';
    const { blend } = await figuresOf<{ blend: { volume20L: number } }>(line);
    expect(Math.abs(blend.volume20L - 192.75)).toBeLessThanOrEqual(0.25);
  });
});

describe('calibrate and shift, against IAPWS-IF97', () => {
  const boiling = iapws.boiling.find((point) => point.pressureMPa === 0.1);
  const publishedC = (boiling?.tempK ?? Number.NaN) - 273.15;

  it('water boils at 99.606 °C at 1000 hPa', async () => {
    const line = 'calibrate --ice "0C 0C" --boiling "99.6C 99.6C" --pressure 100kPa';
    const found = await figuresOf<{ high: { referenceC: number } }>(line);
    expect(found.high.referenceC).toBeCloseTo(publishedC, 5);
  });

  it('steam moves from there along the boiling point of water, to 99.974 °C at 1013.25 hPa', async () => {
    const line = `shift ${publishedC}C --from 1000hPa --to 1013.25hPa`;
    const found = await figuresOf<{ shifts: { to: { tempC: number }[] }[] }>(line);
    expect(found.shifts[0]!.to[0]!.tempC).toBeCloseTo(99.974, 3);
  });
});
