import { type AlarmRule, quiet, when } from './rule';

const limitS = 30;

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
    return when(sinceS >= limitS, 'blind', { sinceS: Math.min(sinceS, 1e7) });
  },
  example: {
    from: 'hearts',
    fires: ['all silent'],
    withinS: 40,
    clears: ['all speak'],
    clearsWithinS: 15,
  },
};
