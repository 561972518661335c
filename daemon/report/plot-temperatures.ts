import type { Band, Minute } from './course';
import { bandPath, curvePath, label, line, path, type Stretch } from './curves';
import { html, type Insert, type Markup } from './html';
import { type Course, frame, layout, round } from './plot-frame';
import { type Scale, spreadApart, verticalScale } from './scale';
import { showNumber } from './show';

/** Below this only the heat-up lies, where nothing is cut: left out where there is more to see above [°C]. */
const floorC = 60;

interface Curve {
  readonly kind: string;
  readonly name: string;
  /** As read, or at which pressure. */
  readonly way: string;
  readonly stretches: readonly Stretch[];
}

/** Vapour and boiler, each as read and at the reference pressure, with the limits as they stood at the cuts. */
export function drawTemperatures(course: Course): Insert {
  const { minutes, wording, x } = course;
  const { saying } = wording;
  const curves = curvesOf(course);
  if (curves.length === 0) return null;
  const y = scaleFor(curves, course);
  const spread = (pick: (minute: Minute) => Band | null) =>
    path(bandPath(bandsOf(minutes, pick, inUnitOf(course)), x, y), 'spread');
  return html`${frame(layout.temperature, y, `°${saying.temperature}`, x, (tick) => showNumber(tick, 0, saying))}
<g clip-path="url(#temperatures)">${spread((one) => one.vapourC)}${spread((one) => one.boilerC)}
${curves.toReversed().map(({ kind, stretches }) => path(curvePath(stretches, x, y), `curve ${kind}`))}
${limitMarks(course, y)}</g>${labelsOf(curves, y)}`;
}

function inUnitOf({ wording }: Course): (tempC: number) => number {
  return wording.saying.temperature === 'F' ? (tempC) => tempC * 1.8 + 32 : (tempC) => tempC;
}

/** The curves there is something of. */
function curvesOf(course: Course): readonly Curve[] {
  const { minutes, story, wording } = course;
  const { words, saying } = wording;
  const inUnit = inUnitOf(course);
  const atReference = `${words.atReference} ${showNumber(story.referenceHPa, 0, saying)} hPa`;
  const curve = (kind: string, name: string, way: string, pick: (minute: Minute) => number | null): Curve => ({
    kind,
    name,
    way,
    stretches: minutes.map((minute) => {
      const tempC = pick(minute);
      return { fromS: minute.fromS, toS: minute.toS, value: tempC === null ? null : inUnit(tempC) };
    }),
  });
  return [
    curve('vapour', words.vapour, words.asRead, (one) => one.vapourC?.mean ?? null),
    curve('vapour at-reference', words.vapour, atReference, (one) => one.vapourAtReferenceC),
    curve('boiler', words.boiler, words.asRead, (one) => one.boilerC?.mean ?? null),
    curve('boiler at-reference', words.boiler, atReference, (one) => one.boilerAtReferenceC),
  ].filter(({ stretches }) => stretches.some(({ value }) => value !== null));
}

function scaleFor(curves: readonly Curve[], course: Course): Scale {
  const inUnit = inUnitOf(course);
  const values = curves.flatMap(({ stretches }) => stretches.flatMap(({ value }) => value ?? []));
  const above = values.filter((value) => value >= inUnit(floorC));
  const { top, bottom } = layout.temperature;
  return verticalScale(above.length > values.length / 4 ? above : values, top, bottom, inUnit(5) - inUnit(0), 9);
}

/** Each curve's name at its end, with a piece of its line. */
function labelsOf(curves: readonly Curve[], y: Scale): readonly Markup[] {
  const { right } = layout;
  const { top, bottom } = layout.temperature;
  const ends = curves.map(({ stretches }) => y.at(stretches.findLast(({ value }) => value !== null)?.value ?? y.least));
  const places = spreadApart(ends, 22, top + 6, bottom - 14);
  return curves.map(({ kind, name, way }, index) => {
    const place = places[index] ?? top;
    const end = Math.min(bottom, Math.max(top, ends[index] ?? place));
    return html`${line(right + 2, end, right + 10, place, 'leader')}${line(right + 10, place, right + 26, place, `curve ${kind}`)}${label(right + 30, place + 2, name)}${label(right + 30, place + 12, way, 'small')}`;
  });
}

/** A cross where a limit stood when its cut was made. */
function limitMarks(course: Course, y: Scale): readonly Markup[] {
  const { story, x } = course;
  const inUnit = inUnitOf(course);
  return story.told.phases.flatMap(({ atS, figures }) => {
    if (figures.thresholdHereC === null) return [];
    const [across, up] = [round(x.at(story.intoS(atS))), round(y.at(inUnit(figures.thresholdHereC)))];
    return [html`<path class="limit" d="M${across - 4} ${up}h8M${across} ${up - 4}v8"/>`];
  });
}

function bandsOf(minutes: readonly Minute[], pick: (minute: Minute) => Band | null, inUnit: (tempC: number) => number) {
  return minutes.flatMap((minute) => {
    const band = pick(minute);
    return band === null
      ? []
      : [{ fromS: minute.fromS, toS: minute.toS, min: inUnit(band.min), max: inUnit(band.max) }];
  });
}
