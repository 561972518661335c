import { isFraction } from '../engine/course';
import { isAboveBoiler } from '../engine/hot';
import { pointOf, valueOfKind } from '../engine/image';
import { valueAt } from '../engine/line';
import { movedBy } from './movement';
import { type AlarmContext, type AlarmRule, isDistilling, onceWith, quiet, when } from './rule';

const usualJumpK = 4;
const strengthFall = 0.08;

/** Liquid carried over with the vapour: the vapour leaps by several kelvin, or the parrot falls, in seconds. */
export const puking: AlarmRule = {
  id: 'puking',
  priority: 'high',
  onDelayS: 0,
  offDelayS: 90,
  deadband: 0,
  latched: false,
  interlock: 'heat-reduce',
  suppressedIn: [],
  wakes: false,
  hazards: ['puking'],
  sees: ['vapour-temp', 'parrot-strength'],
  detectS: 15,
  instances: onceWith('vapour-temp'),
  judge: (context) => {
    const { plant, run } = context;
    if (!isFraction(run.phase) || run.state !== 'running' || run.resume !== null) return quiet;
    if (!isDistilling(context, 300)) return quiet;
    const jumpK = leaptBy(context);
    const limitK = plant.recipe?.surgeGuard?.pukeK ?? usualJumpK;
    if (jumpK >= limitK) return when(true, 'puking', { jumpK, limitK });
    const fell = parrotFell(context);
    return when(fell >= strengthFall, 'puking-parrot', { fellVolPercent: 100 * fell, overS: 60 });
  },
  example: {
    from: 'hearts',
    fires: ['vapour-temp 88.5'],
    withinS: 15,
    clears: ['vapour-temp 86'],
    clearsWithinS: 150,
  },
};

/** A leap that is older than this is no leap any more [s]. */
const freshS = 20;

/**
 * How far the vapour has leapt: its line was begun anew just now, because three readings in a row stood off it, and
 * stands that much above what was read before [K]. A spike or two leave the line as it is; a probe that is doubted,
 * swapped with the boiler's or lying, tells of no leap.
 */
function leaptBy({ plant, run, watch, now }: AlarmContext): number {
  const point = pointOf(plant, 'vapour-temp');
  if (point === null || watch.doubted[point.id] !== undefined) return 0;
  const line = run.estimate.lines[point.id];
  if (line === undefined || now - line.sinceS > freshS) return 0;
  const vapourC = valueAt(line, now).value;
  if (isAboveBoiler(plant, run.image, vapourC)) return 0;
  const before = watch.samples.findLast((sample) => sample.atS < line.sinceS && sample.vapourC !== null);
  return before?.vapourC == null || now - before.atS > 60 ? 0 : vapourC - before.vapourC;
}

/** How much the parrot has fallen in a minute [strength]; 0 where there is none. */
function parrotFell({ plant, run, watch }: AlarmContext): number {
  if (valueOfKind(plant, run.image, 'parrot-strength') === null) return 0;
  return -(movedBy(watch, 'strengthAbv', 60) ?? 0);
}
