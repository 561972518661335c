import { filter, type MonoTypeOperatorFunction } from 'rxjs';
import type { FeedReading } from './types';

/** While a source floods, that is said again so often, so that whoever hears it knows that it goes on [ms]. */
const sayEveryMs = 10_000;

/**
 * Lets through at most so many readings a second, with a reserve for bursts; a source gone wild must not starve the scan.
 *
 * @param perS readings a second
 * @param reserve readings at once after a quiet time
 * @param flooding called with the first reading that is dropped, and every ten seconds while more are
 */
export function bounded(perS: number, reserve: number, flooding: () => void): MonoTypeOperatorFunction<FeedReading> {
  let tokens = reserve;
  let lastMs: number | null = null;
  let saidMs: number | null = null;
  return filter(({ arrivalMs }) => {
    tokens = Math.min(reserve, tokens + ((arrivalMs - (lastMs ?? arrivalMs)) / 1000) * perS);
    lastMs = arrivalMs;
    if (tokens >= 1) {
      tokens -= 1;
      return true;
    }
    if (saidMs === null || arrivalMs - saidMs >= sayEveryMs) {
      saidMs = arrivalMs;
      flooding();
    }
    return false;
  });
}
