import type { Minute } from './course';
import { label, line } from './curves';
import { html, type Markup } from './html';
import type { Scale } from './scale';
import type { RunStory } from './story';
import type { Wording } from './words';

/** A quarter of a millimetre on A4 is one unit. */
export const layout = {
  width: 720,
  left: 44,
  right: 612,
  letters: { top: 0, row: 13, rows: 3 },
  ribbon: { top: 42, bottom: 60 },
  temperature: { top: 76, bottom: 326 },
  pressure: { top: 352, bottom: 402 },
  heat: { top: 428, bottom: 488 },
  alarms: { top: 506, row: 15, rows: 2 },
  axis: 546,
  height: 582,
} as const;

/** What every panel is drawn from; times are into the run. */
export interface Course {
  readonly story: RunStory;
  readonly wording: Wording;
  readonly minutes: readonly Minute[];
  readonly x: Scale;
}

export const round = (value: number): number => Math.round(value * 100) / 100;

export interface Panel {
  readonly top: number;
  readonly bottom: number;
}

/** Frame of a panel with its scale at the left, lines across, and the unit above it. */
export function frame(
  { top, bottom }: Panel,
  y: Scale,
  unit: string,
  x: Scale,
  show: (tick: number) => string,
): Markup {
  return html`${x.ticks.map((tick) => line(x.at(tick), top, x.at(tick), bottom, 'grid'))}
${y.ticks.map((tick) => html`${line(layout.left, y.at(tick), layout.right, y.at(tick), 'grid')}${label(layout.left - 5, y.at(tick) + 3.5, show(tick), 'tick', 'end')}`)}
<rect class="frame" x="${layout.left}" y="${top}" width="${layout.right - layout.left}" height="${bottom - top}"/>${label(layout.left - 5, top - 9, unit, 'unit', 'end')}`;
}
