/** Tells when the process itself stood still: a frozen machine, a paused container, a debugger. */
export interface Pulse {
  /** Called at least once a second while the process lives. */
  beat(): void;
  /** When a message really may have come: what waited in a buffer while we stood still is as old as the standstill [monotonic ms]. */
  arrivalOf(arrivalMs: number): number;
  /** Whether what arrives now may have waited since before the standstill. */
  isDoubtful(): boolean;
}

/** A gap longer than this is a standstill, not a busy moment [ms]. */
const standstillMs = 5000;
/** How long after waking buffers are still being emptied [ms]. */
const emptyingMs = 1000;

export function createPulse(nowMs: () => number): Pulse {
  let lastMs = nowMs();
  let wokeMs = Number.NEGATIVE_INFINITY;
  let sinceMs = lastMs;
  const beat = (): void => {
    const now = nowMs();
    if (now - lastMs > standstillMs) {
      wokeMs = now;
      sinceMs = lastMs;
    }
    lastMs = now;
  };
  const isDoubtful = (): boolean => {
    beat();
    return lastMs - wokeMs < emptyingMs;
  };
  return { beat, isDoubtful, arrivalOf: (arrivalMs) => (isDoubtful() ? Math.min(arrivalMs, sinceMs) : arrivalMs) };
}
