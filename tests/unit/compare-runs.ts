import type { ComparedRun, ProfilePoint } from '../../lib/compare';
import { courseAt, potCourse } from '../../lib/jars';
import { shiftBoilerTemp, shiftVapourTemp, tabulateEquilibrium } from '../../lib/physics';
import { createStill, fractionsOf, type StillOptions, step, truthOf, undisturbed } from '../../simulators/model';
import { scenarios, specOf } from '../../simulators/scenarios';

const table = tabulateEquilibrium();

export interface CourseRun {
  readonly id?: string;
  readonly chargeAbv?: number;
  /** As written down; true unless given. */
  readonly saidAbv?: number;
  readonly refluxShare?: number;
  readonly heaterW?: number;
  readonly vapourK?: number;
  readonly boilerK?: number;
  readonly scatterK?: number;
}

/** A run drawn by the pot course: smooth but for a little scatter. */
export function courseRun(made: CourseRun = {}): ComparedRun {
  const chargeAbv = made.chargeAbv ?? 0.3;
  const saidAbv = made.saidAbv ?? chargeAbv;
  const reflux = made.refluxShare ?? 0.2;
  const course = potCourse(chargeAbv, reflux, table);
  const heaterW = made.heaterW ?? 3500;
  const points = Array.from({ length: 240 }, (_, index): ProfilePoint => {
    const share = (index + 1) * 0.4;
    const scatter = (made.scatterK ?? 0.03) * Math.sin(index * 12.9898);
    return {
      sharePercent: (share * chargeAbv) / saidAbv,
      vapourAtReferenceC: courseAt(course, 'vapourC', share) + (made.vapourK ?? 0) + scatter,
      boilerAtReferenceC: courseAt(course, 'boilerC', share) + (made.boilerK ?? 0) - scatter,
      strengthAbv: courseAt(course, 'strengthAbv', share),
      rateLPerH: (heaterW / 3500) * 3 * (1 - reflux),
      timeS: 100 * index,
    };
  });
  return {
    id: made.id ?? 'run',
    charge: { volumeL: 50, strengthAbv: saidAbv },
    heaterW,
    strengthBy: 'parrot',
    referenceHPa: 1013.25,
    points,
    fractions: [
      { fraction: 'foreshots', volumeL: 0.28, strengthAbv: 0.81, alcoholL: 0.23 },
      { fraction: 'heads', volumeL: 1.3, strengthAbv: 0.806, alcoholL: 1.05 },
      { fraction: 'hearts', volumeL: 11.4, strengthAbv: 0.7635, alcoholL: 8.7 },
      { fraction: 'tails', volumeL: 3.2, strengthAbv: 0.66, alcoholL: 2.1 },
    ],
  };
}

export interface SimulatedRun {
  readonly id?: string;
  readonly heatShare?: number;
  readonly options?: StillOptions;
  readonly saidAbv?: number;
  readonly vapourK?: number;
  readonly boilerK?: number;
  readonly barometerHPa?: number;
}

/** A run of the simulated orchard still with its minor compounds, by the truth behind its probes; a physics of its own, not the pot course. */
export function simulatedRun(made: SimulatedRun = {}): ComparedRun {
  const spec = specOf(scenarios['pot-spirit'], {
    tracers: true,
    site: { weather: { offsetHPa: -4, wanderHPaPerRootH: 0, front: null } },
    ...made.options,
    charge: { volumeL: 50, strengthAbv: 0.3, tempC: 60, ...made.options?.charge },
  });
  const state = createStill(spec, 1);
  const heatShare = made.heatShare ?? 0.7;
  const actuators = {
    heat: { heat: heatShare },
    contactorClosed: true,
    coolantShare: 1,
    takeOffShare: 1,
    receivers: { 'feints-can': 1 },
  };
  const points: ProfilePoint[] = [];
  const world = undisturbed();
  const saidAbv = made.saidAbv ?? spec.charge.strengthAbv;
  let before = { timeS: 0, collectedL: 0 };
  for (let second = 0; second < 40_000; second++) {
    step(state, actuators, world, 1);
    if (second % 60 !== 0) continue;
    const truth = truthOf(state);
    if (truth.alcoholShare > 0.95) break;
    if (truth.alcoholShare <= 0.002) {
      before = truth;
      continue;
    }
    const readHPa = truth.airPressureHPa + (made.barometerHPa ?? 0);
    points.push({
      sharePercent: (100 * truth.alcoholShare * spec.charge.strengthAbv) / saidAbv,
      vapourAtReferenceC: shiftVapourTemp(truth.vapourTempC + (made.vapourK ?? 0), readHPa, 1013.25),
      boilerAtReferenceC: shiftBoilerTemp(truth.boilerTempC + (made.boilerK ?? 0), readHPa, 1013.25),
      strengthAbv: truth.vapourStrengthAbv,
      rateLPerH: (3600 * (truth.collectedL - before.collectedL)) / (truth.timeS - before.timeS),
      timeS: truth.timeS,
    });
    before = truth;
  }
  const all = fractionsOf(state)['feints-can']!;
  return {
    id: made.id ?? 'simulated',
    charge: { volumeL: spec.charge.volumeL, strengthAbv: saidAbv },
    heaterW: null,
    strengthBy: 'parrot',
    referenceHPa: 1013.25,
    points,
    fractions: [{ fraction: 'hearts', volumeL: all.volumeL, strengthAbv: all.strengthAbv, alcoholL: all.alcoholL }],
  };
}
