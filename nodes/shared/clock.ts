/** Engine time of one still: monotonic seconds times the speed, from where a run left off. A change of the wall clock changes nothing. */
export interface StillClock {
  readonly speed: number;
  nowS(): number;
  /** ISO time at which a moment of the engine was, by the wall clock of now. */
  iso(atS: number): string;
}

/**
 * @param speed engine seconds a second; above 1 for simulated stills only
 * @param startS engine time to go on from [s]
 */
export function createStillClock(
  speed: number,
  startS: number,
  monotonicMs: () => number,
  wallMs: () => number,
): StillClock {
  const zeroMs = monotonicMs();
  const nowS = () => Math.round((startS + ((monotonicMs() - zeroMs) / 1000) * speed) * 1e6) / 1e6;
  return {
    speed,
    nowS,
    iso: (atS) => new Date(wallMs() - ((nowS() - atS) / speed) * 1000).toISOString(),
  };
}
