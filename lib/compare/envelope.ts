import type { Reason } from '../engine/types';
import {
  type ComparedRun,
  grid,
  type Profile,
  type ProfilePoint,
  profileOf,
  type Quantity,
  quantities,
} from './profile';

/** How far a run may lie from its reference and still count as the same. */
export interface Tolerance {
  readonly vapourK: number;
  readonly boilerK: number;
  readonly strengthVolPercent: number;
  /** Of the rate itself. */
  readonly ratePercent: number;
}

/** Our own figures: what a careful stillroom repeats, probes and all. */
export const usualTolerance: Tolerance = { vapourK: 0.4, boilerK: 0.4, strengthVolPercent: 1, ratePercent: 10 };

/** The band of one quantity at one share. */
export interface Band {
  readonly middle: number;
  readonly low: number;
  readonly high: number;
}

/** Where runs of one recipe are expected to go. */
export interface Envelope {
  readonly runs: number;
  readonly referenceHPa: number;
  readonly bands: Readonly<Record<Quantity, readonly (Band | null)[]>>;
}

/** Half the width of a band never falls below this [in the unit of the quantity]. */
export function toleranceOf(quantity: Quantity, middle: number, tolerance: Tolerance): number {
  switch (quantity) {
    case 'vapour':
      return tolerance.vapourK;
    case 'boiler':
      return tolerance.boilerK;
    case 'strength':
      return tolerance.strengthVolPercent / 100;
    case 'rate':
      return (Math.abs(middle) * tolerance.ratePercent) / 100;
  }
}

/** A share that is told a little wrongly moves a steep curve far: half a per cent of the alcohol is allowed for. */
const shareRoomPercent = 0.5;

function slopeAt(values: readonly (number | null)[], index: number): number {
  const before = values[index - 1] ?? values[index];
  const after = values[index + 1] ?? values[index];
  if (before == null || after == null) return 0;
  const span = (values[index - 1] == null ? 0 : 1) + (values[index + 1] == null ? 0 : 1);
  return span === 0 ? 0 : (after - before) / span;
}

function bandAt(profiles: readonly Profile[], quantity: Quantity, index: number, tolerance: Tolerance): Band | null {
  const values = profiles.flatMap((profile) => profile[quantity][index] ?? []);
  if (values.length === 0) return null;
  const middle = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - middle) ** 2, 0);
  const spread = values.length > 1 ? Math.sqrt(squares / (values.length - 1)) : 0;
  const slope = Math.max(...profiles.map((profile) => Math.abs(slopeAt(profile[quantity], index))));
  const least = Math.hypot(toleranceOf(quantity, middle, tolerance), slope * shareRoomPercent);
  const half = Math.max(least, 3 * spread);
  return { middle, low: middle - half, high: middle + half };
}

/**
 * The envelope of one or more runs: at every share the mean, and either side the larger of the tolerance and three standard deviations of the runs.
 *
 * @param runs the run the recipe came from, or several good runs of it
 * @param tolerance least half widths; our own unless given
 */
export function envelopeOf(
  runs: readonly [ComparedRun, ...ComparedRun[]],
  tolerance: Tolerance = usualTolerance,
): Envelope {
  const profiles = runs.map(profileOf);
  const bandsOf = (quantity: Quantity) => grid.map((_, index) => bandAt(profiles, quantity, index, tolerance));
  return {
    runs: runs.length,
    referenceHPa: runs[0].referenceHPa,
    bands: {
      vapour: bandsOf('vapour'),
      boiler: bandsOf('boiler'),
      strength: bandsOf('strength'),
      rate: bandsOf('rate'),
    },
  };
}

/** A stretch of a run outside its envelope. */
export interface Departure {
  readonly quantity: Quantity;
  readonly side: 'above' | 'below';
  readonly fromSharePercent: number;
  readonly toSharePercent: number;
  /** Furthest from the middle, and where: kelvin; % vol; % of the rate. */
  readonly worst: number;
  readonly worstAtPercent: number;
}

/** In the unit people read: kelvin, % vol, % of the rate. */
function shown(quantity: Quantity, difference: number, middle: number): number {
  if (quantity === 'strength') return 100 * difference;
  return quantity === 'rate' ? (100 * difference) / middle : difference;
}

/** Shorter stretches are noise [% of the alcohol]. */
const shortestPercent = 2;

/**
 * Where a run leaves the envelope.
 *
 * @returns stretches of at least 2 % of the charge's alcohol, in order of share
 */
export function departuresOf(envelope: Envelope, run: ComparedRun): readonly Departure[] {
  const profile = profileOf(run);
  const found = quantities.flatMap((quantity) =>
    joined(stretches(envelope, profile, quantity)).filter(
      (one) => one.toSharePercent - one.fromSharePercent + 1 >= shortestPercent,
    ),
  );
  return found.sort((a, b) => a.fromSharePercent - b.fromSharePercent);
}

/** Stretches on one side with next to nothing between them are one. */
function joined(stretches: readonly Departure[]): Departure[] {
  const whole: Departure[] = [];
  for (const one of stretches) {
    const last = whole[whole.length - 1];
    if (
      last === undefined ||
      last.side !== one.side ||
      one.fromSharePercent - last.toSharePercent > shortestPercent + 1
    ) {
      whole.push(one);
      continue;
    }
    const worse = Math.abs(one.worst) > Math.abs(last.worst) ? one : last;
    whole[whole.length - 1] = { ...worse, fromSharePercent: last.fromSharePercent, toSharePercent: one.toSharePercent };
  }
  return whole;
}

function stretches(envelope: Envelope, profile: Profile, quantity: Quantity): Departure[] {
  const found: Departure[] = [];
  let open: { side: 'above' | 'below'; from: number; worst: number; worstAt: number } | null = null;
  const close = (before: number) => {
    if (open !== null) {
      const { side, from, worst, worstAt } = open;
      found.push({ quantity, side, fromSharePercent: from, toSharePercent: before, worst, worstAtPercent: worstAt });
    }
    open = null;
  };
  for (const [index, share] of grid.entries()) {
    const band = envelope.bands[quantity][index];
    const value = profile[quantity][index];
    const side = band == null || value == null ? null : value > band.high ? 'above' : value < band.low ? 'below' : null;
    if (open !== null && open.side !== side) close(share - 1);
    if (side === null || band == null || value == null) continue;
    const by = shown(quantity, value - band.middle, band.middle);
    open ??= { side, from: share, worst: by, worstAt: share };
    if (Math.abs(by) > Math.abs(open.worst)) open = { ...open, worst: by, worstAt: share };
  }
  close(grid[grid.length - 1]!);
  return found;
}

/**
 * Judges one moment of a live run: which quantities are off profile now.
 *
 * @param envelope of the recipe's runs
 * @param point the run now
 * @param chargeL its charge [L]
 * @returns one reason a quantity that is outside; none where all is well or the share lies outside the grid
 */
export function judgeProfile(envelope: Envelope, point: ProfilePoint, chargeL: number): readonly Reason[] {
  const index = Math.round(point.sharePercent) - 1;
  const values: Readonly<Record<Quantity, number | null>> = {
    vapour: point.vapourAtReferenceC,
    boiler: point.boilerAtReferenceC,
    strength: point.strengthAbv,
    rate: point.rateLPerH === null ? null : (100 * point.rateLPerH) / chargeL,
  };
  return quantities.flatMap((quantity): Reason[] => {
    const band = envelope.bands[quantity][index];
    const value = values[quantity];
    if (band == null || value === null || (value >= band.low && value <= band.high)) return [];
    const by = shown(quantity, value - band.middle, band.middle);
    return [
      {
        code: `compare.off-${quantity}-${by > 0 ? 'above' : 'below'}`,
        numbers: offNumbers(quantity, by, point.sharePercent),
      },
    ];
  });
}

export function offNumbers(quantity: Quantity, by: number, sharePercent: number): Readonly<Record<string, number>> {
  const size = Math.abs(by);
  if (quantity === 'strength') return { byVolPercent: size, sharePercent };
  return quantity === 'rate' ? { byPercent: size, sharePercent } : { byK: size, sharePercent };
}
