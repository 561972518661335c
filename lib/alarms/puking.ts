import { isFraction } from '../engine/course';
import { valueOfKind } from '../engine/image';
import { jumpOf } from '../engine/phase';
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
    const jumpK = jumpOf(plant, run);
    const limitK = plant.recipe?.surgeGuard?.pukeK ?? usualJumpK;
    if (jumpK >= limitK) return when(true, 'puking', { jumpK, limitK });
    const fell = parrotFell(context);
    return when(fell >= strengthFall, 'puking-parrot', { fellVolPercent: 100 * fell, overS: 60 });
  },
  example: {
    from: 'hearts',
    fires: ['vapour-temp 93'],
    withinS: 15,
    clears: ['vapour-temp 86'],
    clearsWithinS: 150,
  },
};

/** How much the parrot has fallen in a minute [strength]; 0 where there is none. */
function parrotFell({ plant, run, watch }: AlarmContext): number {
  if (valueOfKind(plant, run.image, 'parrot-strength') === null) return 0;
  return -(movedBy(watch, 'strengthAbv', 60) ?? 0);
}
