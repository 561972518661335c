import { button, draw, make, put, setAttribute, show } from './dom.js';
import { duration, runClock, temp, tempNumber, tempUnit } from './figures.js';
import { reference } from './now.js';
import { say } from './words.js';

/** @typedef {import('../views').TrendView} TrendView */
/** @typedef {{ atS: number, vapourC: number | null, atReferenceC: number | null, boilerC: number | null }} Sample */

/** Once vapour has come, a plot that goes further down than this shows nothing of the cuts [K below the highest]. */
const deepestK = 25;
const vapourCameC = 60;
const margin = { left: 42, right: 10, top: 24, bottom: 26 };
const lines = /** @type {const} */ (['atReferenceC', 'vapourC', 'boilerC']);

/** A plot of temperatures over time: lines told apart by dashes and by their names, cuts as upright lines. */
export function createTrend() {
  /** @type {Sample[]} */
  let samples = [];
  /** @type {TrendView['phases']} */
  let phases = [];
  /** @type {number | null} */
  let startedS = null;
  let referenceHPa = 1013.25;
  /** @type {number | null} */
  let thresholdC = null;
  let isWhole = false;
  const plot = draw('svg', { class: 'plot', role: 'img' });
  const empty = make('p', { class: 'hint' }, say('trend.empty'));
  const hour = button(say('trend.hour'), () => choose(false), 'small');
  const all = button(say('trend.all'), () => choose(true), 'small');
  const legend = make('ul', { class: 'legend' });
  const element = make('section', { class: 'sheet stack' }, make('h2', {}, say('trend.title')));
  put(element, empty, plot, legend, make('div', { class: 'row' }, hour, all));
  new ResizeObserver(() => paint()).observe(element);

  /** @param {boolean} whole */
  const choose = (whole) => {
    isWhole = whole;
    paint();
  };

  const paint = () => {
    setAttribute(hour, 'aria-pressed', String(!isWhole));
    setAttribute(all, 'aria-pressed', String(isWhole));
    const last = samples[samples.length - 1];
    const shown = last === undefined ? [] : samples.filter((one) => isWhole || one.atS >= last.atS - 3600);
    show(empty, shown.length < 2);
    plot.toggleAttribute('hidden', shown.length < 2);
    if (shown.length < 2) return;
    const width = Math.max(280, Math.floor(element.clientWidth) - 30);
    paintPlot(plot, { samples: shown, phases, startedS, thresholdC, width, height: width < 520 ? 230 : 300 });
    setAttribute(plot, 'aria-label', saidOf(shown));
  };

  const paintLegend = () => {
    const names = [
      say('trend.reference', { pressure: reference(referenceHPa) }),
      say('trend.read'),
      say('trend.boiler'),
    ];
    legend.replaceChildren(
      ...lines.map((line, index) =>
        make(
          'li',
          {},
          /** @type {any} */ (
            draw(
              'svg',
              { class: 'sample', viewBox: '0 0 40 10' },
              draw('path', { class: `line ${line}`, d: 'M0 5H40' }),
            )
          ),
          ` ${names[index]}`,
        ),
      ),
    );
  };

  return {
    element,
    /** @param {TrendView} trend */
    load(trend) {
      samples = trend.atS.map((atS, i) => ({
        atS,
        vapourC: trend.vapourC[i] ?? null,
        atReferenceC: trend.vapourAtReferenceC[i] ?? null,
        boilerC: trend.boilerC[i] ?? null,
      }));
      phases = trend.phases;
      startedS = trend.startedS;
      referenceHPa = trend.referenceHPa;
      paintLegend();
      paint();
    },
    /** @param {import('../views').StillView} view */
    add(view) {
      const last = samples[samples.length - 1];
      thresholdC = view.next?.thresholdAtReferenceC ?? null;
      if (last !== undefined && view.nowS - last.atS < 5) return;
      const { vapour, boiler } = view;
      samples.push({ atS: view.nowS, vapourC: vapour.tempC, atReferenceC: vapour.atReferenceC, boilerC: boiler.tempC });
      if (samples.length > 4000) samples = samples.filter((_sample, index) => index % 2 === 0 || index > 3000);
      paint();
    },
    showAll: () => choose(true),
  };
}

/** @param {readonly Sample[]} samples */
function saidOf(samples) {
  const [first, last] = [samples[0], samples[samples.length - 1]];
  if (first === undefined || last === undefined) return '';
  return say('trend.said', {
    span: duration(last.atS - first.atS),
    from: temp(first.vapourC),
    to: temp(last.vapourC),
    boiler: temp(last.boilerC),
  });
}

/**
 * @typedef {object} Picture
 * @property {readonly Sample[]} samples
 * @property {TrendView['phases']} phases
 * @property {number | null} startedS
 * @property {number | null} thresholdC
 * @property {number} width
 * @property {number} height
 */

/** @param {SVGSVGElement} plot @param {Picture} picture */
function paintPlot(plot, picture) {
  const { samples, width, height } = picture;
  const fromS = samples[0]?.atS ?? 0;
  const toS = samples[samples.length - 1]?.atS ?? 1;
  const [lowC, highC] = rangeOf(samples, picture.thresholdC);
  const x = (/** @type {number} */ atS) =>
    margin.left + ((atS - fromS) / Math.max(1, toS - fromS)) * (width - margin.left - margin.right);
  const y = (/** @type {number} */ tempC) =>
    margin.top + ((highC - tempC) / (highC - lowC)) * (height - margin.top - margin.bottom);
  plot.setAttribute('viewBox', `0 0 ${width} ${height}`);
  plot.setAttribute('width', String(width));
  plot.setAttribute('height', String(height));
  plot.replaceChildren(
    ...grid(lowC, highC, y, width),
    ...times(picture, x, fromS, toS),
    ...cuts(picture, x, fromS, toS),
    ...threshold(picture, y, lowC, highC),
    ...lines.toReversed().map((line) => draw('path', { class: `line ${line}`, d: pathOf(samples, line, x, y, lowC) })),
  );
}

/** @param {readonly Sample[]} samples @param {number | null} thresholdC @returns {[number, number]} */
function rangeOf(samples, thresholdC) {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const sample of samples) {
    for (const line of lines) {
      const value = sample[line];
      if (value === null) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  if (!Number.isFinite(low)) return [0, 100];
  // A cut that is near is worth seeing; one far away would flatten everything else.
  if (thresholdC !== null && thresholdC - high < 12) high = Math.max(high, thresholdC);
  if (samples.some(({ vapourC }) => vapourC !== null && vapourC > vapourCameC)) low = Math.max(low, high - deepestK);
  const padding = Math.max(0.5, (high - low) * 0.06);
  return [low - padding, high + padding];
}

/** A step that people count in. @param {number} span @param {number} most @param {readonly number[]} steps */
const stepFor = (span, most, steps) => steps.find((step) => span / step <= most) ?? steps[steps.length - 1] ?? 1;

/** @param {number} lowC @param {number} highC @param {(tempC: number) => number} y @param {number} width */
function grid(lowC, highC, y, width) {
  const step = stepFor(highC - lowC, 6, [0.5, 1, 2, 5, 10, 20]);
  const parts = [];
  for (let at = Math.ceil(lowC / step) * step; at <= highC; at += step) {
    parts.push(draw('path', { class: 'grid', d: `M${margin.left} ${y(at).toFixed(1)}H${width - margin.right}` }));
    const label = tempNumber(at, step < 1 ? 1 : 0);
    parts.push(draw('text', { x: margin.left - 5, y: y(at) + 4, 'text-anchor': 'end' }, label));
  }
  parts.push(draw('text', { x: margin.left - 5, y: 14, 'text-anchor': 'end' }, tempUnit()));
  return parts;
}

/** @param {Picture} picture @param {(atS: number) => number} x @param {number} fromS @param {number} toS */
function times({ startedS, height, width }, x, fromS, toS) {
  const step = stepFor(toS - fromS, width < 520 ? 4 : 7, [60, 300, 600, 900, 1800, 3600, 7200, 14400]);
  const zero = startedS ?? toS;
  const parts = [];
  for (let at = Math.ceil((fromS - zero) / step) * step; at <= toS - zero; at += step) {
    if (startedS !== null && at < 0) continue;
    const place = x(zero + at);
    const anchor = place > width - 30 ? 'end' : 'middle';
    const label =
      startedS === null ? (at === 0 ? '0:00' : `−${runClock(-at).slice(0, -3)}`) : runClock(at).slice(0, -3);
    parts.push(draw('text', { x: place, y: height - 8, 'text-anchor': anchor }, label));
    parts.push(draw('path', { class: 'grid', d: `M${place.toFixed(1)} ${height - margin.bottom}v4` }));
  }
  return parts;
}

/** @param {Picture} picture @param {(atS: number) => number} x @param {number} fromS @param {number} toS */
function cuts({ phases, height, width }, x, fromS, toS) {
  return phases.flatMap((phase, index) => {
    const endS = phases[index + 1]?.atS ?? toS;
    if (endS < fromS || phase.atS > toS || phase.to === 'idle') return [];
    const from = x(Math.max(fromS, phase.atS));
    const room = x(Math.min(toS, endS)) - from;
    const parts = [];
    if (phase.atS >= fromS)
      parts.push(draw('path', { class: 'cut', d: `M${from.toFixed(1)} ${margin.top - 8}V${height - margin.bottom}` }));
    const words = room > phase.toSaid.length * 8.5 + 6 ? phase.toSaid : '';
    if (words !== '' && from < width) parts.push(draw('text', { class: 'phase-name', x: from + 3, y: 12 }, words));
    return parts;
  });
}

/** @param {Picture} picture @param {(tempC: number) => number} y @param {number} lowC @param {number} highC */
function threshold({ thresholdC, width }, y, lowC, highC) {
  if (thresholdC === null || thresholdC > highC || thresholdC < lowC) return [];
  const at = y(thresholdC);
  return [
    draw('path', { class: 'threshold', d: `M${margin.left} ${at.toFixed(1)}H${width - margin.right}` }),
    draw(
      'text',
      { class: 'threshold-name', x: width - margin.right - 2, y: at - 5, 'text-anchor': 'end' },
      say('trend.cut', { temp: temp(thresholdC) }),
    ),
  ];
}

/** @param {readonly Sample[]} samples @param {typeof lines[number]} line @param {(atS: number) => number} x @param {(tempC: number) => number} y @param {number} lowC what is lower is not drawn */
function pathOf(samples, line, x, y, lowC) {
  let path = '';
  let isDown = false;
  for (const sample of samples) {
    const value = sample[line];
    if (value === null || value < lowC) isDown = false;
    else {
      path += `${isDown ? 'L' : 'M'}${x(sample.atS).toFixed(1)} ${y(value).toFixed(1)}`;
      isDown = true;
    }
  }
  return path;
}
