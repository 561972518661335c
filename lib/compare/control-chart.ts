/*
 * Shewhart's chart of single values and their moving range of two. The constants follow from the range of two normal values:
 * d2 = 2/√π = 1.128, d3 = √(2 − 4/π) = 0.853, D4 = 1 + 3 d3/d2 = 3.267, and 3/d2 = 2.660.
 */
const d2 = 2 / Math.sqrt(Math.PI);
const d3 = Math.sqrt(2 - 4 / Math.PI);

/** Constants of the chart, for those who check. Source: ISO 7870-2; NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2. */
export const shewhartConstants = { d2, d3, D4: 1 + (3 * d3) / d2, E2: 3 / d2 } as const;

/** What a point on the chart says besides its value. */
export type Signal =
  | 'beyond-limits'
  | 'two-of-three-beyond-two-sigma'
  | 'four-of-five-beyond-one-sigma'
  | 'eight-on-one-side'
  | 'range-beyond-limit';

export interface ChartPoint {
  readonly value: number;
  /** Difference from the value before; null for the first. */
  readonly range: number | null;
  readonly signals: readonly Signal[];
}

/** A control chart of single values. */
export interface ControlChart {
  readonly centre: number;
  readonly meanRange: number;
  /** Standard deviation by the mean range. */
  readonly sigma: number;
  readonly lower: number;
  readonly upper: number;
  readonly rangeUpper: number;
  /** Values the limits were computed from: the first so many. */
  readonly baseline: number;
  /** Fewer than about twenty values make limits that still move. */
  readonly provisional: boolean;
  readonly points: readonly ChartPoint[];
  readonly stable: boolean;
}

const enough = 20;

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Counts values of the last few that lie beyond so many sigma on the side of the newest. */
function beyond(scores: readonly number[], at: number, span: number, sigmas: number): number {
  const side = Math.sign(scores[at]!);
  if (Math.abs(scores[at]!) <= sigmas) return 0;
  return scores.slice(Math.max(0, at - span + 1), at + 1).filter((score) => score * side > sigmas).length;
}

function signalsAt(scores: readonly number[], at: number): Signal[] {
  const signals: Signal[] = [];
  if (Math.abs(scores[at]!) > 3) signals.push('beyond-limits');
  if (beyond(scores, at, 3, 2) >= 2) signals.push('two-of-three-beyond-two-sigma');
  if (beyond(scores, at, 5, 1) >= 4) signals.push('four-of-five-beyond-one-sigma');
  if (beyond(scores, at, 8, 0) >= 8) signals.push('eight-on-one-side');
  return signals;
}

/**
 * A control chart of single values with moving range of two: hearts per litre of alcohol charged, strength of hearts, of many runs of one recipe.
 *
 * Limits: mean ± 2.660 mean range; range up to 3.267 mean range. Signals by the Western Electric rules.
 *
 * @param values one a run, in the order of the runs
 * @param baseline the limits are computed from the first so many values and then held; all unless given
 * @returns the chart; null below two values or when one is no number
 * Accuracy: limits from fewer than twenty values are provisional.
 * @example controlChart([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]) // 45.82 to 55.80
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 (limits) and 6.3.2 (Western Electric rules).
 */
export function controlChart(values: readonly number[], baseline: number = values.length): ControlChart | null {
  const base = values.slice(0, Math.max(2, Math.min(baseline, values.length)));
  if (values.length < 2 || !values.every(Number.isFinite)) return null;
  const ranges = values.map((value, index) => (index === 0 ? null : Math.abs(value - values[index - 1]!)));
  const centre = mean(base);
  const meanRange = mean(base.slice(1).map((value, index) => Math.abs(value - base[index]!)));
  const sigma = meanRange / d2;
  const rangeUpper = shewhartConstants.D4 * meanRange;
  const scores = values.map((value) =>
    sigma === 0 ? Math.sign(value - centre) * (value === centre ? 0 : 4) : (value - centre) / sigma,
  );
  const points = values.map((value, index): ChartPoint => {
    const range = ranges[index] ?? null;
    const signals = signalsAt(scores, index);
    return {
      value,
      range,
      signals: range !== null && range > rangeUpper ? [...signals, 'range-beyond-limit'] : signals,
    };
  });
  return {
    centre,
    meanRange,
    sigma,
    lower: centre - 3 * sigma,
    upper: centre + 3 * sigma,
    rangeUpper,
    baseline: base.length,
    provisional: base.length < enough,
    points,
    stable: points.every((point) => point.signals.length === 0),
  };
}
