import { statfsSync } from 'node:fs';
import type { OwnAlarms } from './own-alarms';

/** A clock that was put by less than this is one that keeps time by the network [ms]. */
const leastJumpMs = 5000;

/**
 * Watches the clock on the wall against the monotonic one: nothing goes by it, but times in the record do.
 *
 * @returns to be called every turn
 */
export function watchClock(ownAlarms: Pick<OwnAlarms, 'happened'>, wallClockMs: () => number, nowMs: () => number) {
  let offsetMs = wallClockMs() - nowMs();
  return (): void => {
    const now = wallClockMs() - nowMs();
    const jumpedMs = now - offsetMs;
    // Slewed by the network it drifts and never jumps: followed, so that hours of it do not add up to one.
    offsetMs = now;
    if (Math.abs(jumpedMs) < leastJumpMs) return;
    ownAlarms.happened('clock-jumped', { code: 'alarm.clock-jumped', numbers: { byS: jumpedMs / 1000 } });
  };
}

const lookEveryMs = 30_000;
/** Below this much and this share the disk is nearly full: a run writes some megabytes. */
const leastFreeBytes = 200e6;
const leastFreePercent = 5;

/** How much of a disk is free. */
export interface DiskRoom {
  readonly freeBytes: number;
  readonly freePercent: number;
}

/** Free room where the record lies; null where the system does not tell. */
export function roomAt(folder: string): DiskRoom | null {
  try {
    const { bavail, blocks, bsize } = statfsSync(folder);
    return blocks > 0 ? { freeBytes: bavail * bsize, freePercent: (100 * bavail) / blocks } : null;
  } catch {
    return null;
  }
}

/**
 * Watches the room on the disk, so that somebody makes some before the record fails.
 *
 * @returns to be called every turn
 */
export function watchDisk(ownAlarms: Pick<OwnAlarms, 'set'>, room: () => DiskRoom | null, nowMs: () => number) {
  let lookedMs = Number.NEGATIVE_INFINITY;
  return (): void => {
    if (nowMs() - lookedMs < lookEveryMs) return;
    lookedMs = nowMs();
    const found = room();
    const isLow = found !== null && found.freeBytes < leastFreeBytes && found.freePercent < leastFreePercent;
    const reason = { code: 'alarm.disk-nearly-full', numbers: { freePercent: found?.freePercent ?? 0 } };
    ownAlarms.set('disk-nearly-full', isLow ? reason : null);
  };
}
