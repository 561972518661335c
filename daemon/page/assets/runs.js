import { call } from './api.js';
import { button, labelled, make, put, show } from './dom.js';
import { day, duration, litres, percent, wallClock } from './figures.js';
import { createDecisions, table } from './still.js';
import { createTrend } from './trend.js';
import { say } from './words.js';

/** @typedef {import('../record-views').RunLine} RunLine */
/** @typedef {import('../record-views').RunView} RunView */

/** The runs of the record, latest first. */
export function createRuns() {
  const list = make('ul', { class: 'list' });
  const search = make('input', { type: 'search', maxlength: 60 });
  const more = button(say('runs.more'), () => void load(shown));
  const element = make(
    'div',
    { class: 'stack' },
    make('h2', { class: 'title' }, say('runs.title')),
    labelled(say('runs.search'), search),
    list,
    more,
  );
  let shown = 0;
  let asked = 0;
  /** @param {number} offset */
  const load = async (offset) => {
    asked += 1;
    const mine = asked;
    try {
      /** @type {readonly RunLine[]} */
      const runs = await call(`runs?offset=${offset}&text=${encodeURIComponent(search.value)}`);
      if (mine !== asked) return;
      if (offset === 0) list.replaceChildren();
      list.append(...runs.map(runRow));
      shown = offset + runs.length;
      show(more, runs.length === 50);
      if (shown === 0) list.append(make('li', { class: 'hint' }, say('runs.none')));
    } catch (error) {
      list.replaceChildren(
        make('li', { class: 'wrong' }, say('failed', { why: String(error instanceof Error ? error.message : error) })),
      );
    }
  };
  let timer = 0;
  search.addEventListener('input', () => {
    clearTimeout(timer);
    timer = window.setTimeout(() => void load(0), 300);
  });
  show(more, false);
  void load(0);
  return { element, leave: () => clearTimeout(timer) };
}

/** @param {RunLine} run */
function runRow({ id, stillName, recipe, variant, startedAt, outcome, heartsL, heartsVolPercent, damaged }) {
  const name = `${recipe ?? '–'}${variant === null ? '' : ` (${variant})`}`;
  const hearts =
    heartsL === null
      ? ''
      : say('runs.hearts', { volume: litres(heartsL), strength: percent(heartsVolPercent, '% vol') });
  const about = [
    `${day(startedAt)}, ${wallClock(startedAt)}`,
    stillName,
    outcome ?? `▶\u00a0${say('runs.open')}`,
    hearts,
    damaged && `⚠\u00a0${say('runs.damaged')}`,
  ]
    .filter(Boolean)
    .join(' · ');
  return make(
    'li',
    {},
    make(
      'a',
      { class: 'sheet', href: `#/runs/${encodeURIComponent(id)}` },
      make('strong', {}, name),
      make('span', { class: 'hint' }, about),
    ),
  );
}

/** One run: what came of it, and every decision with its reason. @param {string} id */
export function createRun(id) {
  const element = make('div', { class: 'stack' }, make('p', {}, say('wait')));
  const path = `runs/${encodeURIComponent(id)}`;
  const load = async () => {
    try {
      const [run, trend] = await Promise.all([call(path), call(`${path}/trend`).catch(() => null)]);
      element.replaceChildren(...runParts(run, trend));
    } catch (error) {
      element.replaceChildren(
        make('p', { class: 'wrong' }, say('failed', { why: String(error instanceof Error ? error.message : error) })),
      );
    }
  };
  void load();
  return { element, leave: () => undefined };
}

/** @param {RunView} run @param {import('../views').TrendView | null} trend */
function runParts(run, trend) {
  const name = `${run.recipe ?? '–'}${run.variant === null ? '' : ` (${run.variant})`}`;
  const by = run.startedBy ?? '–';
  const charge =
    run.chargeL === null
      ? ''
      : say('run.charge', { volume: litres(run.chargeL), strength: percent(run.chargeVolPercent, '% vol') });
  const facts = [
    run.stillName,
    say('run.started', { day: day(run.startedAt), at: wallClock(run.startedAt), by }),
    run.outcome ?? say('runs.open'),
    run.lastedS === null ? '' : say(run.outcome === null ? 'run.so-far' : 'run.lasted', { for: duration(run.lastedS) }),
    charge,
  ];
  const links = make('div', { class: 'row' });
  const sheet = make(
    'a',
    { class: 'button', href: `#/jars/${encodeURIComponent(run.id)}` },
    say('run.jars', { count: run.jars }),
  );
  const report = make(
    'a',
    { class: 'button', href: `api/runs/${encodeURIComponent(run.id)}/report`, target: '_blank', rel: 'noopener' },
    say('run.report'),
  );
  put(links, run.jars > 0 && sheet, report);
  const plot = createTrend();
  if (trend !== null) plot.load(trend);
  plot.showAll();
  const decisions = createDecisions();
  decisions.update(run);
  return [
    make('p', {}, make('a', { href: '#/runs' }, `← ${say('run.back')}`)),
    make('h2', { class: 'title' }, name),
    ...(run.potable ? [] : [make('p', { class: 'wrong' }, say('never-potable', { kind: run.kind }))]),
    make('p', {}, facts.filter(Boolean).join(' · ')),
    links,
    fractionTable(run),
    plot.element,
    decisions.element,
    ...(run.more > 0 ? [make('p', { class: 'hint' }, say('run.more', { count: run.more }))] : []),
    ...(run.replayable ? [] : [make('p', { class: 'hint' }, say('run.thinned'))]),
    make('p', { class: 'hint chain' }, `${say('run.head')}: ${run.head}`),
  ];
}

/** @param {RunView} run */
function fractionTable(run) {
  const title = make('h2', {}, say('run.fractions'));
  const element = make('section', { class: 'sheet stack' }, title);
  if (run.fractions.length === 0) {
    put(element, make('p', { class: 'hint' }, say('run.no-fractions')));
    return element;
  }
  const heads = ['run.fraction', 'run.volume', 'run.strength', 'run.alcohol', 'run.share'].map((key) => say(key));
  /** @param {HTMLElement} head @param {readonly string[]} cells */
  const row = (head, cells) => {
    const made = cells.map((text, index) => make('td', { class: 'number', 'data-label': heads[index + 1] }, text));
    return make('tr', {}, head, ...made);
  };
  const rows = run.fractions.map(({ fraction, volumeL, strengthVolPercent, alcoholL, sharePercent }) => {
    const head = make('th', { scope: 'row' }, make('span', { class: `swatch ${fraction}` }), ` ${fraction}`);
    return row(head, [litres(volumeL), percent(strengthVolPercent, '% vol'), litres(alcoholL), percent(sharePercent)]);
  });
  const sum = (/** @type {'volumeL' | 'alcoholL'} */ field) => run.fractions.reduce((all, one) => all + one[field], 0);
  const total = row(make('th', { scope: 'row' }, say('run.total')), [
    litres(sum('volumeL')),
    '',
    litres(sum('alcoholL')),
    '',
  ]);
  total.classList.add('total');
  const figures = table(heads, make('tbody', {}, ...rows, total));
  figures.classList.add('fractions');
  put(
    element,
    figures,
    run.volumeFrom !== null && make('p', { class: 'hint' }, say('run.from', { from: run.volumeFrom })),
  );
  return element;
}
