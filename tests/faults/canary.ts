import type { Hazard } from '../../lib/alarms/rule';
import { type Interlock, interlocks, interlocksInOrder } from '../../lib/engine/interlock';
import type { Plant } from '../../lib/engine/types';
import { plantOfScenario } from '../../simulators/run-scenario';
import type { Case } from './case';
import { cases, promisedS } from './catalogue';
import { caseNamed, drawTrial, type Trial } from './draw';
import { removeAlarms } from './engine';
import { specOfCourse } from './moments';
import { runTrial } from './run-trial';
import { campaignStills } from './stills';

/** What became of the campaign with something taken out of the engine. */
export interface Canary {
  readonly what: string;
  /** Failures with everything in its place, and with it taken out. */
  readonly whole: number;
  readonly broken: number;
  readonly firstLine: string;
}

/** Trials in which the hazard is met, and how many are tried until then. */
const trialsEach = 2;
const trialsAtMost = 12;

/** The hazards that some case must see on some still. */
export const canaryHazards: readonly Hazard[] = [
  ...new Set(cases.flatMap(({ hazard, promisedBy }) => (hazard !== null && promisedBy.length > 0 ? [hazard] : []))),
];

/** Trials of a case with nothing else going on, on stills that must see it. */
function plainTrials(one: Case, most: number): readonly Trial[] {
  const found: Trial[] = [];
  for (let seed = 1; seed < 400 && found.length < most; seed++) {
    const trial = drawTrial(one, seed);
    if (trial.second !== null || trial.along.length > 0 || trial.isCareless) continue;
    if (one.unseen(trial.type, trial.plans) === null && promisedS(one, trial.course.plant) !== null) found.push(trial);
  }
  return found;
}

/** Plain trials in which the hazard really comes, and what failed in them with everything in its place. */
function trialsWithHazard(one: Case): { readonly trials: readonly Trial[]; readonly failures: readonly string[] } {
  const trials: Trial[] = [];
  const failures: string[] = [];
  for (const trial of plainTrials(one, trialsAtMost)) {
    if (trials.length >= trialsEach) break;
    const outcome = runTrial(alone(trial), { heals: false });
    if (!outcome.isHazard) continue;
    trials.push(trial);
    failures.push(...outcome.failures);
  }
  return { trials, failures };
}

/** The same trial on a still of its own: what is taken out of it is missed by no other. */
function alone(trial: Trial): Trial {
  const { type, index } = trial.course;
  const spec = specOfCourse(type, index);
  const course = { ...trial.course, spec, plant: plantOfScenario(campaignStills[type], spec) };
  return { ...trial, course, plans: trial.plans.map((plan) => ({ ...plan })) };
}

function failuresOf(trials: readonly Trial[], change: (plant: Plant) => void): readonly string[] {
  return trials.flatMap((trial) => {
    const own = alone(trial);
    change(own.course.plant);
    return runTrial(own, { heals: false }).failures;
  });
}

/** All alarms of one hazard are taken out together: the campaign must notice. */
export function canaryOfHazard(hazard: Hazard): Canary {
  const those = cases.filter((one) => one.hazard === hazard && one.promisedBy.length > 0);
  const answers = new Set(those.flatMap((one) => one.answers));
  const met = those.map(trialsWithHazard);
  const whole = met.flatMap(({ failures }) => failures);
  const trials = met.flatMap((one) => one.trials);
  const broken = failuresOf(trials, (plant) => {
    removeAlarms(plant, (id, hazards) => hazards.includes(hazard) || answers.has(id));
  });
  return { what: hazard, whole: whole.length, broken: broken.length, firstLine: broken[0] ?? '' };
}

/** A control that has gone mad, and the interlocks that must tame it. */
interface Madness {
  readonly what: string;
  readonly wants: Interlock;
  readonly tamedBy: readonly (keyof typeof interlocks)[];
}

const madly =
  (kind: string, value: number): Interlock =>
  (plant, run, wanted) => {
    if (run.phase === 'idle') return wanted;
    const next = { ...wanted };
    for (const [id, drive] of Object.entries(plant.still.drives)) {
      const isMeant = drive.kind === kind || (drive.kind === 'receiver-valve' && drive.receiver === kind);
      if (isMeant)
        next[id] = { value, reason: { code: 'drive.phase', numbers: { phase: run.phase, state: run.state } } };
    }
    return next;
  };

const madnesses: readonly Madness[] = [
  {
    what: 'control wants heat, whatever stands',
    wants: madly('heat', 1),
    tamedBy: ['heatOnlyWhileRunning', 'heatOffWhenTripped'],
  },
  { what: 'control wants no coolant', wants: madly('coolant', 0), tamedBy: ['coolantWhileHot'] },
  { what: 'control closes every receiver', wants: madly('receiver-valve', 0), tamedBy: ['openPathWhileHot'] },
  { what: 'control opens the hearts receiver', wants: madly('hearts-can', 1), tamedBy: ['heartsOnlyInHearts'] },
];

export const canaryMadnesses: readonly string[] = madnesses.map(({ what }) => what);

/** The rules of safety hold under a mad control, and no longer once the interlocks that tame it are taken out. */
export function canaryOfInterlock(what: string): Canary {
  const madness = madnesses.find((one) => one.what === what);
  if (madness === undefined) throw new Error(`No such canary: ${what}`);
  const trial = plainTrials(caseNamed('coolant lost'), 30).find(
    ({ type, moment }) => type === 'pot' && moment.phase === 'tails',
  );
  if (trial === undefined) throw new Error('No trial of a pot that loses its coolant in tails');
  const list = interlocksInOrder as Interlock[];
  const whole = [...list];
  // Only the rules of safety are asked: a mad control spoils the run itself in any case.
  const isRule = (line: string) => /^(heat|coolant|all receivers|\S+ opened)/.test(line);
  const linesWith = (order: readonly Interlock[]): readonly string[] => {
    list.splice(0, list.length, ...order);
    try {
      return failuresOf([trial], () => {}).filter(isRule);
    } finally {
      list.splice(0, list.length, ...whole);
    }
  };
  const removed = new Set<Interlock>(madness.tamedBy.map((name) => interlocks[name]!));
  const tamed = linesWith([madness.wants, ...whole]);
  const broken = linesWith([madness.wants, ...whole.filter((one) => !removed.has(one))]);
  const line = tamed[0] ?? broken[0] ?? '';
  return {
    what: `${what}, without ${madness.tamedBy.join(' and ')}`,
    whole: tamed.length,
    broken: broken.length,
    firstLine: line,
  };
}

/** A canary sings as it must: all well with everything in place, and failures without. */
export function isSinging({ whole, broken }: Canary): boolean {
  return whole === 0 && broken > 0;
}
