import type { Phase } from '../../lib/recipe/schema';
import { sayName } from '../../lib/words';
import { joinMinutes, type Minute } from './course';
import { curvePath, grouped, label, line, path, stepPath } from './curves';
import { html, type Insert, type Markup } from './html';
import { letterOf } from './letters';
import { type Course, frame, layout, round } from './plot-frame';
import { drawTemperatures } from './plot-temperatures';
import { scaleOf, staggered, timeTicks, verticalScale } from './scale';
import { showInto, showNumber } from './show';
import type { RunStory } from './story';
import type { Wording } from './words';

/** Points of a curve at the most: the paper has no more columns. */
const mostPoints = 900;

/** The course of a run as one drawing: temperatures, air pressure and heat over time, with phases, cuts and alarms. */
export function drawCourse(story: RunStory, wording: Wording): Markup | null {
  if (story.minutes.length === 0) return null;
  const minutes = grouped(story.minutes, mostPoints, joinMinutes);
  const [first, last] = [minutes[0]!, minutes[minutes.length - 1]!];
  const [fromS, toS] = [story.intoS(first.fromS), Math.max(story.intoS(last.toS), story.intoS(first.fromS) + 60)];
  const x = scaleOf(fromS, toS, layout.left, layout.right, timeTicks(fromS, toS, 10));
  const course: Course = { story, wording, minutes: minutes.map((minute) => intoRun(minute, story)), x };
  const { words } = wording;
  return html`<svg class="course" viewBox="0 0 ${layout.width} ${layout.height}" role="img" aria-label="${words.plots}">
<defs><clipPath id="temperatures"><rect x="${layout.left}" y="${layout.temperature.top}" width="${layout.right - layout.left}" height="${layout.temperature.bottom - layout.temperature.top}"/></clipPath>
<pattern id="foreshots" width="5" height="5" patternUnits="userSpaceOnUse"><circle cx="2.5" cy="2.5" r="0.9"/></pattern>
<pattern id="heads" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V5"/></pattern>
<pattern id="tails" width="5" height="4" patternUnits="userSpaceOnUse"><path d="M0 2H5"/></pattern></defs>
${drawPhases(course)}${drawTemperatures(course)}${drawPressure(course)}${drawHeat(course)}${drawAlarms(course)}${drawTime(course)}</svg>`;
}

function intoRun(minute: Minute, story: RunStory): Minute {
  return { ...minute, fromS: story.intoS(minute.fromS), toS: story.intoS(minute.toS) };
}

const fractionPhases: readonly Phase[] = ['foreshots', 'heads', 'hearts', 'tails'];

/** The ribbon of phases above, a letter for each change of phase, and their lines through the panels. */
function drawPhases({ story, wording, x }: Course): Insert {
  const changes = story.told.phases.map((event) => ({ to: event.to, atS: story.intoS(event.atS) }));
  const { top, bottom } = layout.ribbon;
  const bands = changes.flatMap(({ to, atS }, index) => {
    const [from, until] = [x.at(Math.max(x.least, atS)), x.at(Math.min(x.most, changes[index + 1]?.atS ?? x.most))];
    if (until <= from) return [];
    const name = sayName(to, wording.saying);
    const fits = name.length * 6 < until - from;
    const hearts =
      to === 'hearts'
        ? html`<rect class="hearts-band" x="${round(from)}" y="${layout.temperature.top}" width="${round(until - from)}" height="${layout.heat.bottom - layout.temperature.top}"/>`
        : null;
    const kind = fractionPhases.includes(to) ? to : 'other';
    const box = (what: string) =>
      html`<rect class="${what}" x="${round(from)}" y="${top}" width="${round(until - from)}" height="${bottom - top}"/>`;
    const middle = (from + until) / 2;
    return [
      html`${hearts}${box(`ribbon ${kind}`)}${fits && label(middle, bottom - 5, name, 'halo', 'middle')}${fits && label(middle, bottom - 5, name, 'name', 'middle')}`,
    ];
  });
  const places = changes.map(({ atS }) => x.at(Math.min(x.most, Math.max(x.least, atS))));
  const rows = staggered(places, 14, layout.letters.rows);
  const letters = places.map((place, index) => {
    const row = rows[index] ?? null;
    const bottomOfLetter = top - 4 - (row ?? 0) * layout.letters.row;
    return html`${line(place, row === null ? top : bottomOfLetter + 1, place, layout.heat.bottom, 'cut')}${row !== null && label(place, bottomOfLetter, letterOf(index), 'letter', 'middle')}`;
  });
  return [...bands, ...letters];
}

function drawPressure({ minutes, wording, x }: Course): Insert {
  const stretches = minutes.map(({ fromS, toS, airPressureHPa }) => ({ fromS, toS, value: airPressureHPa }));
  const values = stretches.flatMap(({ value }) => value ?? []);
  if (values.length === 0) return null;
  const { top, bottom } = layout.pressure;
  const y = verticalScale(values, top, bottom, 3, 3);
  const middle = y.at(values[values.length - 1] ?? y.least);
  const place = Math.min(bottom - 2, Math.max(top + 8, middle + 3));
  return html`${frame(layout.pressure, y, 'hPa', x, (tick) => showNumber(tick, tick % 1 === 0 ? 0 : 1, wording.saying))}${path(curvePath(stretches, x, y), 'curve air')}${label(layout.right + 8, place, wording.words.airPressure)}`;
}

/** What the heat was commanded to be, all heat drives together [W], at each change. */
function commandedHeat({ story }: Course): readonly { readonly atS: number; readonly value: number }[] {
  const shares = new Map<string, number>();
  const changes: { atS: number; value: number }[] = [];
  for (const decided of story.told.decided) {
    if (decided.kind !== 'command') continue;
    const { drive, value } = decided.command;
    const rated = story.run.plant.still.drives[drive];
    if (rated?.kind !== 'heat' || typeof value !== 'number') continue;
    shares.set(drive, value * rated.ratedW);
    changes.push({ atS: story.intoS(decided.atS), value: [...shares.values()].reduce((sum, one) => sum + one, 0) });
  }
  return changes;
}

function drawHeat(course: Course): Insert {
  const { minutes, wording, x } = course;
  const commanded = commandedHeat(course);
  const drawn = minutes.map(({ fromS, toS, heatW }) => ({ fromS, toS, value: heatW === null ? null : heatW / 1000 }));
  const values = [...drawn.flatMap(({ value }) => value ?? []), ...commanded.map(({ value }) => value / 1000)];
  if (values.length === 0) return null;
  const { top, bottom } = layout.heat;
  const y = verticalScale([0, ...values], top, bottom, 1, 4);
  const isDrawn = drawn.some(({ value }) => value !== null);
  const key = (row: number, kind: string, text: string) =>
    html`${line(layout.right + 10, top + 22 + row, layout.right + 26, top + 22 + row, `curve ${kind}`)}${label(layout.right + 30, top + 25 + row, text, 'small')}`;
  return html`${frame(layout.heat, y, 'kW', x, (tick) => showNumber(tick, tick % 1 === 0 ? 0 : 1, wording.saying))}${path(
    stepPath(
      commanded.map(({ atS, value }) => ({ atS, value: value / 1000 })),
      x,
      y,
    ),
    'curve commanded',
  )}${path(curvePath(drawn, x, y), 'curve heat')}${label(layout.right + 8, top + 9, wording.words.heat)}${isDrawn && key(0, 'heat', wording.words.measuredHeat)}${commanded.length > 0 && key(13, 'commanded', wording.words.commandedHeat)}`;
}

/** A bar from raising to return a row under the panels, with the number the table below has. */
function drawAlarms({ story, wording, x }: Course): Insert {
  const { alarms } = story.told;
  if (alarms.length === 0) return null;
  const { top, row, rows } = layout.alarms;
  const places = alarms.map((alarm) => x.at(Math.min(x.most, Math.max(x.least, story.intoS(alarm.raisedAtS)))));
  const staggeredRows = staggered(places, 20, rows);
  const marks = places.map((place, index) => {
    const [alarm, at] = [alarms[index]!, staggeredRows[index] ?? null];
    const y = top + (at ?? rows - 1) * row;
    const end = alarm.returnedAtS === null ? x.most : Math.min(x.most, story.intoS(alarm.returnedAtS));
    const kind = alarm.announced ? 'alarm-mark' : 'alarm-mark silent';
    return html`${line(place, y + 4, Math.max(place, x.at(end)), y + 4, 'alarm-bar')}<path class="${kind}" d="M${round(place)} ${y - 4}l4.5 8h-9z"/>${at !== null && label(place + 6, y + 2, String(index + 1), 'small')}`;
  });
  return html`${marks}${label(layout.right + 8, top + 4, wording.words.alarms)}`;
}

function drawTime({ wording, x }: Course): Insert {
  const y = layout.axis;
  const isFine = (x.ticks[1] ?? 60) % 60 !== 0;
  return html`${line(layout.left, y, layout.right, y, 'axis')}${x.ticks.map((tick) => html`${line(x.at(tick), y, x.at(tick), y + 4, 'axis')}${label(x.at(tick), y + 15, isFine ? showInto(tick) : showInto(tick).slice(0, -3), 'tick', 'middle')}`)}${label((layout.left + layout.right) / 2, y + 30, wording.words.timeAxis, 'unit', 'middle')}`;
}
