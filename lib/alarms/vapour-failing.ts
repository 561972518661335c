import { isFraction } from '../engine/course';
import { hottest, vapourThereC } from '../engine/hot';
import { isHeatSteady, movedBy } from './movement';
import { type AlarmContext, type AlarmRule, isDistilling, onceWith, quiet, when } from './rule';

const overS = 90;
const leastFallK = 4;
/** Heat on without a break this long must have brought vapour back [s]. */
const heatedS = 600;

/**
 * The heat is on and the vapour fails: there is nothing left to boil, or it goes somewhere else. In a pot the fall
 * itself tells; more reflux makes the same fall in a column, so there only a head that has gone cold does.
 */
export const vapourFailing: AlarmRule = {
  id: 'vapour-failing',
  priority: 'critical',
  onDelayS: 10,
  offDelayS: 10,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['bare-element', 'vapour-leak', 'blocked-path'],
  sees: ['vapour-temp'],
  detectS: 180,
  instances: onceWith('vapour-temp'),
  judge: (context) => {
    const { plant, run, watch, now } = context;
    if (run.resume !== null || run.state !== 'running' || !isFraction(run.phase) || watch.heatSinceS === null)
      return quiet;
    const vapourC = hottest(plant, run.image, 'vapour-temp').tempC;
    const cold = vapourC !== null && vapourC < vapourThereC && now - watch.heatSinceS >= heatedS;
    if (cold) return when(true, 'vapour-gone', { vapourC, sinceS: now - watch.heatSinceS });
    const fallK = plant.still.kind === 'pot' ? fall(context) : null;
    return fallK === null ? quiet : when(fallK >= leastFallK, 'vapour-failing', { vapourC, fallK, overS });
  },
  example: {
    from: 'hearts',
    fires: ['vapour-temp falls 5 K/min until 70'],
    withinS: 150,
    clears: ['vapour-temp stays'],
    clearsWithinS: 180,
  },
};

/** How far the vapour fell under steady heat while the boiler did not cool, and falls on [K]; null where it cannot be told. */
function fall(context: AlarmContext): number | null {
  const { watch } = context;
  if (!isDistilling(context, 300) || !isHeatSteady(watch, overS + 60)) return null;
  if ((movedBy(watch, 'boilerC', overS) ?? 0) < -0.5) return null;
  const fallK = -(movedBy(watch, 'vapourC', overS) ?? 0);
  const stillFallsK = -(movedBy(watch, 'vapourC', 30) ?? 0);
  return stillFallsK >= 1 ? fallK : null;
}
