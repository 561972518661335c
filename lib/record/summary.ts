import type { Input } from '../engine/types';
import { ByteReader, ByteWriter, Damage } from './bytes';

/** One point over a minute, of its readings that were numbers without a fault; uncorrected, as they arrived. */
export interface PointSummary {
  readonly point: string;
  readonly count: number;
  readonly min: number;
  readonly mean: number;
  readonly max: number;
  readonly last: number;
}

/**
 * What a plot needs of a stretch of scans, kept even when the readings are thinned.
 * @param inputs scans in order
 * @returns one summary a point, in order of first appearance; points without a good reading are left out
 */
export function summarise(inputs: readonly Input[]): readonly PointSummary[] {
  const sums = new Map<string, { count: number; min: number; sum: number; max: number; last: number }>();
  for (const input of inputs) {
    for (const { point, value, fault } of input.readings) {
      if (value === null || fault !== undefined || !Number.isFinite(value)) continue;
      const sum = sums.get(point);
      if (sum === undefined) {
        sums.set(point, { count: 1, min: value, sum: value, max: value, last: value });
        continue;
      }
      sum.count += 1;
      sum.sum += value;
      sum.last = value;
      if (value < sum.min) sum.min = value;
      if (value > sum.max) sum.max = value;
    }
  }
  return Array.from(sums, ([point, { count, min, sum, max, last }]) => ({
    point,
    count,
    min,
    mean: sum / count,
    max,
    last,
  }));
}

/**
 * Summaries in few bytes: four single-precision numbers a point (about seven digits: for plots, not for decisions).
 * @param summaries one a point
 * @param indexOf place of a point in the list kept beside the run
 */
export function encodeSummaries(summaries: readonly PointSummary[], indexOf: (point: string) => number): Uint8Array {
  const to = new ByteWriter();
  to.whole(summaries.length);
  for (const { point, count, min, mean, max, last } of summaries) {
    to.whole(indexOf(point));
    to.whole(count);
    const view = new DataView(new ArrayBuffer(16));
    [min, mean, max, last].forEach((value, i) => {
      view.setFloat32(i * 4, value, true);
    });
    to.bytes(new Uint8Array(view.buffer));
  }
  return to.finish();
}

/**
 * Inverse of `encodeSummaries`, to single precision.
 * @param bytes summaries
 * @param points the list kept beside the run
 * @returns summaries, or null where the bytes are damaged
 */
export function decodeSummaries(bytes: Uint8Array, points: readonly string[]): readonly PointSummary[] | null {
  try {
    const from = new ByteReader(bytes);
    return Array.from({ length: from.count() }, () => {
      const point = points[from.whole()];
      if (point === undefined) throw new Damage('names a point that is not in its list');
      const count = from.whole();
      const part = from.bytes(16);
      const view = new DataView(part.buffer, part.byteOffset, 16);
      const [min = 0, mean = 0, max = 0, last = 0] = [0, 4, 8, 12].map((at) => view.getFloat32(at, true));
      return { point, count, min, mean, max, last };
    });
  } catch (error) {
    if (error instanceof Damage) return null;
    throw error;
  }
}
