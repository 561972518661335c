import {
  type ComparedRun,
  chargedAlcoholL,
  type Departure,
  grid,
  type Profile,
  profileOf,
  type Quantity,
} from '../../lib/compare';
import type { Fraction } from '../../lib/recipe/schema';
import { sayName } from '../../lib/words';
import type { Beside } from './compared-run';
import { label, line, path } from './curves';
import { html, type Insert, type Markup } from './html';
import { frame, type Panel, round } from './plot-frame';
import { type Scale, scaleOf, ticksOf, verticalScale } from './scale';
import { showNumber } from './show';
import type { Wording } from './words';

type Compared = Extract<Beside, { kind: 'compared' }>;

/** A quarter of a millimetre on A4 is one unit, as in the course over time. */
const layout = {
  width: 720,
  left: 44,
  right: 612,
  ribbons: { top: 2, row: 17, high: 14 },
  first: 60,
  gap: 28,
} as const;

/**
 * What stands in a panel, its height, and the least it spans. A kelvin is nothing on the scale of a whole run: besides the curves the
 * difference from the other run is drawn on a scale of its own.
 */
const panels = [
  { quantity: 'vapour', as: 'itself', high: 118, leastSpan: 2 },
  { quantity: 'vapour', as: 'difference', high: 76, leastSpan: 2 },
  { quantity: 'boiler', as: 'difference', high: 62, leastSpan: 2 },
  { quantity: 'strength', as: 'difference', high: 62, leastSpan: 4 },
  { quantity: 'rate', as: 'itself', high: 70, leastSpan: 1 },
] as const satisfies readonly PanelKind[];

interface PanelKind {
  readonly quantity: Quantity;
  readonly as: 'itself' | 'difference';
  readonly high: number;
  readonly leastSpan: number;
}

/** What a panel is drawn from. */
interface Share {
  readonly compared: Compared;
  readonly wording: Wording;
  readonly profiles: { readonly run: Profile; readonly reference: Profile };
  readonly x: Scale;
}

/** As people read it: °C or °F, K or °F of difference, % vol, % of the charge an hour. */
function shownBy({ quantity, as }: PanelKind, { saying }: Wording): (value: number) => number {
  if (quantity === 'strength') return (value) => 100 * value;
  if (quantity === 'rate' || saying.temperature === 'C') return (value) => value;
  return as === 'difference' ? (value) => value * 1.8 : (value) => value * 1.8 + 32;
}

function unitOf({ quantity, as }: PanelKind, { saying }: Wording): string {
  if (quantity === 'strength') return '% vol';
  if (quantity === 'rate') return '%/h';
  return as === 'difference' && saying.temperature === 'C' ? 'K' : `°${saying.temperature}`;
}

/**
 * The run over the curves of the run its recipe came from, on the axis of the charge's alcohol come over: the envelope as a band, and a bar at
 * the edge of a panel wherever the run lies outside it.
 *
 * @returns null where neither run has a point
 */
export function drawCompared(compared: Compared, wording: Wording): Markup | null {
  const profiles = { run: profileOf(compared.run), reference: profileOf(compared.reference) };
  const isKnown = (quantity: Quantity, index: number) =>
    profiles.run[quantity][index] != null || profiles.reference[quantity][index] != null;
  const drawn = panels.filter(({ quantity, as }) =>
    grid.some((_, index) => isKnown(quantity, index) && (as === 'itself' || profiles.run[quantity][index] != null)),
  );
  if (drawn.length === 0) return null;
  const last = grid.findLast((_, index) => drawn.some(({ quantity }) => isKnown(quantity, index)));
  const most = Math.min(100, Math.ceil((last ?? 100) / 10) * 10);
  const share: Share = {
    compared,
    wording,
    profiles,
    x: scaleOf(0, most, layout.left, layout.right, ticksOf(0, most, 10)),
  };
  let top: number = layout.first;
  const all = drawn.map((kind) => {
    const panel = { top, bottom: top + kind.high };
    top += kind.high + layout.gap;
    return drawPanel(share, kind, panel);
  });
  const axis = top - layout.gap + 8;
  const { words, saying } = wording;
  return html`<svg class="course compared" viewBox="0 0 ${layout.width} ${axis + 36}" role="img" aria-label="${words.sharePlot}">
${drawFractions(share)}${all}${line(layout.left, axis, layout.right, axis, 'axis')}${share.x.ticks.map((tick) => html`${line(share.x.at(tick), axis, share.x.at(tick), axis + 4, 'axis')}${label(share.x.at(tick), axis + 15, showNumber(tick, 0, saying), 'tick', 'middle')}`)}${label((layout.left + layout.right) / 2, axis + 30, words.shareAxis, 'unit', 'middle')}</svg>`;
}

type Values = readonly (number | null)[];

/** The curves of a panel and its envelope, as people read them. */
function figuresOf({ compared, profiles, wording }: Share, kind: PanelKind) {
  const { quantity, as } = kind;
  const shown = shownBy(kind, wording);
  const bands = compared.comparison.envelope.bands[quantity];
  const over = (value: number | null, index: number): number | null => {
    if (value === null || as === 'itself') return value === null ? null : shown(value);
    const band = bands[index];
    return band == null ? null : shown(value - band.middle);
  };
  return {
    run: profiles.run[quantity].map(over),
    reference: profiles.reference[quantity].map(over),
    low: bands.map((band, index) => over(band?.low ?? null, index)),
    high: bands.map((band, index) => over(band?.high ?? null, index)),
  };
}

/** All values, and of the band what lies about its usual width: where a curve is steep it is as wide as the paper. */
function scaleFor(figures: ReturnType<typeof figuresOf>, panel: Panel, { as, leastSpan, high }: PanelKind): Scale {
  const known = (values: Values) => values.filter((value) => value !== null);
  const middle = (values: Values) => known(values).toSorted((a, b) => a - b)[known(values).length >> 1];
  const usual =
    as === 'itself' ? [] : [middle(figures.low) ?? 0, middle(figures.high) ?? 0].map((value) => 1.25 * value);
  const values = [...known(figures.run), ...known(figures.reference), ...usual];
  return verticalScale(values, panel.top, panel.bottom, leastSpan, high > 100 ? 6 : 4);
}

function drawPanel(share: Share, kind: PanelKind, panel: Panel): Markup {
  const { compared, wording, x } = share;
  const { words, saying } = wording;
  const { quantity, as } = kind;
  const figures = figuresOf(share, kind);
  const y = scaleFor(figures, panel, kind);
  const names = { vapour: words.vapour, boiler: words.boiler, strength: words.strength, rate: words.takeOff } as const;
  const atReference = `${words.atReference} ${showNumber(compared.reference.referenceHPa, 0, saying)} hPa`;
  const way = as === 'difference' ? words.againstThatRun : quantity === 'rate' ? words.ofCharge : atReference;
  const places = y.ticks.some((tick) => tick % 1 !== 0) ? 1 : 0;
  const clip = `share-${quantity}-${as}`;
  const departures = as === 'itself' && quantity !== 'rate' ? [] : compared.comparison.departures;
  return html`<clipPath id="${clip}"><rect x="${layout.left}" y="${panel.top}" width="${layout.right - layout.left}" height="${panel.bottom - panel.top}"/></clipPath>
${frame(panel, y, unitOf(kind, wording), x, (tick) => showNumber(tick, places, saying))}<g clip-path="url(#${clip})">${path(envelopePath(figures, x, y), 'spread')}
${path(curve(figures.reference, x, y), 'curve that-run')}${path(curve(figures.run, x, y), 'curve')}
${departures.filter((one) => one.quantity === quantity).map((one) => departureBar(one, panel, x))}</g>${label(layout.right + 8, panel.top + 9, names[quantity])}${label(layout.right + 8, panel.top + 20, way, 'small')}${kind === panels[0] && key(panel, words)}`;
}

/** What the lines mean, once. */
function key(panel: Panel, words: Wording['words']): Markup {
  const [from, to, text] = [layout.right + 8, layout.right + 28, layout.right + 33];
  const row = (index: number) => panel.top + 42 + 15 * index;
  return html`${line(from, row(0), to, row(0), 'curve')}${label(text, row(0) + 3, words.thisRun, 'small')}${line(from, row(1), to, row(1), 'curve that-run')}${label(text, row(1) + 3, words.thatRun, 'small')}<rect class="spread" x="${from}" y="${row(2) - 5}" width="20" height="10"/>${label(text, row(2) + 3, words.envelope, 'small')}${line(from, row(3), to, row(3), 'outside')}${label(text, row(3) + 3, words.outside, 'small')}`;
}

/** At the upper edge where the run lies above its envelope, at the lower where it lies below. */
function departureBar({ side, fromSharePercent, toSharePercent }: Departure, panel: Panel, x: Scale): Markup {
  const y = side === 'above' ? panel.top + 3 : panel.bottom - 3;
  return line(x.at(fromSharePercent - 0.5), y, x.at(toSharePercent + 0.5), y, 'outside');
}

function curve(values: Values, x: Scale, y: Scale): string {
  let [drawn, isOpen] = ['', false];
  for (const [index, value] of values.entries()) {
    if (value !== null) drawn += `${isOpen ? 'L' : 'M'}${round(x.at(grid[index]!))} ${round(y.at(value))}`;
    isOpen = value !== null;
  }
  return drawn;
}

/** The band of the envelope, one outline a stretch without gaps. */
function envelopePath({ low, high }: { readonly low: Values; readonly high: Values }, x: Scale, y: Scale): string {
  let drawn = '';
  let open: { readonly upper: string[]; readonly lower: string[] } = { upper: [], lower: [] };
  const close = () => {
    if (open.upper.length > 1) drawn += `M${[...open.upper, ...open.lower.toReversed()].join('L')}Z`;
    open = { upper: [], lower: [] };
  };
  for (const [index, share] of grid.entries()) {
    const [least, most] = [low[index] ?? null, high[index] ?? null];
    if (least === null || most === null) close();
    else {
      open.upper.push(`${round(x.at(share))} ${round(y.at(most))}`);
      open.lower.push(`${round(x.at(share))} ${round(y.at(least))}`);
    }
  }
  close();
  return drawn;
}

/** One ribbon a run: which fraction its alcohol went to, so that a cut that moved is seen to move. */
function drawFractions({ compared, wording, x }: Share): Insert {
  const { words, saying } = wording;
  const ribbon = (run: ComparedRun, row: number, name: string): Insert => {
    const y = layout.ribbons.top + row * layout.ribbons.row;
    const chargedL = chargedAlcoholL(run);
    let sharePercent = 0;
    const boxes = run.fractions.map(({ fraction, alcoholL }) => {
      const from = x.at(Math.min(x.most, sharePercent));
      sharePercent += chargedL > 0 ? (100 * alcoholL) / chargedL : 0;
      return fractionBox(fraction, from, x.at(Math.min(x.most, sharePercent)), y, sayName(fraction, saying));
    });
    return html`${boxes}${label(layout.right + 8, y + 11, name, 'small')}`;
  };
  return [ribbon(compared.run, 0, words.thisRun), ribbon(compared.reference, 1, words.thatRun)];
}

function fractionBox(fraction: Fraction, from: number, to: number, y: number, name: string): Insert {
  if (to <= from) return null;
  const middle = (from + to) / 2;
  const fits = name.length * 6 < to - from;
  return html`<rect class="ribbon ${fraction}" x="${round(from)}" y="${y}" width="${round(to - from)}" height="${layout.ribbons.high}"/>${fits && label(middle, y + 11, name, 'halo', 'middle')}${fits && label(middle, y + 11, name, 'name', 'middle')}`;
}
