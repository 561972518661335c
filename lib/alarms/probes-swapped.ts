import { hottest } from '../engine/hot';
import { movedBy } from './movement';
import { type AlarmContext, type AlarmRule, isDistilling, onceWith, pairedPoints, quiet, unknown, when } from './rule';

const overK = 4;
const overS = 180;

/** Vapour and boiler probe plugged in the wrong way round: the vapour cannot be hotter than what it rises from. */
export const probesSwapped: AlarmRule = {
  id: 'probes-swapped',
  priority: 'high',
  onDelayS: 30,
  offDelayS: 10,
  deadband: 2,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['lying-probe'],
  sees: ['vapour-temp', 'boiler-temp'],
  detectS: 240,
  instances: onceWith('vapour-temp', 'boiler-temp'),
  judge: (context) => {
    const { plant, run, watch, active } = context;
    const vapourC = hottest(plant, run.image, 'vapour-temp').tempC;
    const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
    if (vapourC === null || boilerC === null) return unknown;
    if (watch.heatSinceS === null && !active) return quiet;
    const hotter = vapourC - boilerC >= (active ? overK - 2 : overK);
    // Once found swapped they are so until they stand the other way round, heat or no heat.
    const on = hotter && (active || isDistilling(context, 60) || warmsLikeTheCharge(context, vapourC));
    return when(on, 'probes-swapped', { vapourC, boilerC });
  },
  doubts: pairedPoints,
  example: {
    from: 'heads',
    fires: ['vapour-temp 87.5', 'boiler-temp 79.5'],
    withinS: 60,
    clears: ['vapour-temp 80', 'boiler-temp 88'],
    clearsWithinS: 30,
  },
};

/** While heating up only the charge warms steadily; the head stays cold until vapour strikes it. */
function warmsLikeTheCharge({ watch, run }: AlarmContext, vapourC: number): boolean {
  if (run.phase !== 'heat-up' || vapourC > (watch.bubbleC ?? 80) - 3) return false;
  const vapourK = movedBy(watch, 'vapourC', overS);
  const halfK = movedBy(watch, 'vapourC', overS / 2);
  const boilerK = movedBy(watch, 'boilerC', overS);
  if (vapourK === null || halfK === null || boilerK === null) return false;
  return vapourK >= 1.5 && vapourK <= 25 && halfK >= 0.3 * vapourK && halfK <= 0.7 * vapourK && boilerK < 0.3 * vapourK;
}
