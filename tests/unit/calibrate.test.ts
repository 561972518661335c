import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  applyCalibration,
  boilingPoint,
  calibrateProbe,
  calibrationUncertaintyK,
  compareProbes,
  icePoint,
  pointCalibration,
  type ReferencePoint,
  uncorrectedReadingC,
} from '../../lib/calibrate';
import { waterBoilingPointC } from '../../lib/physics';
import { calibrationSchema } from '../../lib/still/schema';
import { okValue } from '../reference/ok-value';

const probe = { resolutionK: 0.0625 };
const day = '2025-10-04';

function steady(tempC: number): readonly number[] {
  return [tempC, tempC, tempC, tempC, tempC];
}

describe('calibration: the two points', () => {
  it('ice is 0 °C; water boils as the air pressure says, not at 100', () => {
    expect(icePoint([0.2]).referenceC).toBe(0);
    expect(boilingPoint([99], 1013.25).referenceC).toBeCloseTo(99.974, 3);
    expect(boilingPoint([94], 850).referenceC).toBeCloseTo(waterBoilingPointC(850), 12);
  });

  it('an uncertain pressure makes an uncertain boiling point: 0.028 K/hPa', () => {
    const sure = boilingPoint([99], 1013.25, 0).referenceUncertaintyK;
    const unsure = boilingPoint([99], 1013.25, 10).referenceUncertaintyK;
    expect(unsure).toBeCloseTo(Math.hypot(sure, 0.277), 2);
  });
});

describe('calibration: gain and offset', () => {
  it('finds the error of a probe exactly, at any station pressure', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.97, max: 1.03, noNaN: true }),
        fc.double({ min: -1.5, max: 1.5, noNaN: true }),
        fc.double({ min: 600, max: 1080, noNaN: true }),
        fc.double({ min: 60, max: 105, noNaN: true }),
        (gain, offset, pressureHPa, tempC) => {
          const shows = (trueC: number) => (trueC - offset) / gain;
          const boiling = boilingPoint(steady(shows(waterBoilingPointC(pressureHPa))), pressureHPa);
          const found = okValue(calibrateProbe(icePoint(steady(shows(0))), boiling, probe, day));
          expect(found.gain).toBeCloseTo(gain, 10);
          expect(found.offset).toBeCloseTo(offset, 10);
          expect(applyCalibration(found, shows(tempC))).toBeCloseTo(tempC, 9);
          expect(uncorrectedReadingC(found, tempC)).toBeCloseTo(shows(tempC), 9);
        },
      ),
    );
  });

  it('does not care which point comes first', () => {
    const ice = icePoint(steady(0.31));
    const boiling = boilingPoint(steady(98.6), 985);
    expect(okValue(calibrateProbe(boiling, ice, probe, day))).toEqual(
      okValue(calibrateProbe(ice, boiling, probe, day)),
    );
  });

  it('is what a point of the still keeps', () => {
    const found = okValue(calibrateProbe(icePoint(steady(0.3)), boilingPoint(steady(99.5), 1000), probe, day));
    expect(calibrationSchema.parse(pointCalibration(found))).toEqual(pointCalibration(found));
    expect(found.doneOn).toBe(day);
    expect(JSON.parse(JSON.stringify(found))).toEqual(found);
  });

  it('forgetting the pressure would cost more than half a kelvin at 995 hPa', () => {
    const reading = waterBoilingPointC(995);
    const right = okValue(calibrateProbe(icePoint(steady(0)), boilingPoint(steady(reading), 995), probe, day));
    const careless: ReferencePoint = {
      name: 'other',
      referenceC: 100,
      referenceUncertaintyK: 0,
      readingsC: steady(reading),
    };
    const wrong = okValue(calibrateProbe(icePoint(steady(0)), careless, probe, day));
    expect(Math.abs(applyCalibration(wrong, 92) - applyCalibration(right, 92))).toBeGreaterThan(0.4);
  });
});

describe('calibration: uncertainty', () => {
  const found = okValue(calibrateProbe(icePoint(steady(0.25)), boilingPoint(steady(99.75), 1005), probe, day));

  it('is that of each point at the point, and grows beyond', () => {
    expect(calibrationUncertaintyK(found, found.low.referenceC)).toBeCloseTo(found.low.uncertaintyK, 12);
    expect(calibrationUncertaintyK(found, found.high.referenceC)).toBeCloseTo(found.high.uncertaintyK, 12);
    expect(calibrationUncertaintyK(found, 130)).toBeGreaterThan(found.high.uncertaintyK);
  });

  it('is below a tenth of a kelvin in the working range for a careful calibration', () => {
    expect(found.uncertainty).toBeLessThan(0.1);
    expect(found.uncertainty).toBeGreaterThan(0.04);
  });

  it('counts scatter: standard deviation over the root of the number', () => {
    const scattered = [0.1, 0.2, 0.3, 0.4, 0.5];
    const noisy = okValue(calibrateProbe(icePoint(scattered), boilingPoint(steady(99.75), 1005), probe, day));
    const ofMeanK = Math.sqrt(0.025) / Math.sqrt(5);
    expect(noisy.low.uncertaintyK).toBeCloseTo(Math.hypot(found.low.uncertaintyK, ofMeanK), 12);
  });
});

describe('calibration: limits of plausibility', () => {
  it('cautions about a kelvin, refuses five', () => {
    const off = calibrateProbe(icePoint(steady(1.4)), boilingPoint(steady(101.3), 1013.25), probe, day);
    expect(off.kind === 'ok' && off.warnings.map((found) => found.path)).toEqual(['ice', 'boiling']);
    const far = calibrateProbe(icePoint(steady(6)), boilingPoint(steady(106), 1013.25), probe, day);
    expect(far).toMatchObject({ kind: 'bad', problems: [{ path: 'ice' }, { path: 'boiling' }] });
  });

  it('cautions about 1 % of gain, and finds a probe that was not in the bath', () => {
    const drifting = calibrateProbe(icePoint(steady(-0.8)), boilingPoint(steady(100.8), 1013.25), probe, day);
    expect(drifting.kind === 'ok' && drifting.warnings.some((found) => found.path === 'gain')).toBe(true);
    const roomProbe = calibrateProbe(icePoint(steady(0.1)), boilingPoint(steady(21), 1013.25), probe, day);
    expect(roomProbe.kind).toBe('bad');
  });

  it('cautions about a single reading and about readings not settled', () => {
    const single = calibrateProbe(icePoint([0.1]), boilingPoint(steady(100), 1013.25), probe, day);
    expect(single.kind === 'ok' && single.warnings.map((found) => found.path)).toEqual(['ice']);
    const moving = calibrateProbe(icePoint([0.9, 0.6, 0.4, 0.3]), boilingPoint(steady(100), 1013.25), probe, day);
    expect(moving.kind === 'ok' && moving.warnings.map((found) => found.path)).toEqual(['ice']);
  });

  it('lists all that is wrong', () => {
    const result = calibrateProbe(icePoint([]), boilingPoint([-127, 99], 1500), { resolutionK: -1 }, day);
    if (result.kind === 'ok') throw new Error('should be refused');
    expect(result.problems.map((found) => found.path)).toEqual([
      'first.readingsC',
      'second',
      'second.readingsC.0',
      'resolutionK',
    ]);
  });

  it('needs two points far enough apart', () => {
    const warm: ReferencePoint = { name: 'other', referenceC: 30, referenceUncertaintyK: 0.1, readingsC: steady(30.2) };
    expect(calibrateProbe(icePoint(steady(0.1)), warm, probe, day)).toMatchObject({
      kind: 'bad',
      problems: [{ path: 'second' }],
    });
  });
});

describe('two probes in one place', () => {
  it('agree within two standard uncertainties, disagree beyond three', () => {
    expect(compareProbes(92.1, 0.1, 92.3, 0.1).verdict).toBe('agree');
    expect(compareProbes(92.1, 0.1, 92.45, 0.1).verdict).toBe('doubtful');
    expect(compareProbes(92.1, 0.1, 92.9, 0.1).verdict).toBe('disagree');
    expect(compareProbes(92.9, 0.1, 92.1, 0.1)).toMatchObject({
      verdict: 'disagree',
      differenceK: expect.closeTo(-0.8, 9),
    });
  });

  it('a dead probe never agrees', () => {
    expect(compareProbes(92.1, 0.1, Number.NaN, 0.1).verdict).toBe('disagree');
  });
});
