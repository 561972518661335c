import { trusted } from '../engine/reading';
import type { PointKind } from '../still/schema';
import { type AlarmRule, isAbove, pointsOf, quiet, when } from './rule';

const deadbandK = 0.5;
const kinds: readonly PointKind[] = ['vapour-temp', 'boiler-temp', 'element-temp', 'product-temp'];

/** Two probes for the same place that drift apart: one of them lies, and nothing tells which. */
export const probesDisagree: AlarmRule = {
  id: 'probes-disagree',
  priority: 'high',
  onDelayS: 60,
  offDelayS: 30,
  deadband: deadbandK,
  latched: false,
  interlock: null,
  suppressedIn: ['idle'],
  wakes: false,
  hazards: ['lying-probe'],
  sees: kinds,
  detectS: 90,
  instances: (plant) => kinds.filter((kind) => pointsOf(plant, kind).length >= 2),
  judge: ({ plant, run, instance, active }) => {
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    let accuracyK = 0;
    for (const id of pointsOf(plant, instance as PointKind)) {
      const value = trusted(run.image[id]);
      if (value === null) continue;
      accuracyK += plant.still.points[id]?.accuracy ?? 0.3;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
    if (!(high > low)) return quiet;
    const limitK = Math.max(1.5, 2 * accuracyK);
    const on = isAbove(high - low, limitK, deadbandK, active);
    return when(on, 'probes-disagree', { kind: instance, apartK: high - low, limitK });
  },
  doubts: (plant, instance) => pointsOf(plant, instance as PointKind),
  example: {
    from: 'hearts',
    still: 'twin-pot',
    fires: ['second-vapour-temp 91'],
    withinS: 90,
    clears: ['second-vapour-temp follows'],
    clearsWithinS: 45,
  },
};
