import type { Plant } from '../engine/types';
import { type AlarmRule, drivesOf, when } from './rule';

const usualLimitS = 30;

/** After this gap the heat device has switched off by itself, or should have [s]. */
function limitOf(plant: Plant): number {
  const times = drivesOf(plant, 'heat').map((id) => plant.still.drives[id]?.deadManS ?? usualLimitS);
  return Math.max(10, Math.min(usualLimitS, ...times));
}

/** The program stood still longer than the heat may go untended. It comes back held: heat that returns by itself is heat nobody ordered. */
export const scanStopped: AlarmRule = {
  id: 'scan-stopped',
  priority: 'high',
  onDelayS: 0,
  offDelayS: 0,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['link-lost'],
  sees: [],
  detectS: 1,
  instances: (plant) => (drivesOf(plant, 'heat').length > 0 ? [''] : []),
  judge: ({ plant, run, watch, now }) => {
    const limitS = limitOf(plant);
    const heated = drivesOf(plant, 'heat').some((id) => (run.drives[id]?.value ?? 0) !== 0);
    const on = heated && watch.lateAtS === now && watch.lateS >= limitS;
    return when(on, 'scan-stopped', { lateS: watch.lateS, limitS });
  },
  example: {
    from: 'hearts',
    fires: ['clock leaps 90 s'],
    withinS: 5,
    clears: [],
    clearsWithinS: 5,
  },
};

/** Scans come late: the computer is too busy, and every protection is as late as they are. */
export const scanLate: AlarmRule = {
  id: 'scan-late',
  priority: 'medium',
  onDelayS: 0,
  offDelayS: 60,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: ['idle'],
  wakes: false,
  hazards: ['link-lost'],
  sees: [],
  detectS: 6,
  instances: () => [''],
  judge: ({ watch, now }) => when(watch.lateAtS === now, 'scan-late', { lateS: watch.lateS }),
  example: {
    from: 'hearts',
    fires: ['clock leaps 8 s'],
    withinS: 2,
    clears: [],
    clearsWithinS: 65,
  },
};
