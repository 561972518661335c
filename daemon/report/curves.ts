import { html, type Markup } from './html';
import type { Scale } from './scale';

/** One point of a curve, over a stretch of time. */
export interface Stretch {
  readonly fromS: number;
  readonly toS: number;
  readonly value: number | null;
}

const number = (value: number): string => String(Math.round(value * 100) / 100);

/** A gap longer than this breaks a curve [s]: the daemon was not running, or the probe did not read. */
const gapS = 240;

/** Path through the middles of stretches, broken where there is nothing. */
export function curvePath(stretches: readonly Stretch[], x: Scale, y: Scale): string {
  let path = '';
  let lastS = Number.NEGATIVE_INFINITY;
  for (const { fromS, toS, value } of stretches) {
    if (value === null) continue;
    const isJoined = fromS - lastS <= gapS;
    path += `${isJoined ? 'L' : 'M'}${number(x.at((fromS + toS) / 2))} ${number(y.at(value))}`;
    lastS = toS;
  }
  return path;
}

/** Path of a value that stays until it is set anew. */
export function stepPath(changes: readonly { readonly atS: number; readonly value: number }[], x: Scale, y: Scale) {
  let path = '';
  for (const { atS, value } of changes) {
    const place = number(x.at(Math.min(x.most, Math.max(x.least, atS))));
    path += path === '' ? `M${place} ${number(y.at(value))}` : `H${place}V${number(y.at(value))}`;
  }
  return path === '' ? '' : `${path}H${number(x.at(x.most))}`;
}

export interface BandStretch {
  readonly fromS: number;
  readonly toS: number;
  readonly min: number;
  readonly max: number;
}

/** Outlines of the band between lowest and highest reading, one a stretch without gaps. */
export function bandPath(stretches: readonly BandStretch[], x: Scale, y: Scale): string {
  const runs: BandStretch[][] = [];
  for (const stretch of stretches) {
    const open = runs.at(-1);
    const last = open?.at(-1);
    if (open !== undefined && last !== undefined && stretch.fromS - last.toS <= gapS) open.push(stretch);
    else runs.push([stretch]);
  }
  return runs
    .map((run) => {
      const at = ({ fromS, toS }: BandStretch) => number(x.at((fromS + toS) / 2));
      const upper = run.map((one) => `${at(one)} ${number(y.at(one.max))}`);
      const lower = run.toReversed().map((one) => `${at(one)} ${number(y.at(one.min))}`);
      return `M${[...upper, ...lower].join('L')}Z`;
    })
    .join('');
}

export function line(x1: number, y1: number, x2: number, y2: number, kind: string): Markup {
  return html`<line class="${kind}" x1="${number(x1)}" y1="${number(y1)}" x2="${number(x2)}" y2="${number(y2)}"/>`;
}

export function label(
  x: number,
  y: number,
  text: string,
  kind = 'label',
  anchor: 'start' | 'middle' | 'end' = 'start',
): Markup {
  return html`<text class="${kind}" x="${number(x)}" y="${number(y)}" text-anchor="${anchor}">${text}</text>`;
}

export function path(d: string, kind: string): Markup | null {
  return d === '' ? null : html`<path class="${kind}" d="${d}"/>`;
}

/** At most so many stretches, neighbours taken together. */
export function grouped<T>(items: readonly T[], most: number, join: (group: readonly T[]) => T): readonly T[] {
  const size = Math.ceil(items.length / most);
  if (size <= 1) return items;
  const groups: T[] = [];
  for (let from = 0; from < items.length; from += size) groups.push(join(items.slice(from, from + size)));
  return groups;
}
