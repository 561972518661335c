import type { Kept, RunDetail } from '../store';

/** Wall time of a moment of a run, for people only [ms since 1970]. */
export type WallClock = (atS: number) => number;

interface Anchor {
  readonly atS: number;
  readonly atMs: number;
}

/**
 * Wall clock of a run: the run's own time, from its start and from every restart on, divided by its speed. A clock that
 * was set meanwhile is not known of.
 */
export function wallClockOf(
  run: Pick<RunDetail, 'startedAtMs' | 'about' | 'initial'>,
  decisions: readonly Kept[],
): WallClock {
  const speed = speedOf(run.about);
  const anchors: Anchor[] = [{ atS: run.initial.now, atMs: run.startedAtMs }];
  let continuedAtMs: number | null = null;
  for (const kept of decisions) {
    if (kept.kind === 'mark') {
      if (kept.mark.mark === 'continued') continuedAtMs = kept.mark.atMs;
    } else if (continuedAtMs !== null) {
      // The mark stands before a scan, and its decision is the nearest moment that has a time.
      anchors.push({ atS: kept.decision.atS, atMs: continuedAtMs });
      continuedAtMs = null;
    }
  }
  return (atS) => {
    const anchor = anchors.findLast((one) => one.atS <= atS) ?? anchors[0]!;
    return anchor.atMs + ((atS - anchor.atS) / speed) * 1000;
  };
}

/** How many times as fast as life a run went: 1 unless it was simulated. */
export function speedOf(about: RunDetail['about']): number {
  const { speed } = about;
  return typeof speed === 'number' && Number.isFinite(speed) && speed > 0 ? speed : 1;
}
