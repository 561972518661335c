import type { PointKind } from '../still/schema';
import type { AlarmRule } from './rule';

const watched: readonly PointKind[] = [
  'vapour-temp',
  'boiler-temp',
  'element-temp',
  'product-temp',
  'coolant-flow',
  'parrot-strength',
];

/** A probe that was heard and is no more, or that a run needs and never was. */
export const probeLost: AlarmRule = {
  id: 'probe-lost',
  priority: 'high',
  onDelayS: 5,
  offDelayS: 5,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['lying-probe'],
  instances: (plant) => Object.keys(plant.still.points).filter((id) => watched.includes(plant.still.points[id]!.kind)),
  judge: ({ run, instance }) => {
    const seen = run.image[instance];
    const quality = seen?.quality ?? 'never';
    const reason = { code: 'alarm.probe-lost', numbers: { point: instance, quality, fault: seen?.fault ?? quality } };
    if (quality === 'never') return { on: run.state === 'running', reason };
    return { on: quality !== 'good', reason };
  },
  example: { fires: { 'vapour-temp': Number.NaN }, clears: { 'vapour-temp': 80 } },
};
