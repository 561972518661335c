import type { AlarmContext, AlarmRule } from './rule';
import { quiet, when } from './rule';

/** Time since somebody last answered at the still, while heat is on [s]; null while nobody needs to. */
function alone({ run, watch, now }: AlarmContext): number | null {
  if (watch.heatSinceS === null || run.state !== 'running') return null;
  return now - Math.max(run.attendedAtS ?? Number.NEGATIVE_INFINITY, run.startedAtS ?? now);
}

/** Nobody answered in the time the still allows: it is not left alone hot. */
export const nobodyThere: AlarmRule = {
  id: 'nobody-there',
  priority: 'critical',
  onDelayS: 0,
  offDelayS: 0,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['nobody-there'],
  sees: ['attendance'],
  detectS: 1200,
  detectsInS: (plant) => plant.still.attendanceS ?? 1200,
  instances: (plant) => (plant.still.attendanceS === undefined ? [] : ['']),
  judge: (context) => {
    const sinceS = alone(context);
    const limitS = context.plant.still.attendanceS ?? Number.POSITIVE_INFINITY;
    return sinceS === null ? quiet : when(sinceS >= limitS, 'nobody-there', { sinceS, limitS });
  },
  example: {
    from: 'hearts',
    fires: ['nobody answers'],
    withinS: 1260,
    clears: ['order attend'],
    clearsWithinS: 5,
  },
};

/** Shortly before: answer at the still, or the heat goes off. */
export const attendanceDue: AlarmRule = {
  id: 'attendance-due',
  priority: 'medium',
  onDelayS: 0,
  offDelayS: 0,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: [],
  suppressedBy: ['nobody-there'],
  wakes: false,
  hazards: ['nobody-there'],
  sees: ['attendance'],
  detectS: 1000,
  instances: (plant) => (plant.still.attendanceS === undefined ? [] : ['']),
  judge: (context) => {
    const sinceS = alone(context);
    const limitS = context.plant.still.attendanceS ?? Number.POSITIVE_INFINITY;
    if (sinceS === null) return quiet;
    const leftS = limitS - sinceS;
    return when(leftS <= Math.min(180, 0.2 * limitS), 'attendance-due', { sinceS, leftS: Math.max(0, leftS) });
  },
  example: {
    from: 'hearts',
    fires: ['nobody answers'],
    withinS: 1080,
    clears: ['order attend'],
    clearsWithinS: 5,
  },
};
