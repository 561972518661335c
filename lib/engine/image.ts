import type { PointKind } from '../still/schema';
import { age, judge, neverSeen, trusted } from './reading';
import type { Event, Image, Input, Named, Plant, Point, Seen } from './types';

/** Freezes what every point shows at this scan. Readings of points the still does not have are passed over. */
export function takeImage(plant: Plant, before: Image, input: Input): { image: Image; events: Event[] } {
  const points = plant.still.points;
  const next: Record<string, Seen> = {};
  for (const id in points) next[id] = before[id] ?? neverSeen;
  for (const reading of input.readings) {
    const point = Object.hasOwn(points, reading.point) ? points[reading.point] : undefined;
    const seen = next[reading.point];
    if (point !== undefined && seen !== undefined) next[reading.point] = judge(point, seen, reading, input.now);
  }
  const events: Event[] = [];
  for (const id in points) {
    const point = points[id];
    const judged = next[id];
    if (point === undefined || judged === undefined) continue;
    const seen = age(point, judged, input.now);
    next[id] = seen;
    const was = before[id]?.quality ?? 'never';
    if (seen.quality !== was) events.push(qualityEvent(id, seen, input.now));
  }
  return { image: next, events };
}

function qualityEvent(point: string, seen: Seen, now: number): Event {
  const numbers = seen.fault === null ? { point } : { point, fault: seen.fault };
  return {
    kind: 'quality',
    atS: now,
    point,
    quality: seen.quality,
    reason: { code: `quality.${seen.quality}`, numbers },
  };
}

/** First point of a kind, by the order in the still; null where there is none. */
export function pointOf(plant: Plant, kind: PointKind): Named<Point> | null {
  const points = plant.still.points;
  for (const id in points) {
    const point = points[id];
    if (point?.kind === kind) return { ...point, id };
  }
  return null;
}

/** Trusted value of the first point of a kind that has one now; null otherwise. */
export function valueOfKind(plant: Plant, image: Image, kind: PointKind): number | null {
  const points = plant.still.points;
  for (const id in points) {
    if (points[id]?.kind !== kind) continue;
    const value = trusted(image[id]);
    if (value !== null) return value;
  }
  return null;
}
