import { judgeAirPressure } from '../physics';
import { type Problem, problem, warning } from '../problems';
import { type Changeover, readingAt, type SheetFigures } from './figures';
import type { ChangeoverReading } from './sheet';

/** Something on a sheet that cannot be right, or not all of it. */
export interface Contradiction {
  readonly problem: Problem;
  /** The distiller may insist; what cannot be worked out stays refused. */
  readonly mayInsist: boolean;
}

export function contradiction(path: string, value: unknown, message: string, remedy: string): Contradiction {
  return { problem: problem(path, value, message, `${remedy}, or insist`), mayInsist: true };
}

export function impossible(path: string, value: unknown, message: string, remedy: string): Contradiction {
  return { problem: problem(path, value, message, remedy), mayInsist: false };
}

/** Errors that stop, and warnings that were insisted on. */
export function settle(found: readonly Contradiction[], insists: boolean): Problem[] {
  return found.map(({ problem: one, mayInsist }) => (insists && mayInsist ? { ...one, severity: 'warning' } : one));
}

/** Weather moves the air pressure by a few hPa an hour; more between two jars is another basis or a slip of the pen. */
const pressureStepHPa = 10;
/** Jars hold at most the charge's alcohol; a little more is the error of measuring. */
const mostSharePercent = 103;
/** A little more strength than in the jar before may be the error of measuring, or a change of heat. */
const mostRiseAbv = 0.08;

/** Everything on a sheet that contradicts itself or physics, whatever the verdicts. */
export function findContradictions(figures: SheetFigures): readonly Contradiction[] {
  return [
    ...figures.problems.map((one) => ({ problem: one, mayInsist: true })),
    ...times(figures),
    ...changeoversDiffer(figures),
    ...pressures(figures),
    ...amounts(figures),
    ...swapped(figures),
    ...rising(figures),
  ];
}

function times(figures: SheetFigures): Contradiction[] {
  const found: Contradiction[] = [];
  let lastS = Number.NEGATIVE_INFINITY;
  let lastWhere = '';
  for (const [index, jar] of figures.sheet.jars.entries()) {
    for (const which of ['start', 'end'] as const) {
      const timeS = jar[which]?.timeS;
      if (timeS === undefined) continue;
      if (timeS < lastS || (which === 'end' && timeS === lastS)) {
        const message = `jars overlap in time: the ${which} of jar ${jar.number} is not after ${lastWhere} (${lastS} s)`;
        found.push(contradiction(`jars.${index}.${which}.timeS`, timeS, message, 'Correct the times'));
      }
      lastS = Math.max(lastS, timeS);
      lastWhere = `the ${which} of jar ${jar.number}`;
    }
  }
  return found;
}

const sameWithin: Readonly<Record<keyof ChangeoverReading, number>> = {
  vapourTempC: 0.05,
  boilerTempC: 0.05,
  airPressureHPa: 1,
  timeS: 120,
};

/** Jars are changed at one moment: the end of one and the start of the next are the same reading. */
function changeoversDiffer(figures: SheetFigures): Contradiction[] {
  const { jars, probe } = figures.sheet;
  return jars.slice(1).flatMap((jar, before) => {
    const end = jars[before]?.end;
    const start = jar.start;
    if (end === undefined || start === undefined) return [];
    return (Object.keys(sameWithin) as (keyof ChangeoverReading)[]).flatMap((field) => {
      const ended = end[field];
      const started = start[field];
      const within = sameWithin[field] + (field === 'vapourTempC' || field === 'boilerTempC' ? probe.resolutionK : 0);
      if (ended === undefined || started === undefined || Math.abs(ended - started) <= within) return [];
      const message = `differs from the end of jar ${jar.number - 1} (${ended}): jars are changed at one moment`;
      return [contradiction(`jars.${before + 1}.start.${field}`, started, message, 'Keep the one that is right')];
    });
  });
}

function pressures(figures: SheetFigures): Contradiction[] {
  const { sheet, changeovers } = figures;
  const found: Contradiction[] = [];
  let before: Changeover | null = null;
  for (const here of changeovers) {
    const written = readingAt(sheet, here.index).airPressureHPa;
    if (written === undefined || here.stationHPa === null) continue;
    const path = `jars.${Math.max(0, here.index - 1)}.${here.index === 0 ? 'start' : 'end'}.airPressureHPa`;
    if (before?.stationHPa != null && Math.abs(here.stationHPa - before.stationHPa) > pressureStepHPa) {
      const message = `jumps by ${Math.abs(here.stationHPa - before.stationHPa).toFixed(0)} hPa between two readings: no weather does`;
      found.push(contradiction(path, written, message, 'Correct it, and give all pressures on one basis'));
    }
    before = here;
  }
  const { altitudeM, basis } = sheet.airPressure;
  const first = changeovers.find((one) => one.stationHPa !== null);
  if (basis === 'station' && altitudeM !== undefined && first?.stationHPa != null) {
    const judged = judgeAirPressure(first.stationHPa, altitudeM);
    if (judged.kind === 'sea-level-reduced' || judged.kind === 'implausible') {
      const what = judged.kind === 'implausible' ? 'is no air pressure' : 'looks reduced to sea level and not measured';
      const message = `${what} at ${altitudeM} m, where about ${judged.expectedHPa.toFixed(0)} hPa are usual`;
      const remedy = 'State the basis sea-level, or give the station pressure';
      found.push(contradiction('airPressure.basis', first.stationHPa, message, remedy));
    }
  }
  return found;
}

function amounts(figures: SheetFigures): Contradiction[] {
  const { sheet, changeovers } = figures;
  const last = changeovers[changeovers.length - 1];
  const found: Contradiction[] = [];
  if (last?.atL != null && last.atL > sheet.charge.volumeL) {
    const message = `is less than the ${last.atL.toFixed(2)} L in the jars`;
    found.push(contradiction('charge.volumeL', sheet.charge.volumeL, message, 'Correct the volumes and their units'));
  }
  if (last?.sharePercent != null && last.sharePercent > mostSharePercent) {
    const message = `the jars hold ${last.sharePercent.toFixed(0)} % of the charge's alcohol`;
    const remedy = 'Measure charge, volumes and strengths again';
    found.push(contradiction('charge.strengthVolPercent', sheet.charge.strengthVolPercent, message, remedy));
  }
  return found;
}

function swapped(figures: SheetFigures): Contradiction[] {
  const both = figures.changeovers.filter((one) => one.vapourAtReferenceC !== null && one.boilerAtReferenceC !== null);
  const colder = both.filter((one) => one.boilerAtReferenceC! < one.vapourAtReferenceC! - 0.5);
  if (both.length < 2 || colder.length * 2 <= both.length) return [];
  const message = 'the boiler is colder than its vapour at most changeovers: the probes look swapped';
  return [contradiction('jars', undefined, message, 'Swap the two columns')];
}

/** After the first jars the strength only falls; a jar much stronger than the one before it was misread or mixed up. */
function rising(figures: SheetFigures): Contradiction[] {
  return figures.jars.flatMap((jar, index) => {
    const before = figures.jars[index - 1];
    if (index < 3 || before?.strengthBy !== 'measured' || jar.strengthBy !== 'measured') return [];
    const roseAbv = (jar.strengthAbv ?? 0) - (before.strengthAbv ?? 0);
    if (roseAbv <= mostRiseAbv) return [];
    const message = `is ${(100 * roseAbv).toFixed(0)} % vol stronger than jar ${before.number}: the run only grows weaker`;
    const written = figures.sheet.jars[index]?.strengthVolPercent;
    return [contradiction(`jars.${index}.strengthVolPercent`, written, message, 'Measure both jars again')];
  });
}

/** What a person should know though nothing contradicts. */
export function cautionsOfSheet(figures: SheetFigures): readonly Problem[] {
  const { sheet } = figures;
  const found: Problem[] = [];
  const guessed = figures.jars.filter((jar) => jar.strengthBy === 'vapour');
  if (guessed.length > 0) {
    const numbers = guessed.map((jar) => jar.number).join(', ');
    const message = `strength of jars ${numbers} was not measured and is estimated from the vapour temperature`;
    found.push(warning('jars', undefined, message, 'Measure strength and sample temperature of every jar'));
  }
  const unwritten = figures.changeovers.filter((one) => readingAt(sheet, one.index).airPressureHPa === undefined);
  if (unwritten.length > 0 && unwritten.length < figures.changeovers.length) {
    const message = `air pressure was not written down at ${unwritten.length} of ${figures.changeovers.length} changeovers and is taken from its neighbours`;
    found.push(warning('jars', undefined, message, 'Write it down at every changeover'));
  }
  return found;
}
