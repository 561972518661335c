import { type Point, pointKinds } from '../still/schema';
import type { Quality, Reading, Seen } from './types';

/** Readings that agree before a jump is believed, and for how long they must have agreed [s]. */
const jumpReadings = 3;
const jumpBelievedAfterS = { 'air-pressure': 1800, other: 20 } as const;

export const neverSeen: Seen = {
  quality: 'never',
  value: null,
  goodAtS: null,
  atS: null,
  fault: null,
  badSinceS: null,
  jump: null,
  spacingS: null,
};

/** Age beyond which a point's reading is stale [s]. */
export function staleAfterS(point: Point): number {
  return point.staleAfterS ?? pointKinds[point.kind].staleAfterS;
}

/** The reading with the point's calibration applied: gain × raw + offset, in the point's unit. */
export function correct(point: Point, raw: number): number {
  const calibration = point.calibration;
  return calibration === undefined ? raw : calibration.gain * raw + calibration.offset;
}

/**
 * Judges one reading against what was seen before and gives what is seen now.
 * A reading that is older than the last, or from the future, cannot make anything fresher: it is passed over or
 * dated now. A reading out of range or jumping leaves the last good value standing.
 */
export function judge(point: Point, seen: Seen, reading: Reading, now: number): Seen {
  const atS = Math.min(reading.atS, now);
  if (!Number.isFinite(atS) || (seen.atS !== null && atS < seen.atS)) return seen;
  if (reading.fault !== undefined || reading.value === null || !Number.isFinite(reading.value)) {
    return { ...worse(seen, 'bad', atS), fault: reading.fault ?? 'not-a-number' };
  }
  const value = correct(point, reading.value);
  const limits = pointKinds[point.kind];
  if (value < (point.min ?? limits.min) || value > (point.max ?? limits.max)) {
    return { ...worse(seen, 'range', atS), fault: 'range' };
  }
  const jump = judgeJump(point, seen, value, atS);
  if (jump !== null) return { ...worse(seen, 'jump', atS), fault: 'jump', jump };
  return good(seen, value, atS);
}

function good(seen: Seen, value: number, atS: number): Seen {
  const gapS = seen.goodAtS === null ? null : atS - seen.goodAtS;
  const spacingS =
    gapS === null || gapS === 0
      ? seen.spacingS
      : seen.spacingS === null
        ? gapS
        : seen.spacingS + (gapS - seen.spacingS) / 8;
  return { quality: 'good', value, goodAtS: atS, atS, fault: null, badSinceS: null, jump: null, spacingS };
}

function worse(seen: Seen, quality: Quality, atS: number): Seen {
  return { ...seen, quality, atS, badSinceS: seen.badSinceS ?? atS, jump: null };
}

/** Fastest believable change [unit/s] and the step that is always believed [unit]; null where jumps are not judged. */
function jumpLimit(point: Point): { perS: number; step: number } | null {
  if (point.kind === 'air-pressure') return { perS: point.maxStepPerS ?? 0.05, step: 4 };
  return point.maxStepPerS === undefined ? null : { perS: point.maxStepPerS, step: 3 * (point.resolution ?? 0) };
}

function judgeJump(point: Point, seen: Seen, value: number, atS: number): Seen['jump'] {
  const limit = jumpLimit(point);
  if (limit === null || seen.value === null || seen.goodAtS === null) return null;
  const gapS = atS - seen.goodAtS;
  if (gapS > 4 * staleAfterS(point)) return null;
  if (Math.abs(value - seen.value) <= limit.step + limit.perS * gapS) return null;
  const agrees =
    seen.jump !== null && Math.abs(value - seen.jump.value) <= limit.step + limit.perS * (atS - seen.jump.sinceS);
  const jump =
    agrees && seen.jump !== null ? { ...seen.jump, count: seen.jump.count + 1 } : { value, sinceS: atS, count: 1 };
  const believedAfterS = point.kind === 'air-pressure' ? jumpBelievedAfterS['air-pressure'] : jumpBelievedAfterS.other;
  return jump.count >= jumpReadings && atS - jump.sinceS >= believedAfterS ? null : jump;
}

/** Turns good into stale once the last good reading is too old. */
export function age(point: Point, seen: Seen, now: number): Seen {
  if (seen.quality !== 'good' || seen.goodAtS === null) return seen;
  const limitS = staleAfterS(point);
  if (now - seen.goodAtS <= limitS) return seen;
  return { ...seen, quality: 'stale', fault: 'stale', badSinceS: seen.goodAtS + limitS };
}

/** The value if it may be acted upon now, else null. */
export function trusted(seen: Seen | undefined): number | null {
  return seen !== undefined && seen.quality === 'good' ? seen.value : null;
}
