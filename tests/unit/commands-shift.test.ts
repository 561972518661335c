import { describe, expect, it } from 'vitest';
import { shiftBoilerTemp, shiftVapourTemp } from '../../lib/physics';
import { type Caution, figuresOf, runLine } from './commands-run';

interface Shifts {
  readonly probe: string;
  readonly fromHPa: number;
  readonly shifts: readonly {
    readonly tempC: number;
    readonly strengthAbv: number | null;
    readonly to: readonly {
      readonly airPressureHPa: number;
      readonly tempC: number;
      readonly ruleTempC: number;
      readonly ruleLessExactK: number;
    }[];
  }[];
  readonly cautions: readonly Caution[];
}

async function shifted(line: string): Promise<number> {
  return (await figuresOf<Shifts>(line)).shifts[0]!.to[0]!.tempC;
}

describe('shift', () => {
  it('is undone by the opposite shift', async () => {
    for (const probe of ['vapour', 'boiler']) {
      for (const tempC of [77, 79.5, 86, 93, 99, 101]) {
        const there = await shifted(`shift ${tempC}C --from 1013.25hPa --to 830hPa --probe ${probe}`);
        const back = await shifted(`shift ${there.toFixed(12)}C --from 830hPa --to 1013.25hPa --probe ${probe}`);
        expect(back).toBeCloseTo(tempC, 9);
      }
    }
  });

  it('knows vapour probes from boiler probes', async () => {
    expect(await shifted('shift 92C --from 1013.25hPa --to 850hPa')).toBe(shiftVapourTemp(92, 1013.25, 850));
    expect(await shifted('shift 92C --from 1013.25hPa --to 850hPa --probe boiler')).toBe(
      shiftBoilerTemp(92, 1013.25, 850),
    );
  });

  it('prints a table where no pressure is wanted: monotonic, the same at the same pressure', async () => {
    const [table] = (await figuresOf<Shifts>('shift 92.6C --from 1013.25hPa')).shifts;
    expect(table!.to.length).toBeGreaterThanOrEqual(10);
    table!.to.forEach((one, index) => {
      const next = table!.to[index + 1];
      if (next !== undefined) expect(one.tempC).toBeGreaterThan(next.tempC);
    });
    expect(table!.to.find((one) => one.airPressureHPa === 1013.25)?.tempC).toBe(92.6);
  });

  it('shows how far the constant slope is off: half a kelvin and more at 800 hPa', async () => {
    const found = await figuresOf<Shifts>('shift 92C --from 760mmHg --to 800hPa --to 1013.25hPa');
    const [high, sea] = found.shifts[0]!.to;
    expect(high!.ruleLessExactK).toBeGreaterThan(0.5);
    expect(high!.ruleLessExactK).toBeCloseTo(high!.ruleTempC - high!.tempC, 12);
    expect(sea!.ruleLessExactK).toBeCloseTo(0, 5);
  });

  it('takes several temperatures, Fahrenheit and altitudes', async () => {
    const found = await figuresOf<Shifts>('shift 198F 92.6C --from 2000ft --to 0m');
    expect(found.shifts).toHaveLength(2);
    expect(found.shifts[0]!.tempC).toBeCloseTo(92.2222, 4);
    expect(found.shifts[0]!.to[0]!.airPressureHPa).toBeCloseTo(1013.25, 9);
    expect(found.cautions.map((one) => one.path)).toEqual(['--from', '--to']);
  });

  it('says where it follows a convention rather than the mixture', async () => {
    const heads = await figuresOf<Shifts>('shift 77C --from 1013.25hPa --to 955hPa');
    expect(heads.shifts[0]!.strengthAbv).toBeNull();
    expect(heads.cautions[0]?.message).toContain('by convention');
    const sugared = await figuresOf<Shifts>('shift 101.5C --from 1013.25hPa --to 955hPa --probe boiler');
    expect(sugared.cautions[0]?.message).toContain('above the boiling point of water');
    expect((await figuresOf<Shifts>('shift 92C --from 1013.25hPa --to 955hPa')).cautions).toEqual([]);
  });

  it.each([
    ['shift 92.6 --from 955hPa', 'temperature: "92.6": has no unit'],
    ['shift 120C --from 955hPa', 'shifts are known from 55 to 110 °C. Give 55 to 110 C'],
    ['shift 260F --from 955hPa', 'Give 131 to 230 F'],
    ['shift 92C --from 300hPa', '--from: "300hPa": the model holds from 500 to 1100 hPa'],
    ['shift 92C --from 955hPa --to 1200hPa', '--to: "1200hPa"'],
    ['shift 92C --from 9000m', 'altitudes of -400 to 5500 m are in range'],
    ['shift 92C', '--from: is missing'],
    ['shift 92C --from 955hPa --probe skin', '--probe: "skin": is no kind of probe. Give vapour or boiler'],
  ])('refuses %s', async (line, words) => {
    const ran = await runLine(line);
    expect(ran).toMatchObject({ code: 1, out: '' });
    expect(ran.err).toContain(words);
  });
});
