import { thresholdOf } from '../cuts';
import { testsOf } from '../engine/condition';
import { cutNothing, judgeCut } from '../engine/cut';
import { estimateNothing } from '../engine/estimate';
import { freshRun } from '../engine/fresh';
import { follow, isSettled, valueAt } from '../engine/line';
import { producedNothing } from '../engine/produced';
import type { Estimate, Line, PlannedStep, Plant, Run } from '../engine/types';
import { compileShift, dewPoint, moleFractionFromAbv } from '../physics';
import type { Condition, Phase, Recipe, Step } from '../recipe/schema';
import { stillSchema } from '../still/schema';
import { type Changeover, type JarFigures, type SheetFigures, strengthOfVapour } from './figures';

/** What a recipe would have done with a development run. */
export interface Replay {
  /** Collected at the spout when each phase ended [L]. */
  readonly ends: readonly { readonly phase: Phase; readonly atL: number }[];
  /** A phase whose end would have been asked of the operator, not made; nothing after it is told. */
  readonly asked: Phase | null;
  readonly hearts: { readonly fromL: number; readonly toL: number } | null;
  /** How much of each jar would have gone to hearts [0..1]. */
  readonly portions: readonly number[];
  /** Jars of which more than half would have. */
  readonly jarsIn: readonly number[];
}

/** Spacing of the readings the sheet is turned into [s]. */
const everyS = 5;
/** Where a sheet has no times, a jar is taken to last this long [s]. */
const usualJarS = 900;
/** Where a sheet has no volumes, jars count as equal. */
const usualJarL = 1;
/** Time before the first drop in which the vapour is already in the head [s]. */
const leadS = 180;

interface Sample {
  readonly atL: number;
  readonly timeS: number;
  readonly vapourC: number | null;
  readonly boilerC: number | null;
  /** Of what was collected since the sample before. */
  readonly strengthAbv: number | null;
}

interface Stretch {
  readonly from: Changeover;
  readonly to: Changeover;
  readonly lastsS: number;
  readonly volumeL: number;
  readonly strengthAbv: number | null;
}

function between(a: number | null, b: number | null, place: number): number | null {
  return a === null || b === null ? null : a + place * (b - a);
}

/** Alcohol of a jar over its volume as measured: warm spirit holds a little less than its strength says. */
function strengthOf(jar: JarFigures): number | null {
  return jar.alcoholL !== null && jar.volumeL !== null ? jar.alcoholL / jar.volumeL : jar.strengthAbv;
}

/** The run from lead-in to last jar, stretch by stretch; the vapour is level until the first changeover. */
function stretchesOf(figures: SheetFigures): Stretch[] {
  const { jars, changeovers, sheet } = figures;
  const first = changeovers[0]!;
  const firstL = jars[0]?.volumeL ?? usualJarL;
  const before = { from: first, to: first, strengthAbv: jars[0] === undefined ? null : strengthOf(jars[0]) };
  const stretches: Stretch[] = [{ ...before, lastsS: leadS, volumeL: 0 }];
  if (sheet.beforeJarsL > 0) {
    const lastsS = Math.max(usualJarS / 3, (usualJarS * sheet.beforeJarsL) / firstL);
    const strengthAbv = (figures.beforeAlcoholL ?? 0) / sheet.beforeJarsL;
    stretches.push({ ...before, strengthAbv, lastsS, volumeL: sheet.beforeJarsL });
  }
  for (const [index, jar] of jars.entries()) {
    const from = changeovers[index]!;
    const to = changeovers[index + 1]!;
    const timed = from.timeS !== null && to.timeS !== null && to.timeS > from.timeS;
    const volumeL = jar.volumeL ?? usualJarL;
    stretches.push({
      from,
      to,
      lastsS: timed ? to.timeS! - from.timeS! : usualJarS,
      volumeL,
      strengthAbv: strengthOf(jar),
    });
  }
  return stretches;
}

/** The run as readings on straight lines between changeovers, one every five seconds. */
function* samplesOf(figures: SheetFigures): Generator<Sample> {
  let atL = 0;
  let timeS = 0;
  const stretches = stretchesOf(figures);
  let collectedAbv = stretches[0]!.strengthAbv;
  for (const [index, stretch] of stretches.entries()) {
    const steps = Math.max(4, Math.round(stretch.lastsS / everyS));
    const last = index === stretches.length - 1 ? steps : steps - 1;
    for (let step = 0; step <= last; step++) {
      const place = step / steps;
      yield {
        atL: atL + stretch.volumeL * place,
        timeS: timeS + stretch.lastsS * place,
        vapourC: between(stretch.from.vapourAtReferenceC, stretch.to.vapourAtReferenceC, place),
        boilerC: between(stretch.from.boilerAtReferenceC, stretch.to.boilerAtReferenceC, place),
        strengthAbv: collectedAbv,
      };
      collectedAbv = stretch.strengthAbv;
    }
    atL += stretch.volumeL;
    timeS += stretch.lastsS;
  }
}

const bareStill = stillSchema.parse({
  still: 1,
  id: 'sheet',
  name: 'The still of a jar sheet',
  kind: 'pot',
  boilerVolumeL: 1e6,
  heelL: 1,
  points: { vapour: { kind: 'vapour-temp' }, boiler: { kind: 'boiler-temp' } },
});

/** The temperature a strength by vapour stands for, so that it is worked out once and not at every sample. */
function asTemperature(condition: Condition, referenceHPa: number): Condition {
  if ('anyOf' in condition) return { anyOf: condition.anyOf.map((part) => asTemperature(part, referenceHPa)) };
  if ('allOf' in condition) return { allOf: condition.allOf.map((part) => asTemperature(part, referenceHPa)) };
  if (condition.test !== 'strength' || condition.by !== 'vapour-temp') return condition;
  const tempOf = (volPercent: number) =>
    dewPoint(moleFractionFromAbv(Math.min(0.96, volPercent / 100)), referenceHPa).tempC;
  const atLeastC = tempOf(condition.atMostVolPercent);
  const deadbandK = Math.max(0.05, atLeastC - tempOf(condition.atMostVolPercent + condition.deadbandVolPercent));
  return { test: 'vapour-temp', atLeastC, deadbandK };
}

function planOf(recipe: Recipe): readonly PlannedStep[] {
  const collecting = recipe.phases.filter((step) => step.phase !== 'heat-up' && step.phase !== 'equalise');
  return collecting.map((written: Step): PlannedStep => {
    const step = { ...written, endsWhen: asTemperature(written.endsWhen, recipe.referencePressureHPa) };
    const curves: Record<string, ReturnType<typeof compileShift>> = {};
    for (const { path, test } of testsOf(step.endsWhen)) {
      const threshold = thresholdOf(test, recipe.referencePressureHPa);
      if (threshold !== null) curves[path] = compileShift(threshold.tempC, recipe.referencePressureHPa, threshold.line);
    }
    return { step, curves, receiver: null, settledOverS: 0, window: null };
  });
}

/** The engine's estimate at a sample: temperatures and strength smoothed and alcohol counted as it does with a parrot. */
function createEstimator(referenceHPa: number, vapourErrorK: number): (sample: Sample) => Estimate {
  const lines: Record<'vapour' | 'boiler' | 'parrot', Line | undefined> = {
    vapour: undefined,
    boiler: undefined,
    parrot: undefined,
  };
  let countedL = 0;
  let alcoholL = 0;
  const smooth = (name: keyof typeof lines, timeS: number, value: number | null): number | null => {
    if (value === null) return null;
    const line = follow(lines[name], timeS, value, everyS, 0);
    lines[name] = line;
    return isSettled(line, timeS) ? valueAt(line, timeS).value : value;
  };
  return (sample) => {
    const { timeS } = sample;
    const vapourTempC = smooth('vapour', timeS, sample.vapourC === null ? null : sample.vapourC + vapourErrorK);
    const parrotPercent = smooth('parrot', timeS, sample.strengthAbv === null ? null : 100 * sample.strengthAbv);
    const seenAbv = vapourTempC === null ? null : strengthOfVapour(vapourTempC, referenceHPa);
    const strengthAbv = parrotPercent === null ? seenAbv : parrotPercent / 100;
    alcoholL += (sample.atL - countedL) * (strengthAbv ?? 0);
    countedL = sample.atL;
    return {
      ...estimateNothing,
      pressure: { medianHPa: referenceHPa, samples: [], lastSampleS: timeS, source: 'barometer' },
      vapourTempC,
      boilerTempC: smooth('boiler', timeS, sample.boilerC),
      strengthAbv,
      strengthBy: 'parrot',
      produced: { ...producedNothing, source: 'measured', volumeL: sample.atL, alcoholL },
    };
  };
}

function startOf(plan: readonly PlannedStep[]): Run {
  return { ...freshRun(0), state: 'running', step: 0, phase: plan[0]?.step.phase ?? 'idle', startedAtS: 0 };
}

/**
 * Runs a recipe over the jars of a sheet with the engine's own judgement of cuts: which jars would have gone to hearts. Smoothing, holds, deadbands,
 * guards and the question on a threshold that is true on entry count; noise does not.
 *
 * @param figures a sheet worked out at the recipe's reference pressure
 * @param recipe the recipe, its variant already chosen (asVariant)
 * @param vapourErrorK as if the vapour probe read this much too high [K]; 0 unless given
 * @returns ends of the phases at the spout, and the jars that are in
 */
export function replaySheet(figures: SheetFigures, recipe: Recipe, vapourErrorK = 0): Replay {
  const strengthAbv = figures.sheet.charge.strengthVolPercent / 100;
  const charge = { volumeL: figures.chargeAlcoholL / strengthAbv, strengthAbv };
  const plant: Plant = { still: bareStill, recipe, variant: null, charge, plan: planOf(recipe) };
  const estimateAt = createEstimator(figures.referenceHPa, vapourErrorK);
  const { holdUpL } = figures.sheet.still;
  const ends: { phase: Phase; atL: number }[] = [];
  let asked: Phase | null = null;
  let run = startOf(plant.plan);
  let totalL = 0;
  for (const sample of samplesOf(figures)) {
    const estimate = estimateAt(sample);
    totalL = sample.atL;
    // The lead-in only settles the smoothing.
    if (sample.timeS < leadS || run.step >= plant.plan.length || asked !== null) continue;
    run = { ...run, now: sample.timeS, estimate };
    const due = judgeCut(plant, run, {}, estimate, sample.timeS);
    run = { ...run, cut: due.memory };
    // A cut the recipe has asked on purpose is taken as answered at once; one asked because it was true on entry is not.
    const question = due.events.find((event) => event.kind === 'cut-asked');
    const answered = question?.reason.code === 'ask.recipe';
    if (question !== undefined && !answered) asked = run.phase;
    if (due.cut === null && !answered) continue;
    ends.push({ phase: run.phase, atL: sample.atL + holdUpL });
    const step = run.step + 1;
    const phase = plant.plan[step]?.step.phase ?? 'finish';
    run = { ...run, step, phase, phaseSinceS: sample.timeS, phaseSinceL: sample.atL, cut: cutNothing };
  }
  const hearts = heartsOf(plant, ends, asked, totalL);
  const portions = hearts === null ? figures.jars.map(() => 0) : portionsWithin(figures, hearts);
  const jarsIn = portions.flatMap((portion, index) => (portion > 0.5 ? [index + 1] : []));
  return { ends, asked, hearts, portions, jarsIn };
}

function heartsOf(plant: Plant, ends: Replay['ends'], asked: Phase | null, totalL: number): Replay['hearts'] {
  const phases = plant.plan.map((planned) => planned.step.phase);
  const at = phases.indexOf('hearts');
  if (at < 0 || ends.length < at || asked === 'hearts') return null;
  const fromL = at === 0 ? 0 : ends[at - 1]!.atL;
  return { fromL, toL: ends[at]?.atL ?? totalL };
}

/** How much of every jar lies within a span at the spout [0..1], jar by jar. */
export function portionsWithin(
  figures: SheetFigures,
  span: { readonly fromL: number; readonly toL: number },
): number[] {
  let startL = figures.sheet.beforeJarsL;
  return figures.jars.map((jar) => {
    const volumeL = jar.volumeL ?? usualJarL;
    const endL = startL + volumeL;
    const insideL = Math.min(endL, span.toL) - Math.max(startL, span.fromL);
    startL = endL;
    return Math.max(0, insideL / volumeL);
  });
}
