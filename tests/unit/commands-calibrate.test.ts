import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { applyCalibration } from '../../lib/calibrate';
import { standardPressureHPa, waterBoilingPointC } from '../../lib/physics';
import { calibrationSchema } from '../../lib/still/schema';
import { type Caution, figuresOf, runLine } from './commands-run';

interface Calibrated {
  readonly gain: number;
  readonly offsetK: number;
  readonly uncertaintyK: number;
  readonly doneOn: string;
  readonly calibration: {
    readonly gain: number;
    readonly offset: number;
    readonly uncertainty: number;
    readonly doneOn: string;
  };
  readonly cautions: readonly Caution[];
}

/** What a probe with this gain and offset shows in a bath of a temperature. */
function shows(tempC: number, gain: number, offset: number): string {
  return `${((tempC - offset) / gain).toFixed(6)}C`;
}

function lineFor(gain: number, offset: number, hPa: number): string {
  const ice = shows(0, gain, offset);
  const boiling = shows(waterBoilingPointC(hPa), gain, offset);
  return `calibrate --ice "${ice} ${ice}" --boiling "${boiling} ${boiling}"`;
}

describe('calibrate', () => {
  it('finds gain and offset of a probe at any air pressure', async () => {
    for (const hPa of [700, 850, 955, 1013.25, 1040]) {
      const found = await figuresOf<Calibrated>(`${lineFor(1.004, -0.31, hPa)} --pressure ${hPa}hPa`);
      expect(found.gain).toBeCloseTo(1.004, 7);
      expect(found.offsetK).toBeCloseTo(-0.31, 5);
      expect(found.uncertaintyK).toBeLessThan(0.1);
    }
  });

  it('prints a block that a still document takes, rounded by less than 0.0002 K', async () => {
    const line = `${lineFor(0.99637, 0.2734, 955)} --pressure 955hPa --altitude 480m --done-on 2025-10-04`;
    const ran = await runLine(line);
    const block = ran.out.slice(ran.out.indexOf('calibration:\n'));
    const document = parse(block) as { calibration: unknown };
    const taken = calibrationSchema.parse(document.calibration);
    const { calibration, gain, offsetK } = await figuresOf<Calibrated>(line);
    expect(taken).toEqual(calibration);
    expect(taken.doneOn).toBe('2025-10-04');
    for (const rawC of [60, 80, 105]) {
      const exactC = gain * rawC + offsetK;
      expect(Math.abs(applyCalibration(taken, rawC) - exactC)).toBeLessThan(2e-4);
    }
  });

  it('ends with the block, after the cautions', async () => {
    const ran = await runLine('calibrate --ice 0.1C --boiling 98.4C --pressure 955hPa --done-on 2025-10-04');
    expect(ran.out.indexOf('caution:')).toBeLessThan(ran.out.indexOf('calibration:'));
    expect(ran.out.trimEnd().endsWith("doneOn: '2025-10-04'")).toBe(true);
    expect(ran.out).toContain('a single reading shows no scatter');
  });

  it('keeps today where no date is given', async () => {
    const before = new Date().toISOString().slice(0, 10);
    const { doneOn } = await figuresOf<Calibrated>('calibrate --ice 0.1C --boiling 98.4C --pressure 955hPa');
    expect([before, new Date().toISOString().slice(0, 10)]).toContain(doneOn);
  });

  it('takes one unit for a list of readings, repeated options, and Fahrenheit', async () => {
    const each = await figuresOf<Calibrated>('calibrate --ice "0.31C 0.25C" --boiling "98.6C 98.7C" --pressure 955hPa');
    const once = await figuresOf<Calibrated>(
      'calibrate --ice "0.31 0.25 C" --boiling 98.6C --boiling 98.7C --pressure 955hPa',
    );
    const us = await figuresOf<Calibrated>(
      'calibrate --ice "32.558F 32.45F" --boiling "209.48 209.66 F" --pressure 95.5kPa --resolution 0.1125F',
    );
    expect(once.gain).toBe(each.gain);
    expect(us.gain).toBeCloseTo(each.gain, 9);
    expect(us.uncertaintyK).toBeCloseTo(each.uncertaintyK, 9);
  });

  it('warns when the pressure is reduced to sea level, by altitude and by the readings themselves', async () => {
    const stationHPa = standardPressureHPa(900);
    const line = lineFor(1, 0, stationHPa);
    const byAltitude = await figuresOf<Calibrated>(`${line} --pressure 1013hPa --altitude 900m`);
    expect(byAltitude.cautions[0]?.message).toContain('looks reduced to sea level: about 910 hPa');
    const byReadings = await figuresOf<Calibrated>(`${line} --pressure 1013hPa`);
    expect(byReadings.cautions[0]?.message).toContain('the readings fit 910 hPa, as at 900 m');
    const sound = await figuresOf<Calibrated>(`${line} --pressure ${stationHPa.toFixed(1)}hPa --altitude 900m`);
    expect(sound.cautions).toEqual([]);
  });

  it('asks for the altitude where a pressure could be either', async () => {
    const found = await figuresOf<Calibrated>(`${lineFor(1, 0.1, 1008)} --pressure 1008hPa`);
    expect(found.cautions).toHaveLength(1);
    expect(found.cautions[0]?.message).toContain('can only be told from one reduced to sea level');
  });

  it('is honest about an altitude in place of a pressure: some 0.3 K', async () => {
    const line = lineFor(1, 0, standardPressureHPa(600));
    const found = await figuresOf<Calibrated>(`${line} --altitude 600m`);
    expect(found.uncertaintyK).toBeGreaterThan(0.25);
    expect(found.cautions[0]).toMatchObject({ path: '--altitude' });
  });

  it.each([
    ['calibrate --ice "0.1C 0.1C" --pressure 955hPa', '--boiling: is missing'],
    [
      'calibrate --ice "-127C" --boiling 98C --pressure 955hPa',
      '--ice reading 1: -127: is no temperature a probe can show',
    ],
    ['calibrate --ice "0C 0C" --boiling "93C 93C" --pressure 955hPa', '--boiling: -5.324: kelvin off: no sound probe'],
    ['calibrate --ice "0C 0C" --boiling "98C 98C" --pressure 400hPa', 'Give 500 to 1100 hPa'],
    [
      'calibrate --ice "0C 0C" --boiling "98C 98C" --pressure 955hPa --done-on 4.10.2025',
      '--done-on: "4.10.2025": is no date',
    ],
    ['calibrate --ice "0C" --boiling "98C" --pressure 955hPa --resolution 9K', '--resolution: "9K"'],
    ['calibrate --ice "0 0" --boiling "98C" --pressure 955hPa', '--ice: "0'],
  ])('refuses %s', async (line, words) => {
    const ran = await runLine(line);
    expect(ran).toMatchObject({ code: 1, out: '' });
    expect(ran.err).toContain(words);
  });

  it('names the likely cause even when it refuses', async () => {
    const line = lineFor(1, 0, standardPressureHPa(1700));
    const ran = await runLine(`${line} --pressure 1013hPa --altitude 1700m`);
    expect(ran.code).toBe(1);
    expect(ran.err).toContain('looks reduced to sea level');
  });
});

describe('two probes', () => {
  it.each([
    ['92.4C 92.5C', 'agree', 0],
    ['92.4C 92.75C', 'doubtful', 0],
    ['92.4C 92.9C', 'disagree', 1],
  ])('%s: %s', async (readings, verdict, code) => {
    const ran = await runLine(`calibrate --compare "${readings}" --json`);
    expect(ran.code).toBe(code);
    expect(JSON.parse(ran.out)).toMatchObject({ verdict });
  });

  it('weighs each with its own uncertainty', async () => {
    const ran = await runLine('calibrate --compare "92.4C 92.9C" --uncertainty "0.3K 0.1K"');
    expect(ran.code).toBe(0);
    expect(ran.out).toContain('second less first 0.500 K ± 0.316 K');
    expect(ran.out).toContain('Agreement is then no proof');
  });

  it('needs two readings, and nothing of a calibration', async () => {
    expect((await runLine('calibrate --compare 92.4C')).err).toContain('needs two readings');
    expect(await runLine('calibrate --compare "92C 92C" --ice 0C')).toMatchObject({ code: 2 });
    expect(await runLine('calibrate --ice 0.3C 0.2C --boiling 98C --pressure 955hPa')).toMatchObject({ code: 2 });
  });
});
