import { isHeatSteady, movedBy } from './movement';
import { type AlarmRule, isDistilling, onceWith, quiet, when } from './rule';

const overS = 180;
const leastRiseK = 1.5;
const leastFallK = 2;

/**
 * In a pot boiler and vapour climb together. A boiler that warms while the vapour fails has lost the liquid that made
 * it. Only in a pot and under steady heat: more reflux in a column, or less heat, gives the same picture.
 */
export const boilerRisesVapourFalls: AlarmRule = {
  id: 'boiler-rises-vapour-falls',
  priority: 'critical',
  onDelayS: 10,
  offDelayS: 60,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['bare-element'],
  sees: ['boiler-temp', 'vapour-temp'],
  detectS: 210,
  instances: (plant) => (plant.still.kind === 'pot' ? onceWith('boiler-temp', 'vapour-temp')(plant) : []),
  judge: (context) => {
    const { run, watch } = context;
    if (run.resume !== null || !isDistilling(context, 300) || !isHeatSteady(watch, overS + 30)) return quiet;
    const riseK = movedBy(watch, 'boilerC', overS);
    const movedK = movedBy(watch, 'vapourC', overS);
    if (riseK === null || movedK === null) return quiet;
    const on = riseK >= leastRiseK && movedK <= -leastFallK;
    return when(on, 'boiler-rises-vapour-falls', { riseK, fallK: -movedK, overS });
  },
  example: {
    from: 'hearts',
    fires: ['boiler-temp rises 0.8 K/min', 'vapour-temp falls 1.2 K/min'],
    withinS: 260,
    clears: ['boiler-temp stays', 'vapour-temp stays'],
    clearsWithinS: 300,
  },
};
