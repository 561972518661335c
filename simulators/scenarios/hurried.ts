import type { StillDocument } from '../../lib/still/schema';

/** Wall seconds that a busy machine may take for what a still does at once. */
const hurriedS = 90;

/**
 * A still for fast time: at ninety times life a tenth of a second of a busy machine is nine seconds of the still. So
 * readings go stale, dead-mans cut and valves prove themselves later than they would in life.
 */
export function hurried(still: StillDocument): StillDocument {
  const slower = <T extends object>(items: Readonly<Record<string, T>> | undefined, change: (item: T) => T) =>
    Object.fromEntries(Object.entries(items ?? {}).map(([id, item]) => [id, change(item)]));
  return {
    ...still,
    scanLateS: hurriedS,
    points: slower(still.points, (point) => ({ ...point, staleAfterS: Math.max(hurriedS, point.staleAfterS ?? 0) })),
    drives: slower(still.drives, (drive) => ({
      ...drive,
      answerS: hurriedS,
      ttlS: hurriedS,
      ...(drive.deadManS === undefined ? {} : { deadManS: hurriedS }),
    })),
  };
}
