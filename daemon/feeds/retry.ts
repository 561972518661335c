import { type MonoTypeOperatorFunction, retry, timer } from 'rxjs';

export interface Backoff {
  readonly firstMs: number;
  readonly lastMs: number;
}
export const usualBackoff: Backoff = { firstMs: 1000, lastMs: 30_000 };

/** The pause before try number `attempt`, counted from 1: doubles up to the last [ms]. */
export function pauseMs(attempt: number, backoff: Backoff): number {
  return Math.min(backoff.lastMs, backoff.firstMs * 2 ** Math.min(attempt - 1, 16));
}

/** Begins again after a failure, with growing pauses; a value that came through starts the counting anew. */
export function retryWithBackoff<T>(
  backoff: Backoff,
  failed: (error: unknown, attempt: number) => void,
): MonoTypeOperatorFunction<T> {
  return retry<T>({
    resetOnSuccess: true,
    delay: (error: unknown, attempt) => {
      failed(error, attempt);
      return timer(pauseMs(attempt, backoff));
    },
  });
}

export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
