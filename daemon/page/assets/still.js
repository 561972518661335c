import { call } from './api.js';
import { createCalls } from './calls.js';
import { createNext, createSpirit } from './course.js';
import { keyed, make, put, setText, show } from './dom.js';
import { duration, pointValue, runClock, wallClock } from './figures.js';
import { createFigures, createNow } from './now.js';
import { createOrders } from './order-panel.js';
import { createReceivers } from './receivers.js';
import { createTrend } from './trend.js';
import { say } from './words.js';

/** @typedef {import('../views').StillView} StillView */
/** @typedef {import('../views').DecisionView} DecisionView */

/**
 * One still, live.
 * @param {string} id
 * @param {import('./live.js').Live} live
 * @param {{ from: string }} session
 */
export function createStill(id, live, session) {
  const current = () => live.stills.get(id);
  const trend = createTrend();
  const parts = {
    calls: createCalls(current),
    now: createNow(),
    next: createNext(),
    figures: createFigures(),
    spirit: createSpirit(),
    receivers: createReceivers(current),
    orders: createOrders(current, session),
    decisions: createDecisions(),
    plant: createPlant(),
  };
  const places = {
    left: [parts.now.element, parts.next.element, parts.figures.element, trend.element, parts.spirit.element],
    right: [parts.orders.element, parts.receivers.element, parts.decisions.element, parts.plant.element],
  };
  const columns = make('div', { class: 'columns' });
  const element = make('div', { class: 'stack' }, parts.calls.element, columns);
  // One column tells it in the order of its worth; the order on the screen is that of the keyboard always.
  const isWide = matchMedia('(min-width: 56rem)');
  const layOut = () => {
    columns.classList.toggle('are-two', isWide.matches);
    const { left, right } = places;
    const single = [...left.slice(0, 3), ...right.slice(0, 2), ...left.slice(3), ...right.slice(2)];
    const stacks = isWide.matches ? [left, right] : [single];
    columns.replaceChildren(...stacks.map((stack) => make('div', { class: 'stack' }, ...stack)));
  };
  isWide.addEventListener('change', layOut);
  layOut();
  /** @type {string | null} */
  let loadedFor = null;
  let wasLive = false;
  let notBeforeMs = 0;

  const loadTrend = async () => {
    try {
      trend.load(await call(`stills/${encodeURIComponent(id)}/trend`));
    } catch {
      // Tried again after a while.
      loadedFor = null;
      notBeforeMs = Date.now() + 10_000;
    }
  };

  const update = () => {
    const view = current();
    show(element, view !== undefined);
    if (view === undefined) return;
    for (const part of Object.values(parts)) part.update(view);
    const isLive = live.link.state === 'live';
    // The trend is asked for anew with another run, another phase, and after a time without connection.
    const key = `${view.run?.id ?? ''} ${view.phase}`;
    if (isLive && (loadedFor !== key || !wasLive) && Date.now() >= notBeforeMs) {
      loadedFor = key;
      void loadTrend();
    } else if (isLive) trend.add(view);
    wasLive = isLive;
  };
  const stop = live.listen(update);
  update();
  const leave = () => {
    stop();
    isWide.removeEventListener('change', layOut);
  };
  return { element, leave };
}

/** What was decided lately, the latest first. */
export function createDecisions() {
  const list = make('ol', { class: 'decisions' });
  const none = make('p', { class: 'hint' }, say('decisions.none'));
  const set = keyed(
    list,
    (/** @type {DecisionView} */ one) => `${one.n} ${one.text}`,
    (one) => ({
      element: decisionRow(one),
      update: () => undefined,
    }),
  );
  return {
    element: make('section', { class: 'sheet stack' }, make('h2', {}, say('decisions.title')), none, list),
    /** @param {{ decisions: readonly DecisionView[] }} view */
    update({ decisions }) {
      show(none, decisions.length === 0);
      set(decisions.toReversed());
    },
  };
}

/** @param {DecisionView} decision */
export function decisionRow(decision) {
  const when = [runClock(decision.intoS), decision.at === null ? '' : wallClock(decision.at)]
    .filter(Boolean)
    .join(' · ');
  return make(
    'li',
    { class: decision.grave ? 'grave' : '' },
    make('span', { class: 'when' }, `${decision.grave ? '! ' : ''}${when}`),
    make('span', {}, decision.text),
  );
}

/** Every point and drive, for those who want to know; folded away. */
function createPlant() {
  const points = make('tbody', {});
  const drives = make('tbody', {});
  const setPoints = keyed(
    points,
    (/** @type {import('../views').PointView} */ one) => one.id,
    () => tableRow(3),
  );
  const setDrives = keyed(
    drives,
    (/** @type {{ id: string }} */ one) => one.id,
    () => tableRow(3),
  );
  const element = make('details', { class: 'sheet' }, make('summary', {}, say('plant.title')));
  put(
    element,
    table([say('plant.drive'), say('plant.told'), say('plant.why')], drives),
    table([say('plant.point'), say('plant.value'), say('plant.quality')], points),
  );
  return {
    element,
    /** @param {StillView} view */
    update(view) {
      if (!element.open) return;
      const rows = view.points.map((point) => ({ ...point, cells: [point.id, pointValue(point), qualityOf(point)] }));
      setPoints(/** @type {any} */ (rows));
      setDrives(
        /** @type {any} */ (view.drives.map((drive) => ({ ...drive, cells: [drive.id, drive.text, drive.why] }))),
      );
    },
  };
}

/** @param {import('../views').PointView} point */
function qualityOf({ quality, fault, agoS }) {
  const ago = agoS === null ? '' : say('plant.ago', { for: duration(agoS) });
  return quality === 'good' ? `✓ ${ago}` : `✕ ${fault ?? quality} ${ago}`;
}

/** @param {readonly string[]} heads @param {HTMLElement} body */
export function table(heads, body) {
  const row = make('tr', {}, ...heads.map((text) => make('th', { scope: 'col' }, text)));
  return make('div', { class: 'table-wrap' }, make('table', {}, make('thead', {}, row), body));
}

/** @param {number} columns */
export function tableRow(columns) {
  const cells = Array.from({ length: columns }, () => make('td', {}));
  return {
    element: make('tr', {}, ...cells),
    /** @param {any} one */
    update: (one) => {
      for (const [index, cell] of cells.entries()) setText(cell, one.cells[index] ?? '');
    },
  };
}
