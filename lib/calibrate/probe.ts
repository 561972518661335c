import { type Checked, type Problem, problem, warning } from '../problems';
import type { ReferencePoint } from './reference-points';

/*
 * Two-point calibration of a temperature probe: melting ice, and water boiling at today's station pressure. The result has the fields a point of
 * the still keeps (offset, gain, uncertainty), and besides what is needed to judge and to record it.
 */

/** What is known of the probe itself. */
export interface ProbeFacts {
  /** Smallest step of its readings [K]; 0.0625 for a 12-bit digital thermometer. */
  readonly resolutionK: number;
}

/** A finished calibration: plain data, recorded with the run. Corrected = gain × raw + offset. */
export interface ProbeCalibration {
  readonly kind: 'probe-calibration';
  readonly gain: number;
  /** Added after the gain [K]. */
  readonly offset: number;
  /** Standard uncertainty of a corrected reading in the working range, 75..100 °C [K]: the largest there. */
  readonly uncertainty: number;
  /** Date given by the caller, kept as it is. */
  readonly doneOn: string;
  readonly low: CalibratedPoint;
  readonly high: CalibratedPoint;
}

/** One end of a calibration. */
export interface CalibratedPoint {
  readonly name: ReferencePoint['name'];
  readonly referenceC: number;
  readonly meanReadingC: number;
  readonly readings: number;
  /** Standard uncertainty of this point: reference, scatter and resolution together [K]. */
  readonly uncertaintyK: number;
  readonly airPressureHPa?: number;
}

const limits = {
  offsetWarnK: 1,
  offsetRefuseK: 5,
  gainWarn: 0.01,
  gainRefuse: 0.05,
  scatterWarnK: 0.15,
  spanLeastK: 40,
} as const;

function settle(point: ReferencePoint, probe: ProbeFacts): CalibratedPoint {
  const count = point.readingsC.length;
  const meanReadingC = point.readingsC.reduce((sum, reading) => sum + reading, 0) / count;
  const scatterK = scatterOf(point.readingsC, meanReadingC);
  const uncertaintyK = Math.hypot(
    point.referenceUncertaintyK,
    scatterK / Math.sqrt(count),
    probe.resolutionK / Math.sqrt(12),
  );
  const settled = { name: point.name, referenceC: point.referenceC, meanReadingC, readings: count, uncertaintyK };
  return point.airPressureHPa === undefined ? settled : { ...settled, airPressureHPa: point.airPressureHPa };
}

function scatterOf(readings: readonly number[], mean: number): number {
  if (readings.length < 2) return 0;
  const squares = readings.reduce((sum, reading) => sum + (reading - mean) ** 2, 0);
  return Math.sqrt(squares / (readings.length - 1));
}

function checkPoint(path: string, point: ReferencePoint): Problem[] {
  const problems: Problem[] = [];
  if (!Number.isFinite(point.referenceC)) {
    const message = 'the reference temperature is not known: station pressure must be 500..1100 hPa';
    problems.push(
      problem(
        path,
        point.airPressureHPa ?? point.referenceC,
        message,
        'Give station pressure, not reduced to sea level',
      ),
    );
  }
  if (point.readingsC.length === 0)
    problems.push(problem(`${path}.readingsC`, [], 'there are no readings', 'Give at least one, better five'));
  point.readingsC.forEach((reading, i) => {
    if (reading >= -50 && reading <= 200) return;
    problems.push(
      problem(
        `${path}.readingsC.${i}`,
        reading,
        'is no temperature a probe can show here',
        'Leave out error values of the probe',
      ),
    );
  });
  return problems;
}

function checkProbe(probe: ProbeFacts): Problem[] {
  if (probe.resolutionK >= 0 && probe.resolutionK < 2) return [];
  return [
    problem('resolutionK', probe.resolutionK, 'resolution is outside 0..2 K', 'Give the smallest step of the readings'),
  ];
}

function judge(gain: number, low: CalibratedPoint, high: CalibratedPoint): readonly Problem[] {
  const problems: Problem[] = [];
  for (const point of [low, high]) {
    const errorK = point.meanReadingC - point.referenceC;
    const shown = Number(errorK.toFixed(3));
    if (Math.abs(errorK) > limits.offsetRefuseK) {
      const remedy = 'Check that this probe was in the bath, and the air pressure; replace the probe if so';
      problems.push(
        problem(
          point.name,
          shown,
          `kelvin off: no sound probe is wrong by more than ${limits.offsetRefuseK} K`,
          remedy,
        ),
      );
    } else if (Math.abs(errorK) > limits.offsetWarnK) {
      const remedy = 'Repeat it: stir the ice, hold the probe in the steam clear of the wall';
      problems.push(warning(point.name, shown, 'kelvin off: more than a digital probe should be', remedy));
    }
  }
  const shownGain = Number(gain.toFixed(5));
  if (Math.abs(gain - 1) > limits.gainRefuse) {
    problems.push(
      problem(
        'gain',
        shownGain,
        `is further than ${limits.gainRefuse} from 1`,
        'Repeat both points; replace the probe if it stays',
      ),
    );
  } else if (Math.abs(gain - 1) > limits.gainWarn) {
    problems.push(warning('gain', shownGain, `is further than ${limits.gainWarn} from 1`, 'Repeat both points'));
  }
  return problems;
}

function scatterCautions(points: readonly ReferencePoint[]): readonly Problem[] {
  return points.flatMap((point) => {
    const mean = point.readingsC.reduce((sum, reading) => sum + reading, 0) / point.readingsC.length;
    const scatterK = scatterOf(point.readingsC, mean);
    if (point.readingsC.length < 2)
      return [warning(point.name, 1, 'a single reading shows no scatter', 'Take five, half a minute apart')];
    if (scatterK <= limits.scatterWarnK) return [];
    return [
      warning(
        point.name,
        Number(scatterK.toFixed(3)),
        'kelvin of scatter: not settled',
        'Wait until the reading stands still',
      ),
    ];
  });
}

/**
 * Calibrates a probe by two known temperatures.
 *
 * gain = (reference₂ − reference₁)/(reading₂ − reading₁), offset = reference₁ − gain · reading₁
 *
 * @param first one known point, usually icePoint
 * @param second the other, usually boilingPoint, at least 40 K away
 * @param probe its resolution [K]
 * @param doneOn date, kept as given
 * @returns the calibration with cautions, or all problems; refused when the probe is off by more than 5 K or the gain by more than 5 %
 * Accuracy: about 0.07 K at the boiling end; between the points a digital probe may bend by another 0.1 K, which two points can't show.
 * @example calibrateProbe(icePoint([0.3, 0.31]), boilingPoint([99.1, 99.1], 985), { resolutionK: 0.0625 }, '2025-10-04')
 * Source: GUM (JCGM 100) for the uncertainty; limits are common practice.
 */
export function calibrateProbe(
  first: ReferencePoint,
  second: ReferencePoint,
  probe: ProbeFacts,
  doneOn: string,
): Checked<ProbeCalibration> {
  const [lowPoint, highPoint] = first.referenceC <= second.referenceC ? [first, second] : [second, first];
  const problems = [...checkPoint('first', first), ...checkPoint('second', second), ...checkProbe(probe)];
  if (problems.length > 0) return { kind: 'bad', problems };
  if (!(highPoint.referenceC - lowPoint.referenceC >= limits.spanLeastK)) {
    const message = `the two points are less than ${limits.spanLeastK} K apart`;
    return {
      kind: 'bad',
      problems: [problem('second', second.referenceC, message, 'Use melting ice and boiling water')],
    };
  }
  const low = settle(lowPoint, probe);
  const high = settle(highPoint, probe);
  const gain = (high.referenceC - low.referenceC) / (high.meanReadingC - low.meanReadingC);
  const offset = low.referenceC - gain * low.meanReadingC;
  const judged = judge(gain, low, high);
  if (judged.some((found) => found.severity === 'error')) return { kind: 'bad', problems: judged };
  const bare = { kind: 'probe-calibration', gain, offset, uncertainty: 0, doneOn, low, high } as const;
  const uncertainty = Math.max(calibrationUncertaintyK(bare, 75), calibrationUncertaintyK(bare, 100));
  return { kind: 'ok', value: { ...bare, uncertainty }, warnings: [...judged, ...scatterCautions([first, second])] };
}

/** The part of a calibration that a point of the still keeps in its configuration. */
export function pointCalibration(
  calibration: ProbeCalibration,
): Pick<ProbeCalibration, 'gain' | 'offset' | 'uncertainty' | 'doneOn'> {
  const { gain, offset, uncertainty, doneOn } = calibration;
  return { gain, offset, uncertainty, doneOn };
}

/** A reading put right: gain × raw + offset [°C]. */
export function applyCalibration(calibration: Pick<ProbeCalibration, 'gain' | 'offset'>, readingC: number): number {
  return calibration.gain * readingC + calibration.offset;
}

/** What an exact probe's temperature would read on this probe: the inverse of applyCalibration [°C]. */
export function uncorrectedReadingC(calibration: Pick<ProbeCalibration, 'gain' | 'offset'>, tempC: number): number {
  return (tempC - calibration.offset) / calibration.gain;
}

/**
 * Standard uncertainty of a corrected reading [K].
 *
 * On the line through two points the uncertainties u1, u2 weigh (1 − w) and w, w = (t − t1)/(t2 − t1).
 *
 * @param calibration from calibrateProbe
 * @param tempC corrected temperature [°C]
 * @returns standard uncertainty [K]; grows outside the two points
 * Source: GUM (JCGM 100), eq. 10.
 */
export function calibrationUncertaintyK(calibration: Pick<ProbeCalibration, 'low' | 'high'>, tempC: number): number {
  const { low, high } = calibration;
  const weight = (tempC - low.referenceC) / (high.referenceC - low.referenceC);
  return Math.hypot((1 - weight) * low.uncertaintyK, weight * high.uncertaintyK);
}
