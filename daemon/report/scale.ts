/** A linear scale from figures to places on the paper, with round ticks. */
export interface Scale {
  readonly least: number;
  readonly most: number;
  readonly at: (value: number) => number;
  readonly ticks: readonly number[];
}

export function scaleOf(least: number, most: number, from: number, to: number, ticks: readonly number[]): Scale {
  const span = most - least || 1;
  return { least, most, at: (value) => from + ((value - least) / span) * (to - from), ticks };
}

const roundSteps = [1, 2, 5] as const;

/** The smallest step of 1, 2 or 5 times a power of ten that leaves at most so many ticks. */
export function roundStep(span: number, mostTicks: number): number {
  if (!(span > 0)) return 1;
  for (let power = Math.floor(Math.log10(span / mostTicks)); ; power += 1) {
    for (const round of roundSteps) {
      const step = round * 10 ** power;
      if (span / step <= mostTicks) return step;
    }
  }
}

/** Multiples of a step within a range. */
export function ticksOf(least: number, most: number, step: number): readonly number[] {
  const first = Math.ceil(least / step - 1e-9);
  const last = Math.floor(most / step + 1e-9);
  return Array.from({ length: Math.max(0, Math.min(60, last - first + 1)) }, (_, index) =>
    Number(((first + index) * step).toPrecision(12)),
  );
}

const timeSteps = [10, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 21600, 43200, 86400] as const;

/** Ticks of time on whole minutes and hours [s]. */
export function timeTicks(leastS: number, mostS: number, mostTicks: number): readonly number[] {
  const span = mostS - leastS;
  const step = timeSteps.find((one) => span / one <= mostTicks) ?? 86400 * Math.ceil(span / 86400 / mostTicks);
  return ticksOf(leastS, mostS, step);
}

/** A vertical scale over all values, widened to whole steps; upwards on the paper is more. */
export function verticalScale(
  values: readonly number[],
  top: number,
  bottom: number,
  smallestSpan: number,
  mostTicks: number,
): Scale {
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of values) {
    if (value < least) least = value;
    if (value > most) most = value;
  }
  if (!(most >= least)) [least, most] = [0, 1];
  const lacking = Math.max(0, smallestSpan - (most - least)) / 2;
  const step = roundStep(most - least + 2 * lacking, mostTicks);
  const [low, high] = [
    Math.floor((least - lacking) / step + 1e-9) * step,
    Math.ceil((most + lacking) / step - 1e-9) * step,
  ];
  return scaleOf(low, high, bottom, top, ticksOf(low, high, step));
}

/** Rows for marks along a line so that none stands over another; null where there is no room in any row. */
export function staggered(places: readonly number[], width: number, rows: number): readonly (number | null)[] {
  const ends = new Array<number>(rows).fill(Number.NEGATIVE_INFINITY);
  return places.map((place) => {
    const row = ends.findIndex((end) => place - width / 2 >= end);
    if (row < 0) return null;
    ends[row] = place + width / 2;
    return row;
  });
}

/** Places of labels beside a scale, moved apart so that each has its height; in the order given. */
export function spreadApart(places: readonly number[], height: number, top: number, bottom: number): readonly number[] {
  const order = places.map((place, index) => ({ place, index })).sort((a, b) => a.place - b.place);
  let next = top;
  for (const one of order) {
    one.place = Math.max(one.place, next);
    next = one.place + height;
  }
  let limit = bottom;
  for (const one of order.toReversed()) {
    one.place = Math.min(one.place, limit);
    limit = one.place - height;
  }
  const spread = new Array<number>(places.length).fill(0);
  for (const { place, index } of order) spread[index] = place;
  return spread;
}
