import { call } from './api.js';
import { button, labelled, make, put, setText, show } from './dom.js';
import { partOf } from './drafts.js';
import { ownName, tellAnswer } from './orders.js';
import { numberField, saveState, textField } from './sheet-fields.js';
import { say } from './words.js';

/** @typedef {import('../record-views').SheetView} SheetView */

/** What the sheet is about, to be put right. @param {SheetView} sheet */
export function createAbout(sheet) {
  const part = partOf({ sheet: sheet.id, path: 'about', extra: {} });
  const fields = [
    textField(part, 'name', say('about.name'), { rows: 1, longest: 80 }),
    textField(part, 'chargeWhat', say('about.what'), { rows: 1, longest: 80 }),
    numberField(part, 'chargeL', say('hand.charge')),
    numberField(part, 'chargeVolPercent', say('hand.strength')),
    numberField(part, 'foreshotsJars', say('about.foreshots')),
    saveState(part),
  ];
  const reading = make(
    'select',
    {},
    make('option', { value: 'as-read' }, say('about.as-read')),
    make('option', { value: 'true' }, say('about.true')),
  );
  reading.addEventListener('change', () => {
    part.set('strengthReading', reading.value);
    void part.save();
  });
  const element = make('details', { class: 'sheet' }, make('summary', {}, say('sheet.about')));
  put(element, ...fields.map((field) => field.element), labelled(say('about.reading'), reading));
  return {
    element,
    update() {
      for (const field of fields) field.update();
      const value = String(part.value('strengthReading') ?? 'as-read');
      if (reading.value !== value) reading.value = value;
    },
  };
}

/**
 * Blind tasting: glasses in an order of their own, with numbers that do not tell the jar.
 * @param {() => SheetView} current
 * @param {() => Promise<void>} reload
 * @param {() => void} toggle
 */
export function createBlind(current, reload, toggle) {
  const order = make(
    'select',
    {},
    ...['random', 'outside-in', 'inside-out', 'as-filled'].map((one) =>
      make('option', { value: one }, say(`pour.${one}`)),
    ),
  );
  const hidden = make('input', { type: 'checkbox', checked: true });
  const list = make('ol', { class: 'others' });
  const pour = async () => {
    const by = ownName();
    try {
      await call(`sheets/${encodeURIComponent(current().id)}/pouring`, {
        order: order.value,
        hidden: hidden.checked,
        ...(by === '' ? {} : { by }),
      });
      await reload();
    } catch (error) {
      tellAnswer(say('failed', { why: String(error instanceof Error ? error.message : error) }), false);
    }
  };
  const taste = button(say('sheet.blind'), toggle);
  const pourList = make('details', {}, make('summary', {}, say('sheet.pour-list')), list);
  const setup = make(
    'div',
    {},
    labelled(say('sheet.pour-order'), order),
    make('label', { class: 'choice field' }, hidden, say('sheet.hidden')),
    make(
      'div',
      { class: 'row field' },
      button(say('sheet.pour'), () => void pour()),
    ),
    pourList,
  );
  const element = make(
    'details',
    { class: 'sheet' },
    make('summary', {}, say('sheet.tasting')),
    setup,
    make('p', { class: 'hint field' }, say('sheet.blind-hint')),
    taste,
  );
  return {
    element,
    /** @param {SheetView} sheet @param {boolean} isBlind */
    update({ pouring, jars }, isBlind) {
      show(element, jars.length > 0);
      show(setup, !isBlind);
      show(taste, pouring !== null);
      show(pourList, pouring !== null);
      setText(taste, say(isBlind ? 'sheet.blind-end' : 'sheet.blind'));
      const words = (pouring?.glasses ?? []).map((glass) =>
        say('sheet.glass-is', { glass: glass.hiddenNumber ?? glass.position, jar: glass.jar }),
      );
      list.replaceChildren(...words.map((text) => make('li', {}, text)));
    },
  };
}
