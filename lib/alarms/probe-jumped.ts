import { type AlarmRule, quiet, when } from './rule';
import { isWatchedProbe } from './watch-probes';

const doubtedForS = 30;

/** A probe that leapt further than its place can change: a loose plug, a wet joint, another thing connected. */
export const probeJumped: AlarmRule = {
  id: 'probe-jumped',
  priority: 'high',
  onDelayS: 0,
  offDelayS: 0,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: ['idle'],
  wakes: false,
  hazards: ['lying-probe'],
  sees: ['vapour-temp', 'boiler-temp'],
  detectS: 5,
  instances: (plant) => Object.keys(plant.still.points).filter((id) => isWatchedProbe(plant.still.points[id])),
  judge: ({ run, watch, now, instance }) => {
    const probe = watch.probes[instance];
    if (probe?.jumpedAtS === null || probe === undefined || run.phase === 'idle') return quiet;
    const on = now - probe.jumpedAtS < doubtedForS;
    return when(on, 'probe-jumped', { point: instance, jumpK: probe.jumpK, tempC: probe.value });
  },
  doubts: (_plant, instance) => [instance],
  example: {
    from: 'hearts',
    fires: ['boiler-temp 71'],
    withinS: 5,
    clears: [],
    clearsWithinS: 40,
  },
};
