import { call } from './api.js';
import { button, labelled, make, put, setText } from './dom.js';
import { day, wallClock } from './figures.js';
import { ownName } from './orders.js';
import { say } from './words.js';

/** Every jar sheet there is, and the way to a new one. */
export function createSheets() {
  const list = make('ul', { class: 'list' });
  const element = make('div', { class: 'stack' }, make('h2', { class: 'title' }, say('jars.title')), list);
  put(element, button(say('jars.new'), openNew));
  const load = async () => {
    try {
      /** @type {readonly import('../record-views').SheetLine[]} */
      const sheets = await call('sheets');
      const rows = sheets.map(({ id, name, stillName, savedAt, open }) => {
        const when = savedAt === null ? '' : say('jars.saved', { day: day(savedAt), at: wallClock(savedAt) });
        const about = [stillName, open ? `▶\u00a0${say('jars.open')}` : '', when].filter(Boolean).join(' · ');
        return make(
          'li',
          {},
          make(
            'a',
            { class: 'sheet', href: `#/jars/${encodeURIComponent(id)}` },
            make('strong', {}, name),
            make('span', { class: 'hint' }, about),
          ),
        );
      });
      list.replaceChildren(...(rows.length === 0 ? [make('li', { class: 'hint' }, say('jars.none'))] : rows));
    } catch (error) {
      list.replaceChildren(
        make('li', { class: 'wrong' }, say('failed', { why: String(error instanceof Error ? error.message : error) })),
      );
    }
  };
  void load();
  return { element, leave: () => undefined };
}

/** A sheet for a run made with a thermometer and labels. */
function openNew() {
  const name = make('input', { type: 'text', maxlength: 80 });
  const still = make('input', { type: 'text', maxlength: 80 });
  const kind = make(
    'select',
    {},
    ...['pot', 'column'].map((one) => make('option', { value: one }, say(`hand.${one}`))),
  );
  const charge = make('input', { type: 'number', min: 0, step: 'any', inputmode: 'decimal' });
  const strength = make('input', { type: 'number', min: 0, max: 96, step: 'any', inputmode: 'decimal' });
  const wrong = make('p', { class: 'wrong', role: 'alert' });
  const dialog = make(
    'dialog',
    { 'aria-labelledby': 'hand-title' },
    make('h2', { id: 'hand-title' }, say('hand.title')),
  );
  const go = async () => {
    const about = {
      name: name.value.trim(),
      stillName: still.value.trim(),
      stillKind: kind.value,
      ...(charge.value === '' ? {} : { chargeL: Number(charge.value) }),
      ...(strength.value === '' ? {} : { chargeVolPercent: Number(strength.value) }),
    };
    const by = ownName();
    try {
      const id = await call('sheets', { about, ...(by === '' ? {} : { by }) });
      dialog.close();
      location.hash = `#/jars/${encodeURIComponent(id)}`;
    } catch (error) {
      setText(wrong, String(error instanceof Error ? error.message : error));
    }
  };
  const pairs = make(
    'div',
    { class: 'pair' },
    labelled(say('hand.charge'), charge),
    labelled(say('hand.strength'), strength),
  );
  put(
    dialog,
    labelled(say('hand.name'), name),
    labelled(say('hand.still'), still),
    labelled(say('hand.kind'), kind),
    pairs,
    wrong,
  );
  put(
    dialog,
    make(
      'div',
      { class: 'row' },
      button(say('sure.back'), () => dialog.close()),
      button(say('hand.go'), () => void go(), 'main'),
    ),
  );
  dialog.addEventListener('close', () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
}
