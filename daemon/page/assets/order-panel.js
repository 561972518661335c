import { button, labelled, make, put, setText, show } from './dom.js';
import { duration } from './figures.js';
import { askSure, give, ownName, setOwnName } from './orders.js';
import { openStart } from './start.js';
import { say } from './words.js';

/** @typedef {import('../views').StillView} StillView */

/**
 * The orders that make sense now. Those that cannot be taken back lightly are asked once more; hold is not: it is safe and may be urgent.
 * @param {() => StillView | undefined} current
 * @param {{ from: string }} session
 */
export function createOrders(current, session) {
  /** @param {Record<string, unknown>} order */
  const order = (order) => {
    const view = current();
    if (view !== undefined) void give(view, order);
  };
  /**
   * @param {string} kind
   * @param {() => Record<string, string>} [parts]
   */
  const sure =
    (kind, parts = () => ({})) =>
    async () => {
      const words = parts();
      const title = say(`sure.${kind}`, words);
      if (await askSure({ title, lines: [say(`sure.${kind}-what`)], yes: say(`sure.${kind}-yes`, words) }))
        order({ order: kind });
    };
  const cutWords = () => ({ from: current()?.phaseSaid ?? '', to: current()?.next?.toSaid ?? '' });
  const buttons = /** @type {const} */ ({
    hold: button(say('order.hold'), () => order({ order: 'hold' }), 'main'),
    start: button(say('order.start'), () => void openStart(current), 'main'),
    resume: button(say('order.resume'), () => void sure('resume')()),
    attend: button(say('order.attend'), () => order({ order: 'attend' })),
    'next-jar': button('', () => order({ order: 'next-jar' })),
    cut: button('', () => void sure('cut', cutWords)()),
    'undo-cut': button('', () => void sure('undo-cut')()),
    stop: button(say('order.stop'), () => void sure('stop')(), 'grave'),
    abort: button(say('order.abort'), () => void sure('abort')(), 'grave'),
    reset: button(say('order.reset'), () => void sure('reset')()),
    note: button(say('order.note'), () => void openNote(order)),
  });
  const name = make('input', { type: 'text', maxlength: 40, autocomplete: 'name', enterkeyhint: 'done' });
  name.value = ownName();
  name.addEventListener('input', () => setOwnName(name.value));
  const away = make('p', { class: 'hint' }, say('remote.note'));
  const element = make('section', { class: 'sheet stack' }, make('h2', {}, say('orders.title')), away);
  put(element, make('div', { class: 'orders' }, ...Object.values(buttons)), labelled(say('orders.by'), name));
  return {
    element,
    /** @param {StillView} view */
    update(view) {
      for (const [kind, one] of Object.entries(buttons)) show(one, view.can.includes(/** @type {never} */ (kind)));
      show(away, session.from === 'remote' && !view.remoteOrders);
      setText(buttons.cut, say('order.cut', { to: view.next?.toSaid ?? '' }));
      setText(buttons['undo-cut'], say('order.undo-cut', { for: duration(view.undoForS) }));
      const jar = view.jar === null ? say('order.first-jar') : say('order.next-jar', { number: view.jar.number });
      setText(buttons['next-jar'], jar);
      const dueInS = view.attendance?.dueInS ?? null;
      const isDue = dueInS !== null && view.attendance !== null && dueInS < view.attendance.everyS / 2;
      setText(buttons.attend, isDue ? say('order.attend-due', { for: duration(dueInS) }) : say('order.attend'));
      buttons.attend.classList.toggle('main', isDue);
    },
  };
}

/** @param {(order: Record<string, unknown>) => void} order */
function openNote(order) {
  const text = make('textarea', { rows: 4, maxlength: 2000 });
  const dialog = make(
    'dialog',
    { 'aria-labelledby': 'note-title' },
    make('h2', { id: 'note-title' }, say('note.title')),
  );
  const keep = () => {
    const written = text.value.trim();
    if (written === '') return;
    dialog.close();
    order({ order: 'note', text: written });
  };
  put(
    dialog,
    labelled(say('note.text'), text),
    make(
      'div',
      { class: 'row' },
      button(say('sure.back'), () => dialog.close()),
      button(say('note.keep'), keep, 'main'),
    ),
  );
  dialog.addEventListener('close', () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
}
