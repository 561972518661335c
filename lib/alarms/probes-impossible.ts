import { hottest } from '../engine/hot';
import { ethanolBoilingPointC } from '../physics';
import type { PointKind } from '../still/schema';
import {
  type AlarmContext,
  type AlarmRule,
  isDistilling,
  onceWith,
  pairedPoints,
  pointsOf,
  quiet,
  unknown,
  when,
} from './rule';

const vapourOverK = 1.5;
const boilerUnderK = 4;
const deadbandK = 0.5;

/**
 * Boiler and vapour cannot both be right at this pressure: vapour is never hotter than the liquid it rises from, and
 * nothing of ethanol and water boils below the azeotrope.
 */
export const probesImpossible: AlarmRule = {
  id: 'probes-impossible',
  priority: 'high',
  onDelayS: 60,
  offDelayS: 10,
  deadband: deadbandK,
  latched: false,
  interlock: null,
  suppressedIn: [],
  suppressedBy: ['probes-swapped'],
  wakes: false,
  hazards: ['lying-probe'],
  sees: ['vapour-temp', 'boiler-temp'],
  detectS: 120,
  instances: onceWith('vapour-temp', 'boiler-temp'),
  judge: (context) => {
    const { plant, run, active } = context;
    if (!active && (!isDistilling(context, 120) || run.resume !== null)) return quiet;
    const vapourC = hottest(plant, run.image, 'vapour-temp').tempC;
    const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
    if (vapourC === null || boilerC === null) return unknown;
    const ease = active ? deadbandK : 0;
    if (vapourC - boilerC >= toleranceK(context) - ease) return when(true, 'probes-impossible', { vapourC, boilerC });
    const lowestC = ethanolBoilingPointC(run.estimate.pressure.medianHPa ?? 1013.25) - boilerUnderK;
    const on = boilerC <= lowestC + ease && vapourC >= lowestC - 2 && isDistilling(context, 120);
    return when(on, 'probes-impossible-boiler', { vapourC, boilerC, lowestC });
  },
  doubts: pairedPoints,
  example: {
    from: 'hearts',
    fires: ['vapour-temp 87', 'boiler-temp 84.8'],
    withinS: 90,
    clears: ['vapour-temp 84', 'boiler-temp 90'],
    clearsWithinS: 30,
  },
};

/** What the two probes may differ by for all we know of them [K]. */
function toleranceK({ plant }: AlarmContext): number {
  const worst = (kind: PointKind) =>
    Math.max(0, ...pointsOf(plant, kind).map((id) => plant.still.points[id]?.accuracy ?? 0.5));
  return vapourOverK + worst('vapour-temp') + worst('boiler-temp');
}
