import { button, keyed, make, put, setText, show } from './dom.js';
import { litres } from './figures.js';
import { askSure, give } from './orders.js';
import { say } from './words.js';

/** @typedef {import('../views').StillView} StillView */
/** @typedef {import('../views').ReceiverView} ReceiverView */

/**
 * The receivers as glasses: how full, and which one is open.
 * @param {() => StillView | undefined} current
 */
export function createReceivers(current) {
  const list = make('ul', { class: 'receivers' });
  const set = keyed(
    list,
    (/** @type {ReceiverView} */ one) => one.id,
    (one) => glass(one.id, current),
  );
  const element = make('section', { class: 'sheet stack' }, make('h2', {}, say('receivers.title')), list);
  return {
    element,
    /** @param {StillView} view */
    update(view) {
      show(element, view.receivers.length > 0);
      set(view.receivers);
    },
  };
}

/** @param {string} id @param {() => StillView | undefined} current */
function glass(id, current) {
  const fill = make('div', { class: 'fill' });
  const name = make('h3', {}, id);
  const takes = make('p', { class: 'hint' });
  const level = make('p', { class: 'figure' });
  const room = make('p', { class: 'hint' });
  const state = make('p', { class: 'receiver-state' });
  const empty = async () => {
    const isSure = await askSure({
      title: say('receivers.emptied-sure', { receiver: id }),
      lines: [say('receivers.emptied-what')],
      yes: say('receivers.emptied'),
    });
    const view = current();
    if (isSure && view !== undefined) void give(view, { order: 'receiver-emptied', target: id });
  };
  const emptied = button(say('receivers.emptied'), () => void empty(), 'small');
  const element = make('li', {}, make('div', { class: 'glass' }, fill));
  put(element, make('div', { class: 'glass-words' }, name, state, level, room, takes, emptied));
  return {
    element,
    /** @param {ReceiverView} one */
    update(one) {
      const share = one.capacityL > 0 ? Math.min(1, one.volumeL / one.capacityL) : 0;
      fill.style.height = `${Math.round(share * 1000) / 10}%`;
      fill.className = `fill ${one.takes[0] ?? ''}`;
      element.classList.toggle('is-open', one.open);
      setText(takes, one.takes.join(', '));
      setText(level, say('receivers.of', { volume: litres(one.volumeL), capacity: litres(one.capacityL) }));
      setText(room, say('receivers.room', { left: litres(Math.max(0, one.capacityL - one.volumeL)) }));
      const words = one.open
        ? `▶ ${say('receivers.open')}`
        : one.opening
          ? say('receivers.opening')
          : say('receivers.closed');
      setText(state, words);
      show(emptied, !one.open && !one.opening && one.volumeL > 0);
    },
  };
}
