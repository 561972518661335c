import { staleAfterS } from '../../lib/engine/reading';
import type { Still } from '../../lib/still/schema';
import { type Trouble, trouble } from './troubles';

/** A clock that runs ahead by more than this is wrong [s]. */
const aheadAtMostS = 60;

export type Age =
  | { readonly kind: 'known'; readonly ageS: number }
  | { readonly kind: 'trouble'; readonly trouble: Trouble };

/** Milliseconds since 1970 of a time stamp as messages carry it; null where it is none. Seconds are told by their size. */
function millisecondsOf(stamp: unknown): number | null {
  if (typeof stamp === 'number' && Number.isFinite(stamp) && stamp > 0) return stamp < 1e11 ? stamp * 1000 : stamp;
  if (stamp instanceof Date) return Number.isNaN(stamp.getTime()) ? null : stamp.getTime();
  if (typeof stamp !== 'string') return null;
  const plain = stamp.trim();
  if (/^\d{9,16}(\.\d+)?$/.test(plain)) return millisecondsOf(Number(plain));
  const parsed = /^\d{4}-\d{2}-\d{2}/.test(plain) ? Date.parse(plain) : Number.NaN;
  return Number.isNaN(parsed) ? null : parsed;
}

/**
 * How old a reading is by its own time stamp; 0 where it carries none. One that is older than the point allows says
 * nothing about the still now, and one from the future comes from a wrong clock.
 */
export function ageOf(stamp: unknown, point: string, still: Still, wallMs: number): Age {
  if (stamp === undefined || stamp === null || stamp === '') return { kind: 'known', ageS: 0 };
  const stampMs = millisecondsOf(stamp);
  if (stampMs === null) {
    const value = String(stamp).slice(0, 40);
    return { kind: 'trouble', trouble: trouble('time-unreadable', point, { point, value }) };
  }
  const ageS = (wallMs - stampMs) / 1000;
  if (ageS < -aheadAtMostS)
    return { kind: 'trouble', trouble: trouble('time-ahead', point, { point, aheadS: Math.round(-ageS) }) };
  const definition = still.points[point];
  const limitS = definition === undefined ? 0 : staleAfterS(definition);
  if (ageS > limitS)
    return { kind: 'trouble', trouble: trouble('time-old', point, { point, ageS: Math.round(ageS), limitS }) };
  return { kind: 'known', ageS: Math.max(0, ageS) };
}
