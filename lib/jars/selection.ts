import { type Contradiction, contradiction, impossible } from './contradictions';
import type { SheetFigures } from './figures';
import type { Verdict } from './sheet';

export const variantNames = ['white', 'for-oak'] as const;
export type VariantName = (typeof variantNames)[number];

/** What to do where the distiller insists on jars that are not next to each other: all from first to last, or the longest row. */
export type Insistence = 'span' | 'longest';

/** The jars one variant collects as hearts: all from first to last. */
export interface Selection {
  readonly variant: VariantName;
  readonly firstJar: number;
  readonly lastJar: number;
  /** Jars whose verdict the selection goes against, because a cut cannot leave single jars out. */
  readonly against: readonly { readonly jar: number; readonly verdict: Verdict }[];
}

export interface Selected {
  readonly selection: Selection | null;
  readonly found: readonly Contradiction[];
}

function isWanted(verdict: Verdict, variant: VariantName): boolean {
  return verdict === 'in' || (variant === 'for-oak' && verdict === 'in-for-oak');
}

function longestRow(wanted: readonly boolean[]): { first: number; last: number } {
  let best = { first: 0, last: -1 };
  let first = 0;
  for (let i = 0; i <= wanted.length; i++) {
    if (wanted[i] === true) continue;
    if (i - 1 - first > best.last - best.first) best = { first, last: i - 1 };
    first = i + 1;
  }
  return best;
}

/**
 * The row of jars a variant collects. One row is all a still can do: the heads cut is made once and the tails cut once.
 *
 * @param figures a sheet worked out
 * @param variant white takes the jars that are in, for oak also those in only for oak
 * @param insist what to do with jars that are not next to each other
 * @returns the row, or null where no jar is wanted; and what contradicts
 */
export function selectJars(figures: SheetFigures, variant: VariantName, insist?: Insistence): Selected {
  const verdicts = figures.jars.map((jar) => jar.verdict);
  const wanted = verdicts.map((verdict) => isWanted(verdict, variant));
  const first = wanted.indexOf(true);
  const last = wanted.lastIndexOf(true);
  if (first < 0) return { selection: null, found: [] };
  const row = insist === 'longest' ? longestRow(wanted) : { first, last };
  const against = verdicts.flatMap((verdict, index) => {
    const collected = index >= row.first && index <= row.last;
    return collected === wanted[index] || (!collected && verdict === 'unsure') ? [] : [{ jar: index + 1, verdict }];
  });
  const selection = { variant, firstJar: row.first + 1, lastJar: row.last + 1, against };
  return { selection, found: [...gaps(verdicts, wanted, first, last, variant), ...foreshots(figures, row.first)] };
}

function gaps(
  verdicts: readonly Verdict[],
  wanted: readonly boolean[],
  first: number,
  last: number,
  variant: VariantName,
): Contradiction[] {
  const missing = verdicts.flatMap((verdict, i) =>
    i > first && i < last && !wanted[i] ? [{ jar: i + 1, verdict }] : [],
  );
  return missing.map(({ jar, verdict }) => {
    const message =
      verdict === 'unsure'
        ? `jar ${jar} is not decided, but stands between jars that are in (${variant})`
        : `jar ${jar} is ${verdict}, but stands between jars that are in (${variant}): two cuts cannot leave it out`;
    return contradiction(
      `jars.${jar - 1}.verdict`,
      verdict,
      message,
      'Taste it again beside its neighbours and decide',
    );
  });
}

function foreshots(figures: SheetFigures, first: number): Contradiction[] {
  const { foreshotsJars } = figures.sheet;
  if (first >= foreshotsJars) return [];
  const message = `jar ${first + 1} is in, but the first ${foreshotsJars} are foreshots, which are never collected`;
  const remedy = 'Correct the verdict, or set foreshotsJars to the jars that really were foreshots';
  return [contradiction(`jars.${first}.verdict`, figures.jars[first]?.verdict, message, remedy)];
}

/** What cannot be worked out of a sheet whatever is insisted on: nobody wanted a jar, or a cut has no temperature. */
export function findMissing(
  figures: SheetFigures,
  selections: readonly Selection[],
  needsVolumes: boolean,
): readonly Contradiction[] {
  if (figures.jars.length === 0) return [impossible('jars', 0, 'there are no jars', 'Write the jars down')];
  if (selections.length === 0) {
    const remedy = 'Taste the jars and say which are in, or in only for oak';
    return [impossible('jars', undefined, 'no jar is in', remedy)];
  }
  const wanted = new Set(selections.flatMap((one) => [one.firstJar - 1, one.lastJar]));
  return [...wanted].sort((a, b) => a - b).flatMap((index) => missingAt(figures, index, needsVolumes));
}

function missingAt(figures: SheetFigures, index: number, needsVolumes: boolean): Contradiction[] {
  const at = figures.changeovers[index];
  if (at === undefined) return [];
  const path = index === 0 ? 'jars.0.start' : `jars.${index - 1}.end`;
  const where = index === 0 ? 'at the start of jar 1' : `at the end of jar ${index}`;
  const remedy = 'A cut rests on it: enter it, or move the verdicts';
  const found: Contradiction[] = [];
  if (at.vapourC === null)
    found.push(impossible(`${path}.vapourTempC`, undefined, `is missing ${where}, where a cut is`, remedy));
  if (at.stationHPa === null) {
    const message = `is missing: the temperature ${where} cannot be moved to the reference pressure`;
    found.push(impossible(`${path}.airPressureHPa`, undefined, message, 'Enter the air pressure of the day'));
  }
  if (at.vapourC !== null && at.stationHPa !== null && at.vapourAtReferenceC === null) {
    const message = `cannot be moved to ${figures.referenceHPa} hPa (${where}, ${at.stationHPa.toFixed(0)} hPa)`;
    found.push(impossible(`${path}.vapourTempC`, at.vapourC, message, 'Correct temperature and air pressure'));
  }
  if (at.atL === null && needsVolumes) {
    const jar = figures.jars.find((one) => one.volumeL === null)?.number ?? 1;
    const message = `is missing, so the cut ${where} has no place in the run`;
    found.push(
      impossible(
        `jars.${jar - 1}.volumeL`,
        undefined,
        message,
        'Enter the volume of every jar, or cut by temperature alone',
      ),
    );
  }
  return found;
}
