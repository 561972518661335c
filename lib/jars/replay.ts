import { thresholdOf } from '../cuts';
import { testsOf } from '../engine/condition';
import { cutNothing, judgeCut } from '../engine/cut';
import { estimateNothing } from '../engine/estimate';
import { freshRun } from '../engine/fresh';
import { producedNothing } from '../engine/produced';
import type { Estimate, PlannedStep, Plant, Run } from '../engine/types';
import { compileShift } from '../physics';
import type { Phase, Recipe, Step } from '../recipe/schema';
import { stillSchema } from '../still/schema';
import { type SheetFigures, strengthOfVapour } from './figures';

/** What a recipe would have done with a development run. */
export interface Replay {
  /** Collected at the spout when each phase ended [L]. */
  readonly ends: readonly { readonly phase: Phase; readonly atL: number }[];
  /** A phase whose end would have been asked of the operator, not made; nothing after it is told. */
  readonly asked: Phase | null;
  readonly hearts: { readonly fromL: number; readonly toL: number } | null;
  /** Jars of which more than half would have gone to hearts. */
  readonly jarsIn: readonly number[];
}

const stepsPerJar = 48;
/** Where a sheet has no times, a jar is taken to last this long [s]. */
const usualJarS = 900;
/** Where a sheet has no volumes, jars count as equal. */
const usualJarL = 1;

interface Sample {
  readonly atL: number;
  readonly timeS: number;
  readonly vapourC: number | null;
  readonly boilerC: number | null;
  readonly strengthAbv: number | null;
  readonly alcoholL: number;
}

function blend(a: number | null, b: number | null, place: number): number | null {
  return a === null || b === null ? null : a + place * (b - a);
}

/** The run as samples on straight lines between changeovers, from the first drop on. */
function* samplesOf(figures: SheetFigures): Generator<Sample> {
  const { jars, changeovers, sheet } = figures;
  let atL = 0;
  let timeS = 0;
  let alcoholL = 0;
  const beforeL = sheet.beforeJarsL;
  const first = changeovers[0];
  const firstJar = jars[0];
  if (beforeL > 0 && first !== undefined) {
    const beforeS = beforeL / ((firstJar?.volumeL ?? usualJarL) / usualJarS);
    for (let i = 0; i < stepsPerJar; i++) {
      const place = i / stepsPerJar;
      const spirit = (figures.beforeAlcoholL ?? 0) * place;
      yield {
        atL: beforeL * place,
        timeS: beforeS * place,
        vapourC: first.vapourAtReferenceC,
        boilerC: first.boilerAtReferenceC,
        strengthAbv: firstJar?.strengthAbv ?? null,
        alcoholL: spirit,
      };
    }
    atL = beforeL;
    timeS = beforeS;
    alcoholL = figures.beforeAlcoholL ?? 0;
  }
  for (const [index, jar] of jars.entries()) {
    const start = changeovers[index]!;
    const end = changeovers[index + 1]!;
    const lastsS =
      start.timeS !== null && end.timeS !== null && end.timeS > start.timeS ? end.timeS - start.timeS : usualJarS;
    const volumeL = jar.volumeL ?? usualJarL;
    const spiritL = jar.alcoholL ?? volumeL * (jar.strengthAbv ?? 0);
    const last = index === jars.length - 1 ? stepsPerJar : stepsPerJar - 1;
    for (let i = 0; i <= last; i++) {
      const place = i / stepsPerJar;
      yield {
        atL: atL + volumeL * place,
        timeS: timeS + lastsS * place,
        vapourC: blend(start.vapourAtReferenceC, end.vapourAtReferenceC, place),
        boilerC: blend(start.boilerAtReferenceC, end.boilerAtReferenceC, place),
        strengthAbv: jar.strengthAbv,
        alcoholL: alcoholL + spiritL * place,
      };
    }
    atL += volumeL;
    timeS += lastsS;
    alcoholL += spiritL;
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

function planOf(recipe: Recipe): readonly PlannedStep[] {
  const collecting = recipe.phases.filter((step) => step.phase !== 'heat-up' && step.phase !== 'equalise');
  return collecting.map((step: Step): PlannedStep => {
    const curves: Record<string, ReturnType<typeof compileShift>> = {};
    for (const { path, test } of testsOf(step.endsWhen)) {
      const threshold = thresholdOf(test, recipe.referencePressureHPa);
      if (threshold !== null) curves[path] = compileShift(threshold.tempC, recipe.referencePressureHPa, threshold.line);
    }
    return { step, curves, receiver: null, settledOverS: 0 };
  });
}

function estimateOf(sample: Sample, referenceHPa: number): Estimate {
  const seenAbv = sample.vapourC === null ? null : strengthOfVapour(sample.vapourC, referenceHPa);
  return {
    ...estimateNothing,
    pressure: { medianHPa: referenceHPa, samples: [], lastSampleS: sample.timeS, source: 'barometer' },
    vapourTempC: sample.vapourC,
    boilerTempC: sample.boilerC,
    strengthAbv: sample.strengthAbv ?? seenAbv,
    strengthBy: 'parrot',
    produced: { ...producedNothing, source: 'measured', volumeL: sample.atL, alcoholL: sample.alcoholL },
  };
}

/**
 * Runs a recipe over the jars of a sheet with the engine's own judgement of cuts: which jars would have gone to hearts. Holds, deadbands, guards and
 * the question on a threshold that is true on entry count; noise and smoothing do not.
 *
 * @param figures a sheet worked out at the recipe's reference pressure
 * @param recipe the recipe, its variant already chosen (asVariant)
 * @returns ends of the phases at the spout, and the jars that are in
 */
export function replaySheet(figures: SheetFigures, recipe: Recipe): Replay {
  const strengthAbv = figures.sheet.charge.strengthVolPercent / 100;
  const charge = { volumeL: figures.chargeAlcoholL / strengthAbv, strengthAbv };
  const plant: Plant = { still: bareStill, recipe, variant: null, charge, plan: planOf(recipe) };
  const { holdUpL } = figures.sheet.still;
  const ends: { phase: Phase; atL: number }[] = [];
  let asked: Phase | null = null;
  let run: Run = {
    ...freshRun(0),
    state: 'running',
    step: 0,
    phase: plant.plan[0]?.step.phase ?? 'idle',
    startedAtS: 0,
  };
  let totalL = 0;
  for (const sample of samplesOf(figures)) {
    totalL = sample.atL;
    if (run.step >= plant.plan.length || asked !== null) continue;
    const estimate = estimateOf(sample, figures.referenceHPa);
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
    run = {
      ...run,
      step,
      phase: plant.plan[step]?.step.phase ?? 'finish',
      phaseSinceS: sample.timeS,
      phaseSinceL: sample.atL,
      cut: cutNothing,
    };
  }
  const hearts = heartsOf(plant, ends, asked, totalL);
  return { ends, asked, hearts, jarsIn: hearts === null ? [] : jarsWithin(figures, hearts) };
}

function heartsOf(plant: Plant, ends: Replay['ends'], asked: Phase | null, totalL: number): Replay['hearts'] {
  const phases = plant.plan.map((planned) => planned.step.phase);
  const at = phases.indexOf('hearts');
  if (at < 0 || ends.length < at || asked === 'hearts') return null;
  const fromL = at === 0 ? 0 : ends[at - 1]!.atL;
  return { fromL, toL: ends[at]?.atL ?? totalL };
}

/** Jars of which more than half lies within a span at the spout. */
export function jarsWithin(figures: SheetFigures, span: { readonly fromL: number; readonly toL: number }): number[] {
  let startL = figures.sheet.beforeJarsL;
  return figures.jars.flatMap((jar) => {
    const volumeL = jar.volumeL ?? usualJarL;
    const endL = startL + volumeL;
    const insideL = Math.min(endL, span.toL) - Math.max(startL, span.fromL);
    startL = endL;
    return insideL > volumeL / 2 ? [jar.number] : [];
  });
}
