/** A bucket of permits that fills up again with time. */
interface Bucket {
  permits: number;
  atMs: number;
}

export interface Buckets {
  /** Takes a permit; false where there is none left. */
  take(key: string): boolean;
  /** Until there is one again [s]. */
  waitS(key: string): number;
}

/** Keys remembered: an attacker with many addresses must not fill the memory. */
const mostKeys = 1000;

/**
 * Limits how often something may be done, by key.
 *
 * @param capacity permits of a full bucket
 * @param everyMs a permit comes back this often [ms]
 * @param clockMs monotonic [ms]
 */
export function createBuckets(
  capacity: number,
  everyMs: number,
  clockMs: () => number = () => performance.now(),
): Buckets {
  const buckets = new Map<string, Bucket>();
  const filled = (key: string): Bucket => {
    const nowMs = clockMs();
    const bucket = buckets.get(key) ?? { permits: capacity, atMs: nowMs };
    bucket.permits = Math.min(capacity, bucket.permits + (nowMs - bucket.atMs) / everyMs);
    bucket.atMs = nowMs;
    // Set anew, so that the oldest key stands first.
    buckets.delete(key);
    buckets.set(key, bucket);
    for (const oldest of buckets.keys()) if (buckets.size > mostKeys) buckets.delete(oldest);
    return bucket;
  };
  return {
    take(key) {
      const bucket = filled(key);
      if (bucket.permits < 1) return false;
      bucket.permits -= 1;
      return true;
    },
    waitS: (key) => Math.max(0, ((1 - filled(key).permits) * everyMs) / 1000),
  };
}
