import type { ProbeWatch } from '../engine/types';
import { chargeHeatOf } from './content';
import { type AlarmContext, type AlarmRule, isUnderWay, pointsOf, quiet, when } from './rule';
import { besideC } from './watch-probes';

const leastS = 120;
/** How far the boiler must have moved for a vapour probe: a column keeps its head steady for hours. */
const vapourMovedK = { pot: 0.7, column: 4 } as const;
/** How far the boiling point of what is left must have moved for a boiler probe; it is reckoned up to a quarter too fast. */
const boilerMovedK = 2;

/**
 * A probe that gives the very same value while it must have moved: the heat warmed the charge, or the other of boiler
 * and vapour moved on. Steady readings alone prove nothing, least of all at a column's plateau.
 */
export const probeStuck: AlarmRule = {
  id: 'probe-stuck',
  priority: 'high',
  onDelayS: 10,
  offDelayS: 5,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['lying-probe'],
  sees: ['vapour-temp', 'boiler-temp'],
  detectS: 1200,
  instances: (plant) => [...pointsOf(plant, 'vapour-temp'), ...pointsOf(plant, 'boiler-temp')],
  judge: (context) => {
    const { run, watch, now, instance } = context;
    const probe = watch.probes[instance];
    if (probe === undefined || !isUnderWay(run)) return quiet;
    // Once found stuck it is stuck until it moves, heat or no heat.
    if (context.active) return when(now - probe.sameSinceS >= leastS, 'probe-stuck', numbersOf(context, probe));
    if (watch.heatSinceS === null || run.image[instance]?.quality !== 'good') return quiet;
    const sinceS = now - Math.max(probe.sameSinceS, watch.heatSinceS);
    // Readings must have come meanwhile: one old value is not the same value again and again.
    if (sinceS < leastS || probe.goodAtS - probe.sameSinceS < leastS) return quiet;
    const stepK = Math.max(0.125, 4 * (probe.stepK ?? context.plant.still.points[instance]?.resolution ?? 0.25));
    const stuck = mustHaveWarmed(context, probe, stepK) || besideMoved(context, probe, stepK);
    return when(stuck, 'probe-stuck', numbersOf(context, probe));
  },
  doubts: (_plant, instance) => [instance],
  example: {
    from: 'hearts',
    fires: ['vapour-temp sticks', 'boiler-temp rises 0.3 K/min'],
    withinS: 420,
    clears: ['vapour-temp 88'],
    clearsWithinS: 15,
  },
};

function numbersOf({ now, instance }: AlarmContext, probe: ProbeWatch) {
  return { point: instance, tempC: probe.value, sinceS: now - probe.sameSinceS };
}

/** Before it boils, the heat put in must show in the boiler. */
function mustHaveWarmed({ plant, run, watch, instance }: AlarmContext, probe: ProbeWatch, stepK: number): boolean {
  const capacityJPerK = chargeHeatOf(plant);
  if (plant.still.points[instance]?.kind !== 'boiler-temp' || capacityJPerK === null || watch.bubbleC === null)
    return false;
  if (run.phase !== 'heat-up' || probe.value > watch.bubbleC - 8) return false;
  const lossJ = plant.still.boilUp.lossW * (run.now - probe.sameSinceS);
  const warmedK = (run.estimate.produced.energyJ - probe.sameEnergyJ - lossJ) / capacityJPerK;
  return warmedK >= Math.max(2, stepK);
}

/** While it distils, what it must follow has moved on. */
function besideMoved(context: AlarmContext, probe: ProbeWatch, stepK: number): boolean {
  const { plant, run, watch, now, instance } = context;
  const point = plant.still.points[instance];
  if (point === undefined || probe.sameBesideC === null || watch.vapourSinceS === null) return false;
  // What moved before the vapour came says nothing about the head.
  if (probe.sameSinceS < watch.vapourSinceS || now - watch.vapourSinceS < leastS) return false;
  const beside = besideC(plant, run, point, watch.bubbleC);
  if (beside === null) return false;
  const neededK = point.kind === 'boiler-temp' ? boilerMovedK : vapourMovedK[plant.still.kind];
  return beside - probe.sameBesideC >= Math.max(neededK, stepK);
}
