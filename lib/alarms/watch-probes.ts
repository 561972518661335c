import { hottest, vapourThereC } from '../engine/hot';
import { pointNames } from '../engine/names';
import { correct } from '../engine/reading';
import type { Plant, Point, ProbeWatch, Run, Seen, Watch } from '../engine/types';
import type { PointKind } from '../still/schema';

/** What a common digital thermometer gives before its first conversion [°C]; a still can really have it. */
const powerOnC = 85;
/** No hotter vapour comes from a still that is not under pressure [°C]. */
const frontAboveC = 100;
/** A change of more than this cannot have come step by step [K]. */
const leapK = 2;

/** Largest change between two readings a place can make: a step [K] and a rate [K/s]. */
const believable: Partial<Record<PointKind, { readonly stepK: number; readonly perS: number }>> = {
  'vapour-temp': { stepK: 8, perS: 3 },
  'boiler-temp': { stepK: 4, perS: 0.5 },
};

export function isWatchedProbe(point: Point | undefined): boolean {
  return point !== undefined && believable[point.kind] !== undefined;
}

/** Follows the behaviour of the vapour and boiler probes; every other point is left alone. */
export function followProbes(plant: Plant, run: Run, before: Watch['probes'], bubbleC: number | null): Watch['probes'] {
  let next = before;
  for (const id in plant.still.points) {
    const point = plant.still.points[id];
    const seen = run.image[id];
    if (point === undefined || seen === undefined || !isWatchedProbe(point)) continue;
    if (seen.quality !== 'good' || seen.value === null || seen.goodAtS === null) continue;
    const was = before[id];
    if (was !== undefined && seen.goodAtS <= was.goodAtS) continue;
    next = { ...next, [id]: followProbe(plant, run, point, seen, was, bubbleC) };
  }
  return next;
}

function followProbe(
  plant: Plant,
  run: Run,
  point: Point,
  seen: Seen,
  was: ProbeWatch | undefined,
  bubbleC: number | null,
): ProbeWatch {
  const value = seen.value ?? 0;
  const atS = seen.goodAtS ?? run.now;
  const powerOn = Math.abs(value - correct(point, powerOnC)) < 1e-6;
  const fresh = {
    goodAtS: atS,
    value,
    ...(was === undefined ? {} : { beforeC: was.value }),
    sameSinceS: atS,
    sameEnergyJ: run.estimate.produced.energyJ,
    sameBesideC: besideC(plant, run, point, bubbleC),
  };
  if (was === undefined) {
    return { ...fresh, stepK: null, leap: null, jumpedAtS: null, jumpK: 0, powerOnSinceS: powerOn ? atS : null };
  }
  const leaps = followLeap(point, was, value, atS);
  if (value === was.value) return { ...was, ...leaps, goodAtS: atS, beforeC: value };
  const stepK = Math.abs(value - was.value);
  return {
    ...fresh,
    ...leaps,
    stepK: was.stepK === null ? stepK : Math.min(was.stepK, stepK),
    powerOnSinceS: powerOn && stepK > leapK ? atS : null,
  };
}

/** Readings that must have stayed where a leap went, before it is a jump and no spike. */
const stayedReadings = 3;

function followLeap(
  point: Point,
  was: ProbeWatch,
  value: number,
  atS: number,
): Pick<ProbeWatch, 'leap' | 'jumpedAtS' | 'jumpK'> {
  const limit = believable[point.kind];
  const { jumpedAtS, jumpK } = was;
  const gapS = atS - was.goodAtS;
  if (limit === undefined || gapS > 60) return { leap: null, jumpedAtS, jumpK };
  if (was.leap === null) {
    const isBack = was.beforeC !== undefined && Math.abs(value - was.beforeC) <= limit.stepK;
    const leapt = Math.abs(value - was.value) > limit.stepK + limit.perS * gapS;
    if (isBack || isFront(point, was, value)) return { leap: null, jumpedAtS, jumpK };
    return { leap: leapt ? { fromC: was.value, count: 1 } : null, jumpedAtS, jumpK };
  }
  const { fromC } = was.leap;
  const count = was.leap.count + 1;
  if (Math.abs(value - fromC) <= limit.stepK) return { leap: null, jumpedAtS, jumpK };
  if (count < stayedReadings) return { leap: { fromC, count }, jumpedAtS, jumpK };
  return { leap: null, jumpedAtS: atS, jumpK: value - fromC };
}

/** The vapour front passes a cold head in seconds, and in fast time within one reading: no leap of the probe. */
function isFront(point: Point, was: ProbeWatch, toC: number): boolean {
  const fromC = Math.min(was.value, was.beforeC ?? was.value);
  return point.kind === 'vapour-temp' && fromC < vapourThereC && toC > was.value && toC < frontAboveC;
}

/** Half of the weight on the newest step: a bare element leaves no time for more. */
const skinWeight = 0.5;
/** Readings closer together than this arrived in a burst: between them noise alone would look like a climb [s]. */
const burstS = 0.5;

/** A bare element gains about 5 K/s; a step of more is a wild reading [K/s]. */
const fastestPerS = 10;

function clamped(perS: number): number {
  return Math.max(-fastestPerS, Math.min(fastestPerS, perS));
}

/** Follows how fast the skin of each element climbs [K/s]. */
export function followSkins(plant: Plant, run: Run, before: Watch['skins']): Watch['skins'] {
  let next = before;
  for (const id of pointNames(plant.still, 'element-temp')) {
    const seen = run.image[id];
    if (seen?.quality !== 'good' || seen.value === null || seen.goodAtS === null) continue;
    const was = before[id];
    if (was !== undefined && seen.goodAtS <= was.atS) continue;
    const gapS = was === undefined ? 0 : seen.goodAtS - was.atS;
    if (was !== undefined && gapS < burstS) continue;
    const stepPerS = was === undefined || gapS > 30 ? 0 : clamped((seen.value - was.value) / gapS);
    const perS = was === undefined ? 0 : was.perS + skinWeight * (stepPerS - was.perS);
    next = { ...next, [id]: { atS: seen.goodAtS, value: seen.value, perS, lastPerS: stepPerS } };
  }
  return next;
}

/**
 * What must move along with a probe: the vapour follows the boiler, and the boiler follows the boiling point of what is
 * left. Not the boiler the vapour: more reflux or less heat moves the head alone.
 */
export function besideC(plant: Plant, run: Run, point: Point, bubbleC: number | null): number | null {
  return point.kind === 'vapour-temp' ? hottest(plant, run.image, 'boiler-temp').tempC : bubbleC;
}
