import { staleAfterS } from '../engine/reading';
import type { Plant } from '../engine/types';
import { type AlarmRule, quiet, when } from './rule';

const usualLimitS = 30;

/** Not before the readings of every point would be stale: a still in fast time is given as long. */
function limitOf(plant: Plant): number {
  const patienceS = Math.min(...Object.values(plant.still.points).map(staleAfterS));
  return Math.max(usualLimitS, patienceS);
}

/** Nothing at all is heard of the still while it is heated: the link or its broker is gone. */
export const blind: AlarmRule = {
  id: 'blind',
  priority: 'critical',
  onDelayS: 0,
  offDelayS: 5,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: true,
  hazards: ['link-lost'],
  sees: [],
  detectS: 31,
  instances: (plant) => (Object.keys(plant.still.points).length === 0 ? [] : ['']),
  judge: ({ plant, run, watch, now, active }) => {
    if (watch.heatSinceS === null && !active) return quiet;
    let heardAtS = watch.heatSinceS ?? Number.NEGATIVE_INFINITY;
    for (const id in plant.still.points) heardAtS = Math.max(heardAtS, run.image[id]?.atS ?? heardAtS);
    const sinceS = now - heardAtS;
    return when(sinceS >= limitOf(plant), 'blind', { sinceS: Math.min(sinceS, 1e7) });
  },
  example: {
    from: 'hearts',
    fires: ['all silent'],
    withinS: 40,
    clears: ['all speak'],
    clearsWithinS: 15,
  },
};
