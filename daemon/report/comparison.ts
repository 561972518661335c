import { type Comparison, type FractionDifference, sayComparison } from '../../lib/compare';
import { sayName } from '../../lib/words';
import { html, type Insert, type Markup } from './html';
import { foreign, paragraph, section, table } from './parts';
import { nothing, showNumber } from './show';
import type { Wording } from './words';

/** How the run stands beside the run its recipe came from; nothing where it was not compared. */
export function sectionCompared(comparison: Comparison | null, wording: Wording): Markup | null {
  if (comparison === null) return null;
  const { words, saying } = wording;
  const columns = [
    { head: words.fraction },
    { head: words.volumePerAlcohol, kind: 'figure' },
    { head: words.thatRun, kind: 'figure' },
    { head: words.difference, kind: 'figure' },
    { head: `${words.strength} (vol)`, kind: 'figure' },
    { head: words.thatRun, kind: 'figure' },
    { head: words.difference, kind: 'figure' },
  ] as const;
  const rows = comparison.fractions.map((one) => fractionRow(one, wording));
  const findings = comparison.findings.map(
    (reason) => html`<li>${foreign(sayComparison(reason, saying))}</li>
`,
  );
  return section(
    'compared',
    `${words.comparedWith} ${comparison.reference}`,
    rows.length > 0 && table(columns, rows),
    html`<ul>${findings}</ul>
`,
    paragraph(words.comparedNote, 'note'),
  );
}

function fractionRow(one: FractionDifference, { saying }: Wording): Insert[] {
  const number = (value: number | null | undefined, places: number, unit: string): string =>
    value === null || value === undefined ? nothing : `${showNumber(value, places, saying)}${unit}`;
  const signed = (value: number | null, places: number, unit: string): string =>
    `${value !== null && value > 0 ? '+' : ''}${number(value, places, unit)}`;
  const percent = (strengthAbv: number | null | undefined) =>
    number(strengthAbv === null || strengthAbv === undefined ? null : 100 * strengthAbv, 1, ' %');
  return [
    sayName(one.fraction, saying),
    number(one.perAlcohol?.run, 3, ' L/L'),
    number(one.perAlcohol?.reference, 3, ' L/L'),
    signed(one.volumeByPercent, 1, ' %'),
    percent(one.run?.strengthAbv),
    percent(one.reference?.strengthAbv),
    signed(one.strengthByVolPercent, 1, ''),
  ];
}
