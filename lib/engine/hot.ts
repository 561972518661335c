import { bubbleTempC, moleFractionFromAbv, waterBoilingPointC } from '../physics';
import { heatSources } from '../still/schema';
import { pointOf, valueOfKind } from './image';
import { trusted } from './reading';
import type { Image, Plant, Run } from './types';

export const hotBoilerC = 60;
/** The air path stays open until the still is below this. */
export const coldC = 40;

type Heat = 'on' | 'off' | 'unproven';

/** Power below which a heat source counts as off, as a share of its rating. */
const offShare = 0.03;

/** Whether heat goes in: by what the drives report or the power drawn, else by our own command and its age. */
export function heatState(plant: Plant, run: Run, image: Image): Heat {
  let unproven = false;
  for (const id in plant.still.drives) {
    const drive = plant.still.drives[id];
    if (drive?.kind !== 'heat') continue;
    const memory = run.drives[id];
    if (memory !== undefined && typeof memory.value === 'number' && memory.value > 0) return 'on';
    const reported = drive.reported === undefined ? null : trusted(image[drive.reported]);
    if (reported !== null && reported > 0) return 'on';
    const power = powerOf(plant, image, id);
    if (power !== null && power > offShare * drive.ratedW) return 'on';
    if (memory === undefined && reported === null && power === null) unproven = true;
  }
  return unproven ? 'unproven' : 'off';
}

/** Power drawn by one heat drive, where a point measures it [W]. */
export function powerOf(plant: Plant, image: Image, drive: string): number | null {
  const points = plant.still.points;
  for (const id in points) {
    const point = points[id];
    if (point?.kind === 'heat-power' && (point.drive ?? drive) === drive) return trusted(image[id]);
  }
  return null;
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
  return Object.values(plant.still.drives).some((drive) => drive.kind === 'heat');
}

/** Whether vapour may still come: heat on or not proven off, run-on not over. */
export function isDriven(plant: Plant, run: Run, image: Image): boolean {
  if (heatState(plant, run, image) !== 'off') return true;
  return run.heatAtS !== null && run.now - run.heatAtS < runOnS(plant);
}

/**
 * Hot: heat commanded or not proven off, run-on not over, or boiler above 60 °C or unknown. A still that never was hot
 * since we watch, has no run and no heat we know of, and no boiler probe, is not held to be hot for want of a probe.
 */
export function isHot(plant: Plant, run: Run, image: Image): boolean {
  if (hasHeat(plant) && isDriven(plant, run, image)) return true;
  const point = pointOf(plant, 'boiler-temp');
  const boilerC = point === null ? null : trusted(image[point.id]);
  if (boilerC !== null) return boilerC > hotBoilerC;
  if (point !== null) return true;
  const vapourC = valueOfKind(plant, image, 'vapour-temp');
  if (vapourC !== null && vapourC > hotBoilerC) return true;
  return run.startedAtS !== null && run.phase !== 'idle';
}

/**
 * Whether coolant must run: while heat is not proven off, during the run-on, and until the boiler is 15 K below its
 * bubble point. Unknown means on.
 */
export function needsCoolant(plant: Plant, run: Run, image: Image): boolean {
  if (isDriven(plant, run, image) && (run.phase !== 'idle' || heatState(plant, run, image) === 'on')) return true;
  const point = pointOf(plant, 'boiler-temp');
  if (point === null) return run.phase !== 'idle';
  const boilerC = trusted(image[point.id]);
  if (boilerC === null) return run.phase !== 'idle';
  return boilerC > lowestBubbleC(plant, run) - 15;
}

/** The lowest temperature at which the charge can boil now: its bubble point, or water's without a charge [°C]. */
function lowestBubbleC(plant: Plant, run: Run): number {
  const pressureHPa = run.estimate.pressure.medianHPa ?? 1013.25;
  return plant.charge === null
    ? waterBoilingPointC(pressureHPa) - 10
    : bubbleTempC(moleFractionFromAbv(plant.charge.strengthAbv), pressureHPa);
}
