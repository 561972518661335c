/** In which order the glasses are poured. */
export type PouringOrder = 'random' | 'outside-in' | 'inside-out' | 'as-filled';

/** One glass on the table. */
export interface Glass {
  readonly position: number;
  readonly jar: number;
  /** Three-digit number on the glass, so that nobody knows the jar; null where the tasting is open. */
  readonly hiddenNumber: number | null;
}

/** A generator with a known sequence: the same seed pours the same order everywhere (Park and Miller, 1988). */
function randomOf(seed: number): () => number {
  const whole = Number.isFinite(seed) ? Math.trunc(Math.abs(seed)) : 0;
  let state = (whole % 2147483646) + 1;
  const next = () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
  // The first numbers of small seeds are all small; let them pass.
  for (let i = 0; i < 5; i++) next();
  return next;
}

function shuffled<T>(values: readonly T[], random: () => number): T[] {
  const mixed = [...values];
  for (let i = mixed.length - 1; i > 0; i--) {
    const j = Math.min(i, Math.floor(random() * (i + 1)));
    [mixed[i], mixed[j]] = [mixed[j]!, mixed[i]!];
  }
  return mixed;
}

/** First, last, second, last but one, … so that the doubtful jars come early and the heart last. */
function outsideIn<T>(values: readonly T[]): T[] {
  const ordered: T[] = [];
  for (let low = 0, high = values.length - 1; low <= high; low++, high--) {
    ordered.push(values[low]!);
    if (high > low) ordered.push(values[high]!);
  }
  return ordered;
}

/**
 * The order in which jars are tasted, with hidden numbers for a blind tasting.
 *
 * @param jars jar numbers as filled
 * @param order random; outside in (from both ends towards the heart); inside out (from the heart outwards, so that the palate learns the heart
 * first); as filled
 * @param seed for the random order and the hidden numbers: the same seed gives the same glasses
 * @param hidden whether glasses carry hidden three-digit numbers; yes unless said
 * @returns the glasses in pouring order; every jar once
 * Source: three-digit codes in random order are the usual way of sensory analysis (ISO 6658); outside in and inside out are common practice.
 */
export function pourGlasses(
  jars: readonly number[],
  order: PouringOrder,
  seed: number,
  hidden = true,
): readonly Glass[] {
  const random = randomOf(seed);
  const numbers = hidden
    ? shuffled(
        Array.from({ length: 900 }, (_, i) => 100 + i),
        random,
      )
    : [];
  const ordered =
    order === 'random'
      ? shuffled(jars, random)
      : order === 'outside-in'
        ? outsideIn(jars)
        : order === 'inside-out'
          ? outsideIn(jars).reverse()
          : [...jars];
  return ordered.map((jar, index) => ({ position: index + 1, jar, hiddenNumber: numbers[index] ?? null }));
}

/** The jar behind a hidden number; null where no glass carries it. */
export function jarBehind(glasses: readonly Glass[], hiddenNumber: number): number | null {
  return glasses.find((glass) => glass.hiddenNumber === hiddenNumber)?.jar ?? null;
}
