import type { Watch } from '../engine/types';

type Field = 'boilerC' | 'vapourC' | 'strengthAbv';

/**
 * How far something moved over a span, by the samples of the last minutes: the middle one of the newest three against
 * that of three about the span's beginning, so that one wild sample does not count.
 *
 * @param overS span [s, up to 280]
 * @returns change, in the field's unit; null where the span is not covered
 */
export function movedBy(watch: Watch, field: Field, overS: number): number | null {
  const { samples } = watch;
  const last = samples[samples.length - 1];
  if (last === undefined || samples.length < 6) return null;
  const newest = middleOf(samples, field, samples.length - 2);
  const newestAtS = samples[samples.length - 2]!.atS;
  let index = samples.length - 2;
  while (index > 1 && newestAtS - samples[index]!.atS < overS) index -= 1;
  if (newestAtS - samples[index]!.atS < overS - 5) return null;
  const oldest = middleOf(samples, field, index);
  return newest === null || oldest === null ? null : newest - oldest;
}

function middleOf(samples: Watch['samples'], field: Field, index: number): number | null {
  const a = samples[index - 1]?.[field] ?? null;
  const b = samples[index]?.[field] ?? null;
  const c = samples[index + 1]?.[field] ?? null;
  if (a === null || b === null || c === null) return null;
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
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
