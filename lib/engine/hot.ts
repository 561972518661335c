import { bubbleTempC, ethanolBoilingPointC, moleFractionFromAbv } from '../physics';
import { type HeatDrive, heatSources, type PointKind } from '../still/schema';
import { pointNames } from './names';
import { trusted } from './reading';
import type { Image, Plant, Run } from './types';

export const hotBoilerC = 60;
/** From here on vapour has reached the probe at the head; below, it is air [°C]. */
export const vapourThereC = 60;
/** The air path stays open until the still is below this. */
export const coldC = 40;

type Heat = 'on' | 'off' | 'unproven';

/** Power below which a heat source counts as off, as a share of its rating. */
const offShare = 0.03;

/**
 * Whether heat goes in: by what the drives report or the power drawn, else by our own command and its age.
 *
 * Off is proven by a report or a power meter; without one by the time after which the device switches off by itself;
 * without that either, on a drive that nothing watches, by the command having been there to be carried out.
 */
export function heatState(plant: Plant, run: Run, image: Image): Heat {
  let unproven = false;
  for (const id in plant.still.drives) {
    const drive = plant.still.drives[id];
    if (drive?.kind !== 'heat') continue;
    const state = heatOf(plant, run, image, id, drive);
    if (state === 'on') return 'on';
    if (state === 'unproven') unproven = true;
  }
  return unproven ? 'unproven' : 'off';
}

function heatOf(plant: Plant, run: Run, image: Image, id: string, drive: HeatDrive): Heat {
  const memory = run.drives[id];
  if (memory !== undefined && typeof memory.value === 'number' && memory.value > 0) return 'on';
  const reported = drive.reported === undefined ? null : trusted(image[drive.reported]);
  if (reported !== null && reported > 0.02) return 'on';
  const power = powerOf(plant, image, id);
  if (power !== null && power > offShare * drive.ratedW) return 'on';
  if (reported !== null || power !== null) return 'off';
  if (drive.source === 'solid-fire') return isFireOut(plant, run, image) ? 'off' : 'unproven';
  if (memory === undefined) return 'unproven';
  const offForS = run.now - memory.changedAtS;
  if (drive.deadManS !== undefined) return offForS >= drive.deadManS ? 'off' : 'unproven';
  if (!isWatched(plant, id, drive)) return offForS >= drive.ttlS ? 'off' : 'unproven';
  const boiler = hottest(plant, image, 'boiler-temp');
  return boiler.tempC !== null && boiler.tempC < coldC ? 'off' : 'unproven';
}

/** A fire goes out by itself, and only the boiler tells when. */
function isFireOut(plant: Plant, run: Run, image: Image): boolean {
  if (run.state === 'running' && run.step >= 0) return false;
  const { tempC, isThere } = hottest(plant, image, 'boiler-temp');
  return tempC === null ? run.phase === 'idle' && !isThere : tempC < hotBoilerC;
}

/** Whether anything was fitted that could tell what the drive really does. */
function isWatched(plant: Plant, id: string, drive: HeatDrive): boolean {
  if (drive.reported !== undefined) return true;
  const points = plant.still.points;
  for (const point in points) {
    const here = points[point];
    if (here?.kind === 'heat-power' && (here.drive ?? id) === id) return true;
  }
  return false;
}

/** The hottest trusted probe of a kind; `isThere` tells whether the still has any. */
export function hottest(
  plant: Plant,
  image: Image,
  kind: PointKind,
): { readonly tempC: number | null; readonly isThere: boolean } {
  let tempC: number | null = null;
  const points = pointNames(plant.still, kind);
  for (const id of points) {
    const value = trusted(image[id]);
    if (value !== null && (tempC === null || value > tempC)) tempC = value;
  }
  return { tempC, isThere: points.length > 0 };
}

/** More than what two honest probes may differ by [K]. */
const aboveBoilerK = 4;

/** Liquid carried over is no hotter than the boiler it comes from: a vapour probe that says so is swapped, or lies. */
export function isAboveBoiler(plant: Plant, image: Image, vapourC: number): boolean {
  const boilerC = hottest(plant, image, 'boiler-temp').tempC;
  return boilerC !== null && vapourC - boilerC >= aboveBoilerK;
}

/** Power drawn by one heat drive, where a point measures it [W]. */
export function powerOf(plant: Plant, image: Image, drive: string): number | null {
  const meter = meterOf(plant, drive);
  return meter === null ? null : trusted(image[meter]);
}

/** The point that meters the power of a heat drive; null where there is none. */
export function meterOf(plant: Plant, drive: string): string | null {
  const points = plant.still.points;
  for (const id in points) {
    const point = points[id];
    if (point?.kind === 'heat-power' && (point.drive ?? drive) === drive) return id;
  }
  return null;
}

/** When the meter of a heat drive was last heard [s]; null where there is none, or it was not heard yet. */
export function meterHeardAtS(plant: Plant, image: Image, drive: string): number | null {
  const meter = meterOf(plant, drive);
  return meter === null ? null : (image[meter]?.goodAtS ?? null);
}

/** The longest run-on of the still's heat sources [s]. */
export function runOnS(plant: Plant): number {
  const drives = Object.values(plant.still.drives);
  return Math.max(
    0,
    ...drives.map((drive) => (drive.kind === 'heat' ? (drive.runOnS ?? heatSources[drive.source]) : 0)),
  );
}

function hasHeat(plant: Plant): boolean {
  for (const id in plant.still.drives) if (plant.still.drives[id]?.kind === 'heat') return true;
  return false;
}

/** Whether vapour may still come: heat on or not proven off, run-on not over. A fire that is out has no run-on left. */
export function isDriven(plant: Plant, run: Run, image: Image): boolean {
  const state = heatState(plant, run, image);
  if (state !== 'off') return true;
  if (isFire(plant)) return false;
  return run.heatAtS !== null && run.now - run.heatAtS < runOnS(plant);
}

function isFire(plant: Plant): boolean {
  return Object.values(plant.still.drives).every((drive) => drive.kind !== 'heat' || drive.source === 'solid-fire');
}

/**
 * Hot: heat commanded or not proven off, run-on not over, or boiler above 60 °C or unknown; a hot head counts too, for
 * a boiler probe that hangs in the air reads cold. A still that never was hot since we watch, has no run and no heat we
 * know of, and no boiler probe, is not held to be hot for want of a probe.
 */
export function isHot(plant: Plant, run: Run, image: Image): boolean {
  if (hasHeat(plant) && isDriven(plant, run, image)) return true;
  const vapourC = hottest(plant, image, 'vapour-temp').tempC;
  if (vapourC !== null && vapourC > hotBoilerC) return true;
  const boiler = hottest(plant, image, 'boiler-temp');
  if (boiler.tempC !== null) return boiler.tempC > hotBoilerC;
  if (boiler.isThere) return true;
  return run.startedAtS !== null && run.phase !== 'idle';
}

/** Whether the air path must be open: while hot, and until the still is cold enough not to draw a vacuum. */
export function needsAirPath(plant: Plant, run: Run, image: Image): boolean {
  if (isHot(plant, run, image)) return true;
  const boilerC = hottest(plant, image, 'boiler-temp').tempC;
  const vapourC = hottest(plant, image, 'vapour-temp').tempC;
  return (boilerC !== null && boilerC >= coldC) || (vapourC !== null && vapourC >= coldC);
}

/** Kelvin below the boiling point at which nothing comes over any more. */
const noVapourBelowK = 15;

/**
 * Whether coolant must run: while heat is not proven off, during the run-on, and until the boiler is 15 K below its
 * bubble point. Unknown means on; a still that is idle and was cold when last seen is left alone.
 */
export function needsCoolant(plant: Plant, run: Run, image: Image): boolean {
  if (isDriven(plant, run, image) && (run.phase !== 'idle' || heatState(plant, run, image) === 'on')) return true;
  const limitC = lowestBubbleC(plant, run) - noVapourBelowK;
  const vapourC = hottest(plant, image, 'vapour-temp').tempC;
  if (vapourC !== null && vapourC > limitC) return true;
  const boilerC = hottest(plant, image, 'boiler-temp').tempC;
  if (boilerC !== null) return boilerC > limitC;
  return run.phase !== 'idle' || (lastC(plant, image, 'boiler-temp') ?? 0) > limitC;
}

/** Highest last good value of the probes of a kind, however old [°C]. */
function lastC(plant: Plant, image: Image, kind: PointKind): number | null {
  let lastC: number | null = null;
  for (const id of pointNames(plant.still, kind)) {
    const value = image[id]?.value ?? null;
    if (value !== null && (lastC === null || value > lastC)) lastC = value;
  }
  return lastC;
}

interface Boiling {
  readonly pressureHPa: number;
  readonly tempC: number;
}
/** The last answer for each charge: the pressure moves every ten seconds, and this is asked several times a scan. */
const boiling = new WeakMap<Plant, Boiling>();

/** The lowest temperature at which this charge can boil now: its bubble point, or the lowest of any charge [°C]. */
export function lowestBubbleC(plant: Plant, run: Run): number {
  const pressureHPa = run.estimate.pressure.medianHPa ?? 1013.25;
  const known = boiling.get(plant);
  if (known?.pressureHPa === pressureHPa) return known.tempC;
  const tempC =
    plant.charge === null
      ? ethanolBoilingPointC(pressureHPa) - azeotropeUnderK
      : bubbleTempC(moleFractionFromAbv(plant.charge.strengthAbv), pressureHPa);
  boiling.set(plant, { pressureHPa, tempC });
  return tempC;
}

/** The azeotrope boils 0.1 to 0.2 K below ethanol. */
const azeotropeUnderK = 0.2;
