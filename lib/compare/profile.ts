import type { Fraction } from '../recipe/schema';

/** One moment of a recorded run, on the axis of the charge's alcohol come over. */
export interface ProfilePoint {
  readonly sharePercent: number;
  readonly vapourAtReferenceC: number | null;
  readonly boilerAtReferenceC: number | null;
  readonly strengthAbv: number | null;
  readonly rateLPerH: number | null;
  readonly timeS: number;
}

/** A fraction as measured, or as the record has it. */
export interface FractionFigures {
  readonly fraction: Fraction;
  readonly volumeL: number;
  readonly strengthAbv: number | null;
  readonly alcoholL: number;
}

/** A run as it is compared. */
export interface ComparedRun {
  readonly id: string;
  readonly charge: { readonly volumeL: number; readonly strengthAbv: number };
  readonly heaterW: number | null;
  /** What told the strength: from the vapour temperature it is no second witness. */
  readonly strengthBy: 'parrot' | 'vapour-temp' | null;
  readonly referenceHPa: number;
  readonly points: readonly ProfilePoint[];
  readonly fractions: readonly FractionFigures[];
}

export const quantities = ['vapour', 'boiler', 'strength', 'rate'] as const;
export type Quantity = (typeof quantities)[number];

/** Values of one quantity at every share of the grid; null where the run has none. Rates in % of the run's own mean. */
export type Profile = Readonly<Record<Quantity, readonly (number | null)[]>>;

/** Shares at which runs are compared [%]. */
export const grid: readonly number[] = Array.from({ length: 98 }, (_, index) => index + 1);

const fieldOf = {
  vapour: 'vapourAtReferenceC',
  boiler: 'boilerAtReferenceC',
  strength: 'strengthAbv',
  rate: 'rateLPerH',
} as const satisfies Record<Quantity, keyof ProfilePoint>;

/** A gap in the record wider than this is not bridged [% of the alcohol]. */
const widestGapPercent = 5;

/** Points in rising order of share: a run never gives alcohol back, so what falls is noise and is passed over. */
function rising(points: readonly ProfilePoint[]): ProfilePoint[] {
  const kept: ProfilePoint[] = [];
  for (const point of points) {
    if (!Number.isFinite(point.sharePercent)) continue;
    const last = kept[kept.length - 1];
    if (last === undefined || point.sharePercent > last.sharePercent) kept.push(point);
  }
  return kept;
}

function resample(points: readonly ProfilePoint[], quantity: Quantity): (number | null)[] {
  const known = points.filter((point) => {
    const value = point[fieldOf[quantity]];
    return value !== null && Number.isFinite(value);
  });
  let at = 0;
  return grid.map((share) => {
    while (at + 1 < known.length && known[at + 1]!.sharePercent < share) at += 1;
    const before = known[at];
    const after = known[at + 1];
    if (before === undefined || before.sharePercent > share) return null;
    if (before.sharePercent === share) return before[fieldOf[quantity]];
    if (after === undefined || after.sharePercent - before.sharePercent > widestGapPercent) return null;
    const place = (share - before.sharePercent) / (after.sharePercent - before.sharePercent);
    const from = before[fieldOf[quantity]]!;
    return from + place * (after[fieldOf[quantity]]! - from);
  });
}

/** Rates over the charge: litres an hour and litre of charge, so that stills of any size compare [% of 1/h]. */
function perCharge(values: readonly (number | null)[], chargeL: number): (number | null)[] {
  return values.map((value) => (value === null ? null : (100 * value) / chargeL));
}

/**
 * A run on the common grid of shares.
 *
 * @param run a recorded run
 * @returns vapour and boiler [°C at reference pressure], strength [fraction], rate [% of the charge an hour]
 */
export function profileOf(run: ComparedRun): Profile {
  const points = rising(run.points);
  return {
    vapour: resample(points, 'vapour'),
    boiler: resample(points, 'boiler'),
    strength: resample(points, 'strength'),
    rate: perCharge(resample(points, 'rate'), run.charge.volumeL),
  };
}

/** Pure alcohol charged [L at 20 °C]. */
export function chargedAlcoholL(run: ComparedRun): number {
  return run.charge.volumeL * run.charge.strengthAbv;
}
