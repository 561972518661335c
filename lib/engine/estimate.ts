import { followForecast } from '../forecast';
import { forecastNothing } from '../forecast/nothing';
import { abvFromMoleFraction, shiftVapourTemp, vapourAtDewTemp } from '../physics';
import type { PointKind } from '../still/schema';
import { pointOf } from './image';
import { follow, isSettled, valueAt } from './line';
import { parrotStrength } from './parrot';
import { followPressure, pressureNever } from './pressure';
import { followProduced, producedNothing } from './produced';
import type { Estimate, Image, Line, Plant, Run } from './types';

const recentEveryS = 15;

export const estimateNothing: Estimate = {
  lines: {},
  pressure: pressureNever,
  vapourTempC: null,
  vapourSlopeKPerS: null,
  boilerTempC: null,
  boilerSlopeKPerS: null,
  strengthAbv: null,
  strengthBy: null,
  plateauC: null,
  plateauPhase: null,
  recent: [],
  produced: producedNothing,
  forecast: forecastNothing,
};

/** What the readings say of the still now: smoothed temperatures, air pressure, strength, plateau, what came over. */
export function estimateStill(plant: Plant, run: Run, image: Image, now: number): Estimate {
  const before = run.estimate;
  const lines = followLines(plant, before.lines, image);
  const pressure = followPressure(plant, before.pressure, image, now);
  const doubted = Object.keys(run.watch?.doubted ?? {});
  const vapour = read(plant, image, lines, 'vapour-temp', now, doubted);
  const boiler = read(plant, image, lines, 'boiler-temp', now, doubted);
  const parrotAbv = parrotStrength(plant, image, lines, before.produced.rateLPerH, now);
  const strength = strengthNow(parrotAbv, vapour?.value ?? null, pressure.medianHPa);
  const recent = followRecent(plant, run, vapour?.value ?? null, pressure.medianHPa, now);
  const estimate: Estimate = {
    lines,
    doubted,
    pressure,
    vapourTempC: vapour?.value ?? null,
    vapourSlopeKPerS: vapour?.slopePerS ?? null,
    boilerTempC: boiler?.value ?? null,
    boilerSlopeKPerS: boiler?.slopePerS ?? null,
    ...strength,
    ...followPlateau(run, recent),
    recent,
    produced: followProduced(plant, run, image, now, strength.strengthAbv, vapour?.value ?? null),
    forecast: before.forecast ?? forecastNothing,
  };
  return { ...estimate, forecast: followForecast(plant, run, image, estimate, now) };
}

export function referenceHPa(plant: Plant): number {
  return plant.recipe?.referencePressureHPa ?? 1013.25;
}

const lined: readonly PointKind[] = ['vapour-temp', 'boiler-temp', 'parrot-strength'];

function followLines(plant: Plant, before: Estimate['lines'], image: Image): Estimate['lines'] {
  const lines: Record<string, Line> = {};
  for (const id in plant.still.points) {
    const point = plant.still.points[id];
    if (point === undefined || !lined.includes(point.kind)) continue;
    const seen = image[id];
    const line = before[id];
    if (seen?.quality === 'good' && seen.value !== null && seen.goodAtS !== null) {
      // Strengths are followed in per cent, so that the spike limit in kelvin is of their size too.
      const scale = point.kind === 'parrot-strength' ? 100 : 1;
      lines[id] = follow(line, seen.goodAtS, seen.value * scale, seen.spacingS, (point.resolution ?? 0) * scale);
    } else if (line !== undefined) lines[id] = line;
  }
  return lines;
}

function read(
  plant: Plant,
  image: Image,
  lines: Estimate['lines'],
  kind: PointKind,
  now: number,
  doubted: readonly string[],
) {
  const point = pointOf(plant, kind);
  if (point === null || image[point.id]?.quality !== 'good' || doubted.includes(point.id)) return null;
  const line = lines[point.id];
  return line !== undefined && isSettled(line, now) ? valueAt(line, now) : null;
}

function strengthNow(
  parrotAbv: number | null,
  vapourTempC: number | null,
  pressureHPa: number | null,
): Pick<Estimate, 'strengthAbv' | 'strengthBy'> {
  if (parrotAbv !== null) return { strengthAbv: parrotAbv, strengthBy: 'parrot' };
  if (vapourTempC === null || pressureHPa === null || vapourTempC < 50) return { strengthAbv: null, strengthBy: null };
  return { strengthAbv: abvFromMoleFraction(vapourAtDewTemp(vapourTempC, pressureHPa)), strengthBy: 'vapour-temp' };
}

/** The vapour temperature at the reference pressure, every now and then: a shift costs two solutions of the equilibrium. */
function followRecent(
  plant: Plant,
  run: Run,
  vapourTempC: number | null,
  pressureHPa: number | null,
  now: number,
): Estimate['recent'] {
  const before = run.estimate.recent;
  const last = before[before.length - 1];
  if (vapourTempC === null || pressureHPa === null || (last !== undefined && now - last.atS < recentEveryS))
    return before;
  const atReferenceC = shiftVapourTemp(vapourTempC, pressureHPa, referenceHPa(plant));
  const spanS = spanOfSettled(plant);
  return [...before.filter((sample) => now - sample.atS <= spanS + recentEveryS), { atS: now, tempC: atReferenceC }];
}

/** The longest span any settled test of the plan looks back over [s]; ten minutes where there is none. */
function spanOfSettled(plant: Plant): number {
  return Math.max(600, ...plant.plan.map((planned) => planned.settledOverS));
}

export interface Moved {
  /** Change over the span, by the straight line through it [K, at the reference pressure]. */
  readonly changeK: number;
  readonly meanC: number;
}

/** How the vapour moved over the last `overS` seconds; null while that span is not covered. */
export function movedOver(recent: Estimate['recent'], overS: number, now: number): Moved | null {
  const first = recent[0];
  if (first === undefined || now - first.atS < overS - recentEveryS) return null;
  let count = 0;
  let sumAge = 0;
  let sumTemp = 0;
  let sumAgeAge = 0;
  let sumAgeTemp = 0;
  for (const sample of recent) {
    const ageS = now - sample.atS;
    if (ageS > overS) continue;
    count += 1;
    sumAge += ageS;
    sumTemp += sample.tempC;
    sumAgeAge += ageS * ageS;
    sumAgeTemp += ageS * sample.tempC;
  }
  if (count < Math.max(3, overS / recentEveryS / 2)) return null;
  const slopePerS = -(count * sumAgeTemp - sumAge * sumTemp) / (count * sumAgeAge - sumAge * sumAge);
  return { changeK: slopePerS * overS, meanC: sumTemp / count };
}

const plateauOverS = 300;
const plateauWithinK = 0.15;

/** A plateau is the first settled five minutes of a phase; the next phase settles its own, a resumed one keeps it. */
function followPlateau(run: Run, recent: Estimate['recent']): Pick<Estimate, 'plateauC' | 'plateauPhase'> {
  const { plateauC, plateauPhase } = run.estimate;
  const keep = { plateauC, plateauPhase };
  if (run.state !== 'running' || run.resume !== null || plateauPhase === run.phase) return keep;
  if (run.phase === 'idle' || run.phase === 'heat-up' || run.now - run.phaseSinceS < plateauOverS) return keep;
  const moved = movedOver(recent, plateauOverS, run.now);
  return moved !== null && Math.abs(moved.changeK) <= plateauWithinK
    ? { plateauC: moved.meanC, plateauPhase: run.phase }
    : keep;
}
