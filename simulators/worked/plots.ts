import type { Development } from './development';
import { type Outcome, printedPercent, sayWay, type Tasted, type Worked, ways } from './worked';

/* Figures as plain SVG, readable without colour: every curve and bar has its name beside it. */

const width = 720;
const font = 'font-family="Liberation Sans, Arial, sans-serif"';
const ink = '#222222';
const shades = { temperature: '#b3541e', usual: '#1f5f99', share: '#3c7a3c' } as const;

interface Axis {
  readonly from: number;
  readonly to: number;
  readonly start: number;
  readonly end: number;
}

function at(axis: Axis, value: number): number {
  const place = axis.start + ((value - axis.from) / (axis.to - axis.from)) * (axis.end - axis.start);
  return Math.round(place * 10) / 10;
}

function text(x: number, y: number, words: string, more = ''): string {
  const safe = words.replaceAll('&', '&amp;').replaceAll('<', '&lt;');
  return `<text x="${x}" y="${y}" font-size="12" fill="${ink}" ${more}>${safe}</text>`;
}

function line(x1: number, y1: number, x2: number, y2: number, more: string): string {
  return `<line x1="${x1}" y1="${y1}" x2="${x2}" y2="${y2}" ${more}/>`;
}

function figure(height: number, title: string, parts: readonly string[]): string {
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" ${font}>`,
    `<title>${title.replaceAll('&', '&amp;')}</title>`,
    `<rect width="${width}" height="${height}" fill="#ffffff"/>`,
    ...parts,
    '</svg>\n',
  ].join('\n');
}

function steps(from: number, to: number, step: number): number[] {
  return Array.from({ length: Math.floor((to - from) / step + 1e-9) + 1 }, (_, index) => from + index * step);
}

/** Vapour of the development run over the share of the alcohol come over, with its jars, their verdicts and the cuts. */
export function drawCourse(development: Development, white: Tasted, oak: Tasted): string {
  const x: Axis = { from: 0, to: 75, start: 60, end: width - 30 };
  const y: Axis = { from: 82, to: 91, start: 330, end: 30 };
  const { figures } = white.derived;
  const points = development.course
    .filter(({ sharePercent, vapourC }) => sharePercent > 0.3 && sharePercent < x.to && vapourC > y.from)
    .map(({ sharePercent, vapourC }) => `${at(x, sharePercent)},${at(y, vapourC)}`);
  const bands = figures.jars.map((jar, index) => {
    const left = at(x, figures.changeovers[index]?.sharePercent ?? 0);
    const right = at(x, figures.changeovers[index + 1]?.sharePercent ?? 0);
    const fill = { out: '#dddddd', in: '#f6dd9c', 'in-for-oak': '#d9b27c', unsure: '#ffffff' }[jar.verdict];
    const middle = Math.round((left + right) / 2);
    const number = right - left > 13 ? text(middle, 352, String(jar.number), 'text-anchor="middle"') : '';
    return `<rect x="${left}" y="338" width="${Math.max(1, right - left - 1).toFixed(1)}" height="20" fill="${fill}" stroke="#777777" stroke-width="0.5"/>${number}`;
  });
  const cuts = [
    { name: 'heads', cut: white.variant.cuts.heads },
    { name: 'tails, white', cut: white.variant.cuts.tails },
    { name: 'tails, for oak', cut: oak.variant.cuts.tails },
  ].map(({ name, cut }, index) => {
    const place = at(x, cut.sharePercent ?? 0);
    const words = `${name}: ${cut.vapourAtReferenceC.toFixed(2)} °C, ${(cut.sharePercent ?? 0).toFixed(1)} %`;
    const end = index === 0 ? `text-anchor="start"` : `text-anchor="end"`;
    return `${line(place, 30, place, 358, 'stroke="#222222" stroke-dasharray="4 3"')}${text(place + (index === 0 ? 5 : -5), 44 + index * 18, words, end)}`;
  });
  return figure(410, 'Vapour temperature of the development run, its jars and cuts', [
    ...steps(82, 91, 1).map(
      (tick) =>
        `${line(60, at(y, tick), width - 30, at(y, tick), 'stroke="#e4e4e4"')}${text(54, at(y, tick) + 4, String(tick), 'text-anchor="end"')}`,
    ),
    ...steps(0, 75, 15).map((tick) => text(at(x, tick), 374, String(tick), 'text-anchor="middle"')),
    `<polyline points="${points.join(' ')}" fill="none" stroke="${shades.usual}" stroke-width="2"/>`,
    ...bands,
    ...cuts,
    text(60, 20, 'vapour at 1013.25 hPa [°C]'),
    text(width - 30, 400, "share of the charge's alcohol come over [%]", 'text-anchor="end"'),
    text(60, 400, 'jars: grey out, yellow in, brown in only for oak'),
  ]);
}

interface Bar {
  readonly label: string;
  readonly offPercent: number;
  readonly printedPercent: number;
  readonly shade: string;
  readonly words: string;
}

/** Points with the uncertainty printed beforehand as a bar about nothing. */
function drawBars(title: string, bars: readonly Bar[], mostPercent: number, tick: number): string {
  const x: Axis = { from: -mostPercent, to: mostPercent, start: 230, end: width - 110 };
  const bottom = 50 + bars.length * 22;
  const rows = bars.map((bar, index) => {
    const y = 52 + index * 22;
    const [left, right] = [
      at(x, -Math.min(mostPercent, bar.printedPercent)),
      at(x, Math.min(mostPercent, bar.printedPercent)),
    ];
    return [
      `<rect x="${left}" y="${y - 7}" width="${(right - left).toFixed(1)}" height="14" fill="${bar.shade}" fill-opacity="0.22"/>`,
      `<circle cx="${at(x, Math.max(-mostPercent, Math.min(mostPercent, bar.offPercent)))}" cy="${y}" r="4.5" fill="${bar.shade}"/>`,
      text(222, y + 4, bar.label, 'text-anchor="end"'),
      text(width - 100, y + 4, bar.words),
    ].join('');
  });
  return figure(bottom + 40, title, [
    ...steps(-mostPercent, mostPercent, tick).map(
      (value) =>
        `${line(at(x, value), 36, at(x, value), bottom, `stroke="${value === 0 ? '#222222' : '#e4e4e4'}"`)}${text(at(x, value), bottom + 14, String(value), 'text-anchor="middle"')}`,
    ),
    ...rows,
    text(230, 22, title),
    text(
      230,
      bottom + 32,
      'hearts a litre of alcohol charged, against the jars that were in [%]; bar: printed beforehand',
    ),
  ]);
}

const signed = (value: number): string => `${value >= 0 ? '+' : '−'}${Math.abs(value).toFixed(2)} %`;

export function drawRepeats(worked: Worked): string {
  const bars = worked.repeated.map((outcome): Bar => {
    const tasted = outcome.variant === 'white' ? worked.white : worked.oak;
    return {
      label: `${outcome.name}, ${outcome.variant === 'white' ? 'white' : 'for oak'}, ${outcome.hearts.airPressureHPa.toFixed(0)} hPa`,
      offPercent: outcome.volumeOffPercent,
      printedPercent: printedPercent(tasted),
      shade: shades.usual,
      words: signed(outcome.volumeOffPercent),
    };
  });
  return drawBars('Runs 2 to 5: charge, heat and probe as in run 1', bars, 5, 1);
}

export function drawDeviations(worked: Worked): string {
  const bars = (worked.deviated.usual as readonly Outcome[]).flatMap((_, index) =>
    ways.map((way): Bar => {
      const outcome = worked.deviated[way][index]!;
      return {
        label: way === 'temperature' ? `${outcome.name}: temperature` : way === 'usual' ? 'usual' : 'share',
        offPercent: outcome.volumeOffPercent,
        printedPercent: worked.printed[way],
        shade: shades[way],
        words: signed(outcome.volumeOffPercent),
      };
    }),
  );
  return drawBars('Charge, heat or probe otherwise, and nobody knows', bars, 25, 5);
}

/** What the names of the ways mean, for the document. */
export const key = ways.map((way) => `${way}: ${sayWay[way]}`);
