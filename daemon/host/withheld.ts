import type { Command } from '../../lib/engine/types';
import type { StillHost } from './still-host';

export interface Withheld {
  readonly still: StillHost;
  readonly command: Command;
  /** Since when this drive is not at what the run believes [ms]. */
  readonly sinceMs: number;
}

/** Commands that may not leave because what they rest on could not be written down, one a drive, in the order they were due. */
export interface WithheldCommands {
  add(still: StillHost, command: Command, nowMs: number): void;
  /** A newer word went to the drive: what was kept back for it is void. */
  drop(still: StillHost, drive: string): void;
  has(still: StillHost, drive: string): boolean;
  /** All of them, and none are left. */
  takeAll(): readonly Withheld[];
  /** Stills with a drive that has waited longer than this. */
  overdue(nowMs: number, afterMs: (still: StillHost) => number): ReadonlySet<StillHost>;
}

export function createWithheld(): WithheldCommands {
  const waiting = new Map<string, Withheld>();
  const keyOf = (still: StillHost, drive: string) => `${still.still.id}/${drive}`;
  return {
    add(still, command, nowMs) {
      const key = keyOf(still, command.drive);
      const before = waiting.get(key);
      if (before !== undefined && command.repeat) return;
      waiting.delete(key);
      waiting.set(key, { still, command, sinceMs: before?.sinceMs ?? nowMs });
    },
    drop: (still, drive) => {
      waiting.delete(keyOf(still, drive));
    },
    has: (still, drive) => waiting.has(keyOf(still, drive)),
    takeAll() {
      const all = [...waiting.values()];
      waiting.clear();
      return all;
    },
    overdue: (nowMs, afterMs) =>
      new Set(
        [...waiting.values()]
          .filter(({ still, sinceMs }) => nowMs - sinceMs > afterMs(still))
          .map(({ still }) => still),
      ),
  };
}
