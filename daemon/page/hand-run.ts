import type { ComparedRun, FractionFigures, ProfilePoint } from '../../lib/compare';
import { checkSheet, type JarFigures, type SheetFigures, workOut } from '../../lib/jars';
import type { Fraction } from '../../lib/recipe/schema';
import type { Journal } from '../store';
import { sheetDocument } from './sheet-view';
import { createSheets } from './sheets';

/** Which fraction a jar is of: foreshots and what was out before the first that is in are heads' side, what is out after the last is tails. */
function fractionOf(figures: SheetFigures, index: number): Fraction {
  const isIn = ({ verdict }: JarFigures) => verdict === 'in' || verdict === 'in-for-oak';
  if (index < figures.sheet.foreshotsJars) return 'foreshots';
  const [first, last] = [figures.jars.findIndex(isIn), figures.jars.findLastIndex(isIn)];
  if (first < 0 || index < first) return 'heads';
  return index > last ? 'tails' : 'hearts';
}

function fractionsIn(figures: SheetFigures): readonly FractionFigures[] {
  // Without a verdict nobody knows where the hearts are.
  if (!figures.jars.some(({ verdict }) => verdict === 'in' || verdict === 'in-for-oak')) return [];
  const found = new Map<Fraction, FractionFigures>();
  for (const [index, { volumeL, alcoholL }] of figures.jars.entries()) {
    if (volumeL === null || alcoholL === null) continue;
    const fraction = fractionOf(figures, index);
    const before = found.get(fraction) ?? { volumeL: 0, alcoholL: 0 };
    const [volume, alcohol] = [before.volumeL + volumeL, before.alcoholL + alcoholL];
    found.set(fraction, { fraction, volumeL: volume, alcoholL: alcohol, strengthAbv: alcohol / volume });
  }
  return [...found.values()];
}

/** What was read each time a jar was changed, with the rate of the jar that was full. */
function pointsOf({ changeovers, jars }: SheetFigures): readonly ProfilePoint[] {
  return changeovers.flatMap((one, index): ProfilePoint[] => {
    if (one.sharePercent === null || one.sharePercent <= 0) return [];
    const [before, jar] = [changeovers[index - 1], jars[index - 1]];
    const lastedS = one.timeS === null || before?.timeS == null ? null : one.timeS - before.timeS;
    const rate = lastedS === null || lastedS <= 0 || jar?.volumeL == null ? null : (3600 * jar.volumeL) / lastedS;
    const { sharePercent, vapourAtReferenceC, boilerAtReferenceC } = one;
    return [
      {
        sharePercent,
        vapourAtReferenceC,
        boilerAtReferenceC,
        strengthAbv: null,
        rateLPerH: rate,
        timeS: one.timeS ?? 0,
      },
    ];
  });
}

/**
 * A run made by hand as it is compared: from its jar sheet in the record, changeover by changeover. What a jar holds on the average says nothing
 * of the strength at a moment, so strength is compared by fraction only.
 *
 * @returns null where there is no such sheet, its charge is not known, or it cannot be worked out
 */
export function comparedSheet(journal: Journal, id: string, referenceHPa?: number): ComparedRun | null {
  const shown = createSheets(journal, () => 1).show(id);
  if (shown.kind !== 'ok' || !shown.value.byHand) return null;
  const document = sheetDocument(shown.value);
  const sheet = document === null ? null : checkSheet(document);
  if (sheet?.kind !== 'ok') return null;
  const figures = workOut(sheet.value, referenceHPa ?? shown.value.about.content.referenceHPa);
  const { volumeL } = sheet.value.charge;
  return {
    id,
    charge: { volumeL, strengthAbv: figures.chargeAlcoholL / volumeL },
    heaterW: sheet.value.heaterW ?? null,
    strengthBy: null,
    referenceHPa: figures.referenceHPa,
    points: pointsOf(figures),
    fractions: fractionsIn(figures),
  };
}
