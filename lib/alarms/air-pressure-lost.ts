import { type AlarmRule, pointsOf, when } from './rule';

/** No barometer now: cuts go on by the last good value, or by the altitude where the still asks for that. */
export const airPressureLost: AlarmRule = {
  id: 'air-pressure-lost',
  priority: 'medium',
  onDelayS: 5,
  offDelayS: 5,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: ['idle'],
  suppressedBy: ['blind'],
  wakes: false,
  hazards: ['wrong-pressure'],
  sees: ['air-pressure'],
  detectS: 930,
  instances: (plant) => pointsOf(plant, 'air-pressure').slice(0, 1),
  judge: ({ run, instance }) => {
    const seen = run.image[instance];
    const quality = seen?.quality ?? 'never';
    const { medianHPa, source } = run.estimate.pressure;
    const on = quality === 'never' ? run.state === 'running' : quality !== 'good';
    const numbers = {
      point: instance,
      source: source === 'held' ? 'last-good' : source,
      fault: seen?.fault ?? quality,
      airPressureHPa: medianHPa,
    };
    return when(on, 'air-pressure-lost', numbers);
  },
  example: {
    from: 'hearts',
    fires: ['air-pressure 300'],
    withinS: 20,
    clears: ['air-pressure 962'],
    clearsWithinS: 30,
  },
};
