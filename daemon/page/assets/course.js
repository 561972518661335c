import { keyed, make, setAttribute, setText, show } from './dom.js';
import { duration, inUnit, litres, percent, toGo } from './figures.js';
import { say } from './words.js';

/** @typedef {import('../views').StillView} StillView */
/** @typedef {import('../views').FarView} FarView */

/** The next cut, and how far it is. */
export function createNext() {
  const title = make('h2', {}, say('next.title'));
  const head = make('p', { class: 'next-head' });
  const eta = make('p', { class: 'next-eta' });
  const tests = make('div', { class: 'stack' });
  const guard = make('div', { class: 'stack' });
  const hold = make('p', { class: 'strong' });
  const suspended = make('p', { class: 'wrong' }, say('next.suspended'));
  const setTests = keyed(tests, (/** @type {FarView} */ far) => `${far.unit} ${far.want}`, farRow);
  const setGuard = keyed(guard, (/** @type {FarView} */ far) => `${far.unit} ${far.want}`, farRow);
  const element = make('section', { class: 'sheet stack next' }, title, head, eta, hold, suspended, tests, guard);
  return {
    element,
    /** @param {StillView} view */
    update({ next, asks }) {
      if (next === null) setText(head, say('next.none'));
      else
        setText(
          head,
          headOf(
            next,
            asks.some(({ kind }) => kind === 'cut'),
          ),
        );
      setText(eta, next === null ? '' : next.expected);
      setTests(next?.tests ?? []);
      setGuard(next === null || next.guard === null ? [] : [next.guard]);
      show(suspended, next?.suspended === true);
      const isHolding = next !== null && next.heldS > 0 && next.holdS > 0;
      setText(
        hold,
        isHolding && next !== null ? say('next.held', { held: duration(next.heldS), hold: duration(next.holdS) }) : '',
      );
      show(hold, isHolding);
    },
  };
}

/** @param {import('../views').NextView} next @param {boolean} isAsked */
function headOf(next, isAsked) {
  if (isAsked) return say('next.asked', { to: next.toSaid });
  if (next.suspended) return say('next.lost', { to: next.toSaid });
  const far = next.tests.length === 0 ? null : next.tests.reduce((a, b) => ((a.etaS ?? 0) >= (b.etaS ?? 0) ? a : b));
  if (far === null) return say('next.order', { to: next.toSaid });
  if (far.toGo > 0) return say('next.to', { to: next.toSaid, left: toGo(far) });
  const waits = next.guard;
  return waits === null ? say('next.met', { to: next.toSaid }) : say('next.to', { to: next.toSaid, left: toGo(waits) });
}

/** One test: how it stands in words, and as a bar that ends where the cut is. */
function farRow() {
  const text = make('p', {});
  const meter = make('div', { class: 'meter', role: 'img' });
  const bar = make('div', { class: 'meter-bar' });
  meter.append(bar);
  return {
    element: make('div', { class: 'far' }, meter, text),
    /** @param {FarView} far */
    update(far) {
      setText(text, far.text);
      bar.style.width = `${Math.round(share(far) * 1000) / 10}%`;
      setAttribute(meter, 'aria-label', `${inUnit(far.have, far.unit)} / ${inUnit(far.want, far.unit)}`);
    },
  };
}

/** Temperatures have no natural beginning: the bar shows the last five kelvin. @param {FarView} far */
function share({ unit, have, want, toGo: left }) {
  if (left === 0) return 1;
  if (unit === 'C') return Math.max(0, 1 - left / 5);
  if (unit === '% vol') return Math.max(0, 1 - left / 40);
  return want === 0 ? 0 : Math.min(1, Math.max(0, have / want));
}

/** What came over, as a part of the charge's alcohol; told apart by pattern and by name. */
export function createSpirit() {
  const text = make('p', {});
  const bar = make('div', { class: 'spirit', role: 'img' });
  const list = make('ul', { class: 'spirit-list' });
  const setBar = keyed(
    bar,
    (/** @type {Part} */ part) => part.fraction,
    () => {
      const element = make('div', {});
      return {
        element,
        update: (/** @type {Part} */ part) => {
          element.className = `part ${part.fraction}`;
          element.style.flexGrow = String(Math.max(0, part.share));
          show(element, part.share > 0);
        },
      };
    },
  );
  const setList = keyed(
    list,
    (/** @type {Part} */ part) => part.fraction,
    () => {
      const swatch = make('span', {});
      const words = make('span', {});
      return {
        element: make('li', {}, swatch, words),
        update: (/** @type {Part} */ part) => {
          swatch.className = `swatch ${part.fraction}`;
          setText(
            words,
            `${part.fraction} ${litres(part.volumeL)}${part.strength === null ? '' : `, ${percent(part.strength, '% vol')}`}`,
          );
        },
      };
    },
  );
  const element = make('section', { class: 'sheet stack' }, make('h2', {}, say('spirit.title')), text, bar, list);
  return {
    element,
    /** @param {StillView} view */
    update({ produced, run }) {
      show(element, run !== null && run.intoS !== null);
      const parts = produced.fractions.map((one) => ({
        fraction: one.fraction,
        volumeL: one.volumeL,
        strength: one.strengthVolPercent,
        share: one.sharePercent ?? (produced.volumeL > 0 ? (one.volumeL / produced.volumeL) * 100 : 0),
      }));
      const left = Math.max(0, 100 - parts.reduce((sum, part) => sum + part.share, 0));
      setBar([...parts, { fraction: 'left', volumeL: 0, strength: null, share: left }]);
      setList(parts.filter((part) => part.volumeL > 0));
      const words = { share: percent(produced.sharePercent), litres: litres(produced.volumeL), from: produced.from };
      setText(text, say('spirit.of', words));
      setAttribute(bar, 'aria-label', say('spirit.of', words));
    },
  };
}

/** @typedef {{ fraction: string, volumeL: number, strength: number | null, share: number }} Part */
