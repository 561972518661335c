import type { RunBalance } from '../../lib/proofing';
import { sayName } from '../../lib/words';
import { html, type Insert, type Markup } from './html';
import { foreign, paragraph, section, table } from './parts';
import { nothing, showDate, showNumber, showPercent, showVolume } from './show';
import type { RunStory } from './story';
import type { Wording } from './words';
import type { Figure, FractionTold, Origin } from './yield';

/** What came over, where the alcohol went, and what was entered afterwards. */
export function sectionsYield(story: RunStory, wording: Wording): Insert {
  return [fractionSection(story, wording), balanceSection(story, wording), afterSections(story, wording)];
}

const originWords = {
  hand: 'fromHand',
  measured: 'fromMeasured',
  receivers: 'fromReceivers',
  flow: 'fromFlow',
  heat: 'fromHeat',
  none: 'fromNone',
} as const satisfies Record<Origin, string>;

function withError(value: string, error: string): Insert {
  return html`${value}<span class="below">± ${error}</span>`;
}

function volumeCell({ value, uncertainty }: Figure, { saying }: Wording): Insert {
  return withError(`${showVolume(value, saying)} L`, showVolume(uncertainty, saying));
}

function strengthCell(strengthAbv: Figure | null, { saying }: Wording): Insert {
  if (strengthAbv === null) return nothing;
  return withError(`${showPercent(strengthAbv.value, saying)} %`, showPercent(strengthAbv.uncertainty, saying));
}

/** Where volume and strength come from; what they were thought to be during the run stands below what was measured. */
function originCell(one: FractionTold, { words, saying }: Wording): Insert {
  const { volumeL, strengthAbv, during, tempC } = one;
  const strengthByHand = strengthAbv?.from === 'hand';
  const strength =
    strengthAbv === null || strengthByHand === (volumeL.from === 'hand')
      ? ''
      : `; ${strengthByHand ? words.strengthByHand : words.strengthFromVapour}`;
  const temp = volumeL.from === 'hand' && tempC !== 20 ? ` (${showNumber(tempC, 1, saying)} °C)` : '';
  const was =
    during === null || (volumeL.from !== 'hand' && !strengthByHand)
      ? null
      : `${words.duringRun}: ${showVolume(during.volumeL, saying)} L${during.strengthAbv === null ? '' : `, ${showPercent(during.strengthAbv, saying)} % vol`}`;
  return html`${words[originWords[volumeL.from]]}${temp}${strength}${was !== null && html`<span class="below">${was}</span>`}`;
}

function fractionSection(story: RunStory, wording: Wording): Markup {
  const { words, saying } = wording;
  const { fractions, totalL, totalAlcoholL, charge } = story.yield;
  if (fractions.length === 0) return section('fractions', words.fraction, paragraph(words.nothingCameOver));
  const rows: Insert[][] = fractions.map((one) => [
    sayName(one.fraction, saying),
    volumeCell(one.volumeL, wording),
    strengthCell(one.strengthAbv, wording),
    one.alcoholL === null ? nothing : `${showVolume(one.alcoholL, saying)} L`,
    one.sharePercent === null ? nothing : `${showNumber(one.sharePercent, 1, saying)} %`,
    originCell(one, wording),
  ]);
  const share =
    charge === null || charge.alcoholL === 0 ? nothing : `${showPercent(totalAlcoholL / charge.alcoholL, saying)} %`;
  const strong = (text: string) => html`<strong>${text}</strong>`;
  rows.push([
    strong(words.together),
    strong(`${showVolume(totalL, saying)} L`),
    totalL > 0 ? strong(`${showPercent(totalAlcoholL / totalL, saying)} %`) : nothing,
    strong(`${showVolume(totalAlcoholL, saying)} L`),
    strong(share),
    '',
  ]);
  const columns = [
    { head: words.fraction },
    { head: words.volume, kind: 'figure' },
    { head: `${words.strength} (vol)`, kind: 'figure' },
    { head: words.alcohol, kind: 'figure' },
    { head: words.shareOfCharge, kind: 'figure' },
    { head: words.from, kind: 'wide' },
  ] as const;
  return section('fractions', words.fractions, table(columns, rows), paragraph(words.fractionsNote, 'note'));
}

function balanceSection(story: RunStory, wording: Wording): Markup {
  const { words } = wording;
  const { balance, cautions, isResidueMeasured } = story.yield;
  if (balance === null) {
    const why = cautions.map(({ path, message, remedy }) =>
      paragraph(`${words.noBalance}: ${path} ${message}. ${remedy}.`),
    );
    return section('balance', words.balance, why);
  }
  const verdict = {
    closed: words.verdictClosed,
    missing: isResidueMeasured ? words.verdictMissing : words.verdictMissingResidue,
    excess: words.verdictExcess,
  }[balance.verdict];
  const columns = [
    { head: '' },
    { head: words.alcohol, kind: 'figure' },
    { head: words.shareOfCharge, kind: 'figure' },
  ] as const;
  return section(
    'balance',
    words.balance,
    drawShares(story, wording),
    table(columns, balanceRows(balance, story, wording), 'narrow'),
    paragraph(verdict),
    cautions
      .filter((one) => isResidueMeasured || one.path !== 'residue')
      .map(({ message, remedy }) => paragraph(`${message}. ${remedy}.`, 'note')),
  );
}

function balanceRows(balance: RunBalance, { yield: { isResidueMeasured } }: RunStory, wording: Wording): Insert[][] {
  const { words, saying } = wording;
  const litres = (alcoholL: number) => `${showVolume(alcoholL, saying)} L`;
  const share = (alcoholL: number) => `${showPercent(alcoholL / balance.chargeAlcoholL, saying)} %`;
  const row = (name: string, alcoholL: number): Insert[] => [name, litres(alcoholL), share(alcoholL)];
  return [
    row(words.charge, balance.chargeAlcoholL),
    ...balance.fractions.map(({ name, alcoholL }) => row(sayName(name, saying), alcoholL)),
    ...(isResidueMeasured ? [row(words.residue, balance.residueAlcoholL)] : []),
    [
      isResidueMeasured ? words.unaccounted : words.unaccountedWithResidue,
      withError(litres(balance.unaccountedAlcoholL), showVolume(balance.uncertaintyL, saying)),
      share(balance.unaccountedAlcoholL),
    ],
  ];
}

const bar = { left: 1, width: 718, top: 4, height: 22 } as const;

/** One bar for the charge's alcohol, parted as it came over; what is unaccounted for stays white. */
function drawShares(story: RunStory, { words, saying }: Wording): Markup | null {
  const { balance } = story.yield;
  if (balance === null) return null;
  const whole = Math.max(balance.chargeAlcoholL, balance.collectedAlcoholL + balance.residueAlcoholL);
  const parts = [
    ...balance.fractions.map(({ name, alcoholL }) => ({ kind: name, name: sayName(name, saying), alcoholL })),
    { kind: 'residue', name: words.residue, alcoholL: balance.residueAlcoholL },
    { kind: 'rest', name: words.unaccounted, alcoholL: Math.max(0, balance.unaccountedAlcoholL) },
  ].filter(({ alcoholL }) => alcoholL > 0);
  let from: number = bar.left;
  const drawn = parts.map(({ kind, name, alcoholL }) => {
    const width = (alcoholL / whole) * bar.width;
    const x = from;
    from += width;
    const fits = name.length * 6.2 < width;
    const at = (style: string) =>
      html`<text class="${style}" x="${(x + width / 2).toFixed(1)}" y="${bar.top + 15}" text-anchor="middle">${name}</text>`;
    return html`<rect class="ribbon ${kind}" x="${x.toFixed(2)}" y="${bar.top}" width="${width.toFixed(2)}" height="${bar.height}"/>${fits && at('halo')}${fits && at('name')}`;
  });
  return html`<div class="scroll"><svg class="share" viewBox="0 0 720 30" role="img" aria-label="${words.balance}">${drawn}</svg></div>
`;
}

function afterSections(story: RunStory, wording: Wording): Insert {
  const { words, saying } = wording;
  const { feints, notes } = story.after.content;
  const kept = feints.map((one): Insert[] => [
    one.fractions.map((fraction) => sayName(fraction, saying)).join(', '),
    `${showVolume(one.volumeL, saying)} L`,
    `${showPercent(one.strengthAbv, saying)} %`,
    `${showVolume(one.volumeL * one.strengthAbv, saying)} L`,
    foreign(one.where ?? nothing),
    one.usedIn === undefined ? words.notYetUsed : html`${words.usedIn} ${foreign(one.usedIn)}`,
    html`${showDate(one.atMs)} ${foreign(one.by)}`,
  ]);
  const columns = [
    { head: words.fraction },
    { head: words.volume, kind: 'figure' },
    { head: `${words.strength} (vol)`, kind: 'figure' },
    { head: words.alcohol, kind: 'figure' },
    { head: words.where },
    { head: '' },
    { head: words.who },
  ] as const;
  const noted = notes.map(({ text, by, atMs }): Insert[] => [showDate(atMs), foreign(by), foreign(text)]);
  return [
    kept.length > 0 && section('feints', words.feintsKept, table(columns, kept)),
    noted.length > 0 &&
      section(
        'notes',
        words.notes,
        table([{ head: '', kind: 'mark' }, { head: words.who }, { head: words.notes, kind: 'wide' }], noted),
      ),
  ];
}
