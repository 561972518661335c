import { type AlarmRule, quiet, when } from './rule';

/** The phase lasts longer than the recipe says it should. */
export const phaseTooLong: AlarmRule = {
  id: 'phase-too-long',
  priority: 'medium',
  onDelayS: 0,
  offDelayS: 0,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['off-course'],
  sees: [],
  detectS: 1,
  instances: () => [''],
  judge: ({ plant, run, now }) => {
    const limitS = plant.plan[run.step]?.step.maxS;
    if (run.state !== 'running' || limitS === undefined) return quiet;
    const inPhaseS = now - run.phaseSinceS;
    return when(inPhaseS > limitS, 'phase-too-long', { phase: run.phase, inPhaseS, limitS });
  },
  example: {
    from: 'heads',
    fires: ['vapour-temp stays'],
    withinS: 3700,
    clears: ['order cut'],
    clearsWithinS: 5,
  },
};

/** The run lasts longer than a run on this still should. */
export const runTooLong: AlarmRule = {
  id: 'run-too-long',
  priority: 'medium',
  onDelayS: 0,
  offDelayS: 0,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['off-course'],
  sees: [],
  detectS: 1,
  instances: () => [''],
  judge: ({ plant, run, watch, now }) => {
    if (run.startedAtS === null || run.phase === 'idle' || watch.heatSinceS === null) return quiet;
    const limitS = plant.still.runMaxS;
    const sinceS = now - run.startedAtS;
    return when(sinceS > limitS, 'run-too-long', { sinceS, limitS });
  },
  example: {
    from: 'hearts',
    fires: [],
    withinS: 11000,
    clears: ['order stop'],
    clearsWithinS: 5,
  },
};
