import type { Run, Watch } from '../engine/types';
import type { PointKind } from '../still/schema';
import { type AlarmRule, has, pointsOf, quiet, when } from './rule';

/** What protects the still. A run whose recipe needs the vapour probe is held for it sooner, and without a trip. */
const protecting: readonly PointKind[] = [
  'boiler-temp',
  'element-temp',
  'vapour-temp',
  'product-temp',
  'coolant-flow',
  'boiler-pressure',
  'boiler-level',
  'vapour-gas',
];

/** No probe of a kind that protects this still can be trusted: it is not distilled blind. */
export const protectionLost: AlarmRule = {
  id: 'protection-lost',
  priority: 'critical',
  onDelayS: 0,
  offDelayS: 5,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  suppressedBy: ['blind'],
  wakes: false,
  hazards: ['lying-probe', 'link-lost'],
  sees: protecting,
  detectS: 90,
  instances: (plant) => protecting.filter((kind) => has(plant, kind)),
  judge: ({ plant, run, watch, now, instance, active }) => {
    if (watch.heatSinceS === null && !active) return quiet;
    let shortestS = Number.POSITIVE_INFINITY;
    let worst = '';
    for (const point of pointsOf(plant, instance as PointKind)) {
      const missingS = now - untrustedSince(run, watch, point, now);
      if (missingS < shortestS) worst = point;
      shortestS = Math.min(shortestS, missingS);
    }
    const graceS = plant.still.graceS + (instance === 'vapour-temp' ? 30 : 0);
    return when(shortestS > 0 && shortestS >= graceS, 'protection-lost', { point: worst, sinceS: shortestS, graceS });
  },
  example: {
    from: 'hearts',
    fires: ['boiler-temp silent'],
    withinS: 90,
    clears: ['boiler-temp 90'],
    clearsWithinS: 15,
  },
};

/** Since when a point gives nothing to go by: no good reading, or one that is doubted [s]; now where it is sound. */
function untrustedSince(run: Run, watch: Watch, point: string, now: number): number {
  const seen = run.image[point];
  const doubtedS = watch.doubted[point] ?? now;
  if (seen?.quality === 'good') return doubtedS;
  return Math.min(doubtedS, seen?.badSinceS ?? watch.heatSinceS ?? now);
}
