/** Engine time: monotonic seconds times the speed, from where a run left off. Wall-clock jumps change nothing. To the millisecond: finer
 * times tell nothing and double the record. */
export interface EngineClock {
  now(): number;
  /** Engine time of a monotonic instant [ms], e.g. the arrival of a reading. */
  at(monotonicMs: number): number;
}

/**
 * @param speed engine seconds a second; 1 but for simulated stills
 * @param startS engine time to go on from [s]
 * @param monotonicMs monotonic milliseconds
 */
export function createClock(
  speed: number,
  startS: number,
  monotonicMs: () => number = () => performance.now(),
): EngineClock {
  const zeroMs = monotonicMs();
  const at = (instantMs: number): number => Math.round((startS + ((instantMs - zeroMs) / 1000) * speed) * 1e3) / 1e3;
  return { now: () => at(monotonicMs()), at };
}
