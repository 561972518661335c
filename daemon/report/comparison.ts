import { type FractionDifference, sayComparison } from '../../lib/compare';
import type { Reason } from '../../lib/engine/types';
import { sayName } from '../../lib/words';
import type { Beside } from './compared-run';
import { html, type Insert, type Markup } from './html';
import { foreign, paragraph, section, table } from './parts';
import { drawCompared } from './plot-compared';
import { nothing, showNumber } from './show';
import type { Wording } from './words';

/** How the run stands beside the run its recipe came from; nothing where there is none, and why not where it could not be compared. */
export function sectionCompared(beside: Beside, wording: Wording): Markup | null {
  if (beside.kind === 'none') return null;
  const { words, saying } = wording;
  if (beside.kind === 'failed') {
    return section(
      'compared',
      words.comparison,
      paragraph(foreign(`${words.notCompared}: ${beside.message}. ${beside.remedy}.`)),
    );
  }
  const { comparison } = beside;
  const drawing = drawCompared(beside, wording);
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
  const causes = comparison.causes.map(({ reason }) => reason);
  const list = (reasons: readonly Reason[]) => html`<ul>${reasons.map(
    (reason) => html`<li>${foreign(sayComparison(reason, saying))}</li>
`,
  )}</ul>
`;
  const differs = comparison.findings.filter((reason) => !causes.includes(reason));
  return section(
    'compared',
    `${words.comparedWith} ${comparison.reference}`,
    causes.length > 0 && [html`<h3>${words.likelyReasons}</h3>`, list(causes)],
    differs.length > 0 && [causes.length > 0 && html`<h3>${words.whatDiffers}</h3>`, list(differs)],
    drawing !== null && html`<div class="scroll">${drawing}</div>${paragraph(words.sharePlotNote, 'note')}`,
    rows.length > 0 && table(columns, rows),
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
