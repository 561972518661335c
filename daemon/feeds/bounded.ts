import { filter, type MonoTypeOperatorFunction } from 'rxjs';
import type { FeedReading } from './types';

/**
 * Lets through at most so many readings a second, with a reserve for bursts; a source gone wild must not starve the scan.
 *
 * @param overflowed called when readings begin to be dropped, once until it has been quiet again
 */
export function bounded(perS: number, reserve: number, overflowed: () => void): MonoTypeOperatorFunction<FeedReading> {
  let tokens = reserve;
  let lastMs: number | null = null;
  let isDropping = false;
  return filter((reading) => {
    tokens = Math.min(reserve, tokens + ((reading.arrivalMs - (lastMs ?? reading.arrivalMs)) / 1000) * perS);
    lastMs = reading.arrivalMs;
    if (tokens >= 1) {
      tokens -= 1;
      if (tokens > reserve / 2) isDropping = false;
      return true;
    }
    if (!isDropping) overflowed();
    isDropping = true;
    return false;
  });
}
