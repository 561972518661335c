import { trusted } from '../engine/reading';
import type { PointKind } from '../still/schema';
import { type AlarmContext, type AlarmRule, drivesOf, isDistilling, isUnderWay, quiet, unknown, when } from './rule';

const meters: readonly PointKind[] = ['collected-volume', 'receiver-volume', 'product-flow'];

/** The still boils, its vapour is at the head, and nothing comes out: it goes somewhere else, or nowhere. */
export const noDrip: AlarmRule = {
  id: 'no-drip',
  priority: 'critical',
  onDelayS: 10,
  offDelayS: 5,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: true,
  hazards: ['blocked-path', 'vapour-leak', 'stuck-valve', 'coolant-lost'],
  sees: ['product-flow', 'collected-volume', 'receiver-volume'],
  detectS: 420,
  instances: (plant) => (Object.values(plant.still.points).some((point) => meters.includes(point.kind)) ? [''] : []),
  judge: (context) => {
    const { plant, run, watch, now } = context;
    if (!isUnderWay(run) || !isDistilling(context, 180) || isRefluxTotal(context)) return quiet;
    for (const id in plant.still.points) {
      const kind = plant.still.points[id]?.kind;
      if (kind !== undefined && meters.includes(kind) && trusted(run.image[id]) === null) return unknown;
    }
    const sinceS = now - watch.drip.atS;
    const limitL = (plant.still.kind === 'column' ? 0.6 : 0.3) + 2 * plant.still.spout.holdUpL;
    const numbers = { expectedL: watch.drip.expectedL, limitL, sinceS };
    return when(sinceS >= 120 && watch.drip.expectedL >= limitL, 'no-drip', numbers);
  },
  example: {
    from: 'hearts',
    fires: ['collected-volume sticks'],
    withinS: 600,
    clears: ['heat-power 0'],
    clearsWithinS: 15,
  },
};

function isRefluxTotal({ plant, run }: AlarmContext): boolean {
  const shares = drivesOf(plant, 'take-off').map((id) => run.drives[id]?.value ?? 0);
  return shares.length > 0 ? shares.every((share) => share === 0) : plant.plan[run.step]?.step.takeOffShare === 0;
}
