import { type AlarmRule, pointsOf } from './rule';

/** No barometer now: cuts go on by the last good value, or by the altitude where the still asks for that. */
export const airPressureLost: AlarmRule = {
  id: 'air-pressure-lost',
  priority: 'medium',
  onDelayS: 5,
  offDelayS: 5,
  latched: false,
  interlock: null,
  suppressedIn: ['idle'],
  wakes: false,
  hazards: ['air-pressure'],
  instances: (plant) => pointsOf(plant, 'air-pressure').slice(0, 1),
  judge: ({ run, instance }) => {
    const seen = run.image[instance];
    const { medianHPa, source } = run.estimate.pressure;
    const numbers = { point: instance, source, fault: seen?.fault ?? seen?.quality ?? 'never' };
    const reason = {
      code: 'alarm.air-pressure-lost',
      numbers: medianHPa === null ? numbers : { ...numbers, airPressureHPa: medianHPa },
    };
    if (seen === undefined || seen.quality === 'never') return { on: run.state === 'running', reason };
    return { on: seen.quality !== 'good', reason };
  },
  example: { fires: { 'air-pressure': 300 }, clears: { 'air-pressure': 990 } },
};
