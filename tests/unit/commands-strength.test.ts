import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { azeotrope, bubbleTempC, dewTempC, waterBoilingPointC } from '../../lib/physics';
import { type Caution, figuresOf, type PlainStrength, runLine } from './commands-run';

interface FromTemperature {
  readonly vapour: PlainStrength;
  readonly liquid: PlainStrength;
  readonly lowestAbv: number;
  readonly highestAbv: number;
  readonly airPressureHPa: number;
  readonly cautions: readonly Caution[];
}

interface FromSample {
  readonly strength: PlainStrength;
  readonly abvPerK: number;
  readonly cautions: readonly Caution[];
}

describe('strength from a temperature', () => {
  it('finds the vapour whose dew temperature was read, and the liquid that boils there', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.double({ min: 0.02, max: 0.85, noNaN: true }),
        fc.integer({ min: 500, max: 1100 }),
        async (y, hPa) => {
          const tempC = dewTempC(y, hPa);
          const found = await figuresOf<FromTemperature>(`strength --vapour ${tempC.toFixed(9)}C --pressure ${hPa}hPa`);
          expect(found.vapour.moleFraction).toBeCloseTo(y, 5);
          expect(bubbleTempC(found.liquid.moleFraction, hPa)).toBeCloseTo(tempC, 6);
        },
      ),
      { numRuns: 25 },
    );
  });

  it('gives the same in the units of another country', async () => {
    const metric = await figuresOf<FromTemperature>('strength --boiler 92.5C --pressure 950hPa');
    const us = await figuresOf<FromTemperature>('strength --boiler 198.5F --pressure 28.05349inHg');
    expect(us.liquid.strengthAbv).toBeCloseTo(metric.liquid.strengthAbv, 5);
    const shown = await runLine('strength --boiler 198.5F --pressure 28.05inHg');
    expect(shown.out).toContain('92.50 °C (198.50 °F) at 949.9 hPa (28.05 inHg)');
  });

  it('spans the uncertainty of the probe: hotter is weaker', async () => {
    const narrow = await figuresOf<FromTemperature>('strength --vapour 90C --pressure 1000hPa --uncertainty 0.1K');
    const wide = await figuresOf<FromTemperature>('strength --vapour 90C --pressure 1000hPa --uncertainty 0.9F');
    expect(narrow.lowestAbv).toBeLessThan(narrow.vapour.strengthAbv);
    expect(narrow.highestAbv).toBeGreaterThan(narrow.vapour.strengthAbv);
    const width = (one: FromTemperature) => one.highestAbv - one.lowestAbv;
    expect(width(wide) / width(narrow)).toBeCloseTo(5, 1);
  });

  it('warns near the azeotrope that temperature measures nothing, and not elsewhere', async () => {
    const near = await runLine('strength --vapour 78.2C --pressure 1013.25hPa');
    expect(near.out).toContain("Temperature can't measure strength here");
    const far = await runLine('strength --vapour 85C --pressure 1013.25hPa');
    expect(far.out).not.toContain("can't measure");
    expect(far.out).toContain('reflux after the probe');
  });

  it('refuses what no mixture reaches and names the range at this pressure', async () => {
    for (const [text, hPa] of [
      ['77C', 1013.25],
      ['100.5C', 1013.25],
      ['97C', 850],
    ] as const) {
      const ran = await runLine(`strength --vapour ${text} --pressure ${hPa}hPa`);
      expect(ran).toMatchObject({ code: 1, out: '' });
      expect(ran.err).toContain(`--vapour: "${text}"`);
      expect(ran.err).toContain(`${azeotrope(hPa).tempC.toFixed(2)} to ${waterBoilingPointC(hPa).toFixed(2)} °C`);
    }
  });

  it('takes an altitude for the pressure and says what that is worth', async () => {
    const found = await figuresOf<FromTemperature>('strength --vapour 90C --altitude 1000m');
    expect(found.airPressureHPa).toBeCloseTo(898.745, 2);
    expect(found.cautions[0]).toMatchObject({ path: '--altitude', value: '"1000m"' });
  });

  it('notices a pressure reduced to sea level', async () => {
    const found = await figuresOf<FromTemperature>('strength --vapour 92C --pressure 1012hPa --altitude 900m');
    expect(found.cautions[0]?.message).toContain('looks reduced to sea level');
    const sound = await figuresOf<FromTemperature>('strength --vapour 92C --pressure 908hPa --altitude 900m');
    expect(sound.cautions.some((one) => one.path === '--pressure')).toBe(false);
  });

  it('lists all that is wrong at once', async () => {
    const ran = await runLine('strength --vapour 92 --pressure 450hPa --uncertainty 9K');
    expect(ran.code).toBe(1);
    expect(ran.err.split('\n').filter((line) => line !== '')).toHaveLength(3);
    expect(ran.err).toContain('--pressure: "450hPa": the model holds from 500 to 1100 hPa. Give 500 to 1100 hPa.');
    expect((await runLine('strength --vapour 92C')).err).toContain('--pressure: is missing');
  });

  it('gives the range in the unit it was asked in', async () => {
    expect((await runLine('strength --vapour 92C --pressure 10inHg')).err).toContain('Give 14.76 to 32.48 inHg');
  });
});

describe('strength from a sample', () => {
  it('says what a kelvin in the sample is worth: about 0.3 to 0.4 % vol at 60 % vol', async () => {
    const found = await figuresOf<FromSample>('strength --hydrometer 60%vol --temp 25C');
    expect(found.abvPerK).toBeGreaterThan(0.003);
    expect(found.abvPerK).toBeLessThan(0.004);
    expect(found.cautions.some((one) => one.message.includes(`${(100 * found.abvPerK).toFixed(2)} % vol`))).toBe(true);
  });

  it('keeps the bases apart: 60 % vol of 60 °F is not 60 % vol of 20 °C', async () => {
    const of20 = await figuresOf<FromSample>('strength --hydrometer 60%vol --temp 20C');
    const of60 = await figuresOf<FromSample>('strength --hydrometer 60%vol --temp 20C --basis 60F');
    const proof = await figuresOf<FromSample>('strength --hydrometer 120proof --temp 68F');
    expect(of20.strength.strengthAbv).toBeCloseTo(0.6, 10);
    expect(of60.strength.strengthAbv).toBeLessThan(0.59);
    expect(proof.strength.strengthAbv).toBeCloseTo(of60.strength.strengthAbv, 9);
  });

  it('reads a scale by mass', async () => {
    const found = await figuresOf<FromSample>('strength --hydrometer 50%mass --temp 20C');
    expect(found.strength.massFraction).toBeCloseTo(0.5, 10);
  });

  it('takes a temperature below zero as it is written', async () => {
    const found = await figuresOf<FromSample>('strength --hydrometer 60%vol --temp -5C');
    expect(found.strength.strengthAbv).toBeGreaterThan(0.67);
    expect(found.cautions[0]).toMatchObject({ path: '--temp' });
  });

  it.each([
    ['strength --hydrometer 60%vol --temp 55C', '-20 to 40 °C. Cool the sample'],
    ['strength --hydrometer 60%vol', '--temp: is missing'],
    ['strength --hydrometer 30%mol --temp 20C', 'no instrument shows moles'],
    ['strength --hydrometer 120proof --basis 20C --temp 20C', 'proof and %vol60F are of 60 °F'],
    ['strength --hydrometer 60%vol --basis 15C --temp 20C', '--basis: "15C": is no basis'],
    ['strength --hydrometer 0%vol --temp 30C', '--hydrometer: "0%vol": no mixture'],
    ['strength --density 1040kg/m3 --temp 20C', '--density: "1040kg/m3": mixtures of ethanol and water have 789.24'],
    ['strength 62', 'strength: "62": has no unit'],
  ])('refuses %s', async (line, words) => {
    const ran = await runLine(line);
    expect(ran).toMatchObject({ code: 1, out: '' });
    expect(ran.err).toContain(words);
  });

  it('undoes itself: what an instrument shows at 28 °C is the strength again', async () => {
    interface Scales {
      readonly strengths: readonly (PlainStrength & {
        readonly reading20CAbv: number;
        readonly reading60FAbv: number;
      })[];
    }
    const { strengths } = await figuresOf<Scales>('strength 62%vol --temp 28C');
    const reading = strengths[0]!.reading20CAbv * 100;
    const back = await figuresOf<FromSample>(`strength --hydrometer ${reading.toFixed(9)}%vol --temp 28C`);
    expect(back.strength.strengthAbv).toBeCloseTo(0.62, 9);
    const proof = strengths[0]!.reading60FAbv * 200;
    const backProof = await figuresOf<FromSample>(`strength --hydrometer ${proof.toFixed(9)}proof --temp 28C`);
    expect(backProof.strength.strengthAbv).toBeCloseTo(0.62, 9);
  });

  it('says that a warm strong spirit is off the scale', async () => {
    expect((await runLine('strength 99.5%vol --temp 35C')).out).toContain('shows off the scale');
  });
});

describe('what is not understood', () => {
  it.each([
    'strength --vapour 92C --boiler 95C --pressure 955hPa',
    'strength --vapour 92 C --pressure 955hPa',
    'strength --vapour 92C --pressure 955hPa --temp 20C',
    'strength 62%vol --pressure 955hPa',
    'strength --colour red',
  ])('%s ends with exit code 2 and the way to the help', async (line) => {
    const ran = await runLine(line);
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.err).toContain('middlecut strength --help');
  });

  it('problems come as JSON where JSON was asked', async () => {
    const ran = await runLine('strength --vapour 92 --pressure 955hPa --json');
    expect(ran).toMatchObject({ code: 1, err: '' });
    expect(JSON.parse(ran.out)).toMatchObject({ problems: [{ path: '--vapour', message: 'has no unit' }] });
  });
});
