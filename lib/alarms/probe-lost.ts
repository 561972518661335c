import type { PointKind } from '../still/schema';
import { type AlarmRule, when } from './rule';

/** Points that say something only now and then, or that nothing hangs on. */
const unwatched: readonly PointKind[] = [
  'attendance',
  'air-pressure',
  'room-temp',
  'coolant-in-temp',
  'coolant-out-temp',
];

/** A probe that was heard and is no more, or that a run needs and never was. */
export const probeLost: AlarmRule = {
  id: 'probe-lost',
  priority: 'high',
  onDelayS: 20,
  offDelayS: 5,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: ['idle'],
  suppressedBy: ['blind'],
  wakes: false,
  hazards: ['lying-probe'],
  sees: ['vapour-temp', 'boiler-temp', 'element-temp', 'product-temp', 'coolant-flow', 'boiler-pressure', 'vapour-gas'],
  detectS: 50,
  instances: (plant) =>
    Object.keys(plant.still.points).filter((id) => !unwatched.includes(plant.still.points[id]?.kind ?? 'attendance')),
  judge: ({ run, instance }) => {
    const seen = run.image[instance];
    const quality = seen?.quality ?? 'never';
    const on = quality === 'never' ? run.state === 'running' : quality !== 'good';
    return when(on, 'probe-lost', { point: instance, quality, fault: seen?.fault ?? quality });
  },
  example: {
    from: 'hearts',
    fires: ['vapour-temp not-a-number'],
    withinS: 30,
    clears: ['vapour-temp 85'],
    clearsWithinS: 15,
  },
};
