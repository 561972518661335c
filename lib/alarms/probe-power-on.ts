import { type AlarmRule, quiet, when } from './rule';
import { isWatchedProbe } from './watch-probes';

/**
 * A digital thermometer gives 85.000 °C when it has just been powered and has measured nothing. A still can really have
 * 85 °C, so it is doubted only when it did not come there step by step, and for as long as it stays there to the last digit.
 */
export const probePowerOn: AlarmRule = {
  id: 'probe-power-on',
  priority: 'high',
  onDelayS: 3,
  offDelayS: 0,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: ['idle'],
  wakes: false,
  hazards: ['lying-probe'],
  sees: ['vapour-temp', 'boiler-temp'],
  detectS: 10,
  instances: (plant) => Object.keys(plant.still.points).filter((id) => isWatchedProbe(plant.still.points[id])),
  judge: ({ watch, now, instance }) => {
    const sinceS = watch.probes[instance]?.powerOnSinceS ?? null;
    if (sinceS === null) return quiet;
    return when(true, 'probe-power-on', { point: instance, sinceS: now - sinceS });
  },
  doubts: (_plant, instance) => [instance],
  example: {
    from: 'heads',
    fires: ['vapour-temp 85'],
    withinS: 10,
    clears: ['vapour-temp 80.2'],
    clearsWithinS: 10,
  },
};
