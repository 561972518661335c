import type { Watch } from '../engine/types';

type Field = 'boilerC' | 'vapourC' | 'strengthAbv';

/**
 * How far something moved over a span, by the samples of the last minutes: mean of the newest three against mean of
 * three about the span's beginning, so that noise of one reading does not count.
 *
 * @param overS span [s, up to 280]
 * @returns change, in the field's unit; null where the span is not covered
 */
export function movedBy(watch: Watch, field: Field, overS: number): number | null {
  const { samples } = watch;
  const last = samples[samples.length - 1];
  if (last === undefined || samples.length < 6) return null;
  const newest = meanAbout(samples, field, samples.length - 2);
  const newestAtS = samples[samples.length - 2]!.atS;
  let index = samples.length - 2;
  while (index > 1 && newestAtS - samples[index]!.atS < overS) index -= 1;
  if (newestAtS - samples[index]!.atS < overS - 5) return null;
  const oldest = meanAbout(samples, field, index);
  return newest === null || oldest === null ? null : newest - oldest;
}

function meanAbout(samples: Watch['samples'], field: Field, index: number): number | null {
  let sum = 0;
  for (let i = index - 1; i <= index + 1; i += 1) {
    const value = samples[i]?.[field] ?? null;
    if (value === null) return null;
    sum += value;
  }
  return sum / 3;
}

/** Whether the heat stayed the same over a span, within a tenth of its mean. */
export function isHeatSteady(watch: Watch, overS: number): boolean {
  const last = watch.samples[watch.samples.length - 1];
  if (last === undefined) return false;
  let low = Number.POSITIVE_INFINITY;
  let high = 0;
  for (const sample of watch.samples) {
    if (last.atS - sample.atS > overS) continue;
    low = Math.min(low, sample.heatW);
    high = Math.max(high, sample.heatW);
  }
  return high > 0 && high - low <= 0.2 * high;
}
