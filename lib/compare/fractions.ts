import type { Reason } from '../engine/types';
import { type Fraction, fractions } from '../recipe/schema';
import { type ComparedRun, chargedAlcoholL, type FractionFigures } from './profile';

/** One fraction of two runs, told per litre of pure alcohol charged so that stills and charges of any size compare. */
export interface FractionDifference {
  readonly fraction: Fraction;
  readonly reference: FractionFigures | null;
  readonly run: FractionFigures | null;
  /** Volume per litre of alcohol charged, and how far it differs [%]; null where one run has none. */
  readonly perAlcohol: { readonly reference: number; readonly run: number } | null;
  readonly volumeByPercent: number | null;
  /** Share of the charge's alcohol [%], and its difference in points. */
  readonly shareOfChargePercent: { readonly reference: number; readonly run: number } | null;
  readonly strengthByVolPercent: number | null;
}

function figuresOf(run: ComparedRun, fraction: Fraction): FractionFigures | null {
  const found = run.fractions.filter((one) => one.fraction === fraction);
  if (found.length === 0) return null;
  const volumeL = found.reduce((sum, one) => sum + one.volumeL, 0);
  const alcoholL = found.reduce((sum, one) => sum + one.alcoholL, 0);
  const known = found.every((one) => one.strengthAbv !== null);
  const strengthAbv = !known
    ? null
    : found.length === 1
      ? found[0]!.strengthAbv
      : volumeL > 0
        ? alcoholL / volumeL
        : null;
  return { fraction, volumeL, strengthAbv, alcoholL };
}

/**
 * How the fractions of a run differ from those of its reference.
 *
 * @returns one row a fraction that either run has, in the order they leave the still
 */
export function compareFractions(reference: ComparedRun, run: ComparedRun): readonly FractionDifference[] {
  const was = chargedAlcoholL(reference);
  const is = chargedAlcoholL(run);
  return fractions.flatMap((fraction): FractionDifference[] => {
    const before = figuresOf(reference, fraction);
    const after = figuresOf(run, fraction);
    if (before === null && after === null) return [];
    if (before === null || after === null || !(was > 0) || !(is > 0)) {
      return [
        {
          fraction,
          reference: before,
          run: after,
          perAlcohol: null,
          volumeByPercent: null,
          shareOfChargePercent: null,
          strengthByVolPercent: null,
        },
      ];
    }
    const perAlcohol = { reference: before.volumeL / was, run: after.volumeL / is };
    return [
      {
        fraction,
        reference: before,
        run: after,
        perAlcohol,
        volumeByPercent: perAlcohol.reference > 0 ? 100 * (perAlcohol.run / perAlcohol.reference - 1) : null,
        shareOfChargePercent: { reference: (100 * before.alcoholL) / was, run: (100 * after.alcoholL) / is },
        strengthByVolPercent:
          before.strengthAbv === null || after.strengthAbv === null
            ? null
            : 100 * (after.strengthAbv - before.strengthAbv),
      },
    ];
  });
}

/** Differences worth a sentence: 1 % of volume, 0.3 % vol of strength. */
export function sayableFractions(rows: readonly FractionDifference[]): readonly Reason[] {
  return rows.flatMap((row): Reason[] => {
    const { fraction, volumeByPercent, strengthByVolPercent } = row;
    if (row.reference === null || row.run === null) {
      return [{ code: row.run === null ? 'compare.fraction-missing' : 'compare.fraction-new', numbers: { fraction } }];
    }
    const found: Reason[] = [];
    if (volumeByPercent !== null && Math.abs(volumeByPercent) >= 1) {
      const code = `compare.fraction-${volumeByPercent > 0 ? 'more' : 'less'}`;
      found.push({ code, numbers: { fraction, byPercent: Math.abs(volumeByPercent) } });
    }
    if (strengthByVolPercent !== null && Math.abs(strengthByVolPercent) >= 0.3) {
      const code = `compare.fraction-${strengthByVolPercent > 0 ? 'stronger' : 'weaker'}`;
      found.push({ code, numbers: { fraction, byVolPercent: Math.abs(strengthByVolPercent) } });
    }
    return found;
  });
}
