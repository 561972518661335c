import { freshRun } from '../../lib/engine/fresh';
import type { Plant, Run } from '../../lib/engine/types';
import type { Phase } from '../../lib/recipe/schema';
import {
  createRandom,
  type DriveState,
  nextBetween,
  restore,
  type Snapshot,
  type StillSpec,
  snapshot,
} from '../../simulators/model';
import { createRig, type Rig } from '../../simulators/rig';
import { plantOfScenario } from '../../simulators/run-scenario';
import { specOf } from '../../simulators/scenarios';
import { createEngine } from './engine';
import { campaignStills, type StillType } from './stills';

/** A still in the middle of a run that has gone well so far, to begin from again and again. */
export interface Moment {
  readonly phase: Phase;
  readonly atS: number;
  readonly still: Snapshot;
  readonly drives: string;
  readonly spoutAt: string | null;
  readonly run: Run;
}

export interface Course {
  readonly type: StillType;
  readonly index: number;
  readonly spec: StillSpec;
  readonly plant: Plant;
  readonly moments: readonly Moment[];
  /** When the undisturbed run was over [s]. */
  readonly endsAtS: number;
}

/** Courses of each still the campaign begins from: other charge, other weather. */
export const coursesPerStill = 3;

/** Seconds after the beginning of each phase at which a moment is kept. */
const offsetsS: Partial<Record<Phase, readonly number[]>> = {
  'heat-up': [900, 1500],
  equalise: [600],
  foreshots: [100],
  heads: [200],
  hearts: [240, 1200, 2700],
  tails: [240, 1200],
};

/** The spec of one course of a still. A new object each time: an engine that lost its alarms must not be met again. */
export function specOfCourse(type: StillType, course: number): StillSpec {
  const scenario = campaignStills[type];
  const random = createRandom(course, `course/${type}`);
  const share = nextBetween(random, 0.85, 1.05);
  const { volumeL = 50, strengthAbv = 0.3 } = scenario.options.charge ?? {};
  return specOf(scenario, {
    charge: { volumeL: volumeL * share, strengthAbv: strengthAbv * nextBetween(random, 0.93, 1.05) },
    site: { weather: { offsetHPa: nextBetween(random, -18, 18), wanderHPaPerRootH: 1, front: null } },
  });
}

const courses = new Map<string, Course>();

/** Runs a still without faults and keeps its moments; worked out once. */
export function courseOf(type: StillType, index: number): Course {
  const key = `${type}/${index}`;
  const known = courses.get(key);
  if (known !== undefined) return known;
  const made = runCourse(type, index);
  courses.set(key, made);
  return made;
}

function runCourse(type: StillType, index: number): Course {
  const spec = specOfCourse(type, index);
  const plant = plantOfScenario(campaignStills[type], spec);
  const engine = createEngine(plant, freshRun(0));
  const rig = createRig({ spec, controller: engine, seed: 7000 + index, logEveryS: 0 });
  const moments: Moment[] = [];
  rig.run(14 * 3600, () => {
    const { run } = engine;
    const inPhaseS = run.now - run.phaseSinceS;
    const isQuiet = run.state === 'running' && !run.cut.asked && run.switching === null && run.spout.pending === null;
    if (isQuiet && offsetsS[run.phase]?.includes(inPhaseS) === true) moments.push(momentOf(rig, run));
    return run.phase === 'cool-down' || run.state === 'held';
  });
  const { phase, stateReason } = engine.run;
  if (phase !== 'cool-down')
    throw new Error(`The undisturbed ${type} run ${index} did not finish: ${phase}, ${JSON.stringify(stateReason)}`);
  return { type, index, spec, plant, moments, endsAtS: rig.site.state.atS };
}

function momentOf(rig: Rig, run: Run): Moment {
  const { state, drives } = rig.site;
  return {
    phase: run.phase,
    atS: state.atS,
    still: snapshot(state),
    drives: JSON.stringify(drives.drives),
    spoutAt: drives.spoutAt,
    run,
  };
}

/** Puts a new rig to where the still was at that moment. */
export function putBack(rig: Rig, spec: StillSpec, moment: Moment): void {
  Object.assign(rig.site.state, restore(spec, moment.still));
  const drives = JSON.parse(moment.drives) as Record<string, DriveState>;
  for (const [id, state] of Object.entries(drives)) Object.assign(rig.site.drives.drives[id]!, state);
  rig.site.drives.spoutAt = moment.spoutAt;
}
