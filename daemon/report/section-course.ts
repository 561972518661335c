import { sayName, sayReason } from '../../lib/words';
import { html, type Insert, type Markup } from './html';
import { letterOf } from './letters';
import { foreign, paragraph, section, table } from './parts';
import { drawCourse } from './plot';
import { nothing, showInto, showPressure, showTemp, showTimeOfDay, showVolume } from './show';
import type { RunStory } from './story';
import type { PhaseEvent } from './telling';
import type { Wording } from './words';

/** The course of the run, drawn. */
export function sectionPlots(story: RunStory, wording: Wording): Markup {
  const { words } = wording;
  const drawing = drawCourse(story, wording);
  const plots =
    drawing === null
      ? paragraph(words.noCurves)
      : html`<div class="scroll">${drawing}</div>${paragraph(words.plotsNote, 'note')}`;
  return section('course', words.plots, plots);
}

/** The changes of phase, with what each rests on, and the jars. */
export function sectionsCuts(story: RunStory, wording: Wording): Insert {
  return [cutSection(story, wording), jarSection(story, wording)];
}

/** Time into the run, and the time of day with it where the run went as life does. */
export function timeCell(story: RunStory, atS: number, place: 'below' | 'beside'): Insert {
  const into = showInto(story.intoS(atS));
  return story.speed === 1 ? html`${into}<span class="${place}">${showTimeOfDay(story.wallMs(atS))}</span>` : into;
}

function howMade({ asked, reason }: PhaseEvent, { words }: Wording): string {
  if (reason.code.startsWith('order.')) return words.madeOrdered;
  return asked ? words.madeAsked : words.madeAutomatic;
}

function cutSection(story: RunStory, wording: Wording): Markup {
  const { words, saying } = wording;
  const rows = story.told.phases.map((event, index): Insert[] => [
    html`<span class="letter-mark">${letterOf(index)}</span>`,
    timeCell(story, event.atS, 'below'),
    html`${sayName(event.from, saying)} → <b>${sayName(event.to, saying)}</b><span class="below">${howMade(event, wording)}</span>`,
    showTemp(event.figures.vapourTempC, saying),
    showTemp(event.figures.thresholdHereC, saying),
    showTemp(event.figures.thresholdAtReferenceC, saying),
    showPressure(event.figures.airPressureHPa, saying),
    foreign(sayReason(event.reason, saying)),
  ]);
  const columns = [
    { head: '' },
    { head: words.into, kind: 'mark' },
    { head: words.change },
    { head: words.vapour, kind: 'figure' },
    { head: words.limitHere, kind: 'figure' },
    { head: words.limitAtReference, kind: 'figure' },
    { head: words.airPressure, kind: 'figure' },
    { head: words.why, kind: 'wide' },
  ] as const;
  return section('cuts', words.cuts, rows.length === 0 ? paragraph(words.noCuts) : table(columns, rows));
}

function jarSection(story: RunStory, wording: Wording): Insert {
  const { words, saying } = wording;
  const rows = story.told.jars.map(({ number, atS, figures, volumeL }): Insert[] => [
    String(number),
    timeCell(story, atS, 'beside'),
    showTemp(figures.vapourTempC, saying),
    showPressure(figures.airPressureHPa, saying),
    volumeL === null ? nothing : `${showVolume(volumeL, saying)} L`,
  ]);
  if (rows.length === 0) return null;
  const columns = [
    { head: words.jar, kind: 'figure' },
    { head: words.into, kind: 'mark' },
    { head: words.vapour, kind: 'figure' },
    { head: words.airPressure, kind: 'figure' },
    { head: words.jarFilled, kind: 'figure' },
  ] as const;
  return section('jars', words.jars, table(columns, rows));
}
