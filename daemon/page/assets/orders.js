import { call, Refused } from './api.js';
import { button, make, put, show } from './dom.js';
import { say } from './words.js';

const nameKey = 'middlecut-name';

/** Who uses this device, for the record; empty where nobody said. */
export function ownName() {
  try {
    return localStorage.getItem(nameKey) ?? '';
  } catch {
    return '';
  }
}

/** @param {string} name */
export function setOwnName(name) {
  try {
    localStorage.setItem(nameKey, name.trim().slice(0, 40));
  } catch {
    // Asked again next time.
  }
}

/** An id nobody else gives: an order sent again over a bad connection is carried out once. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return `page-${Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('')}`;
}

let closing = 0;

/**
 * Says what came of an order, where it is seen on every view.
 * @param {string} text
 * @param {boolean} isGood
 */
export function tellAnswer(text, isGood) {
  const bar = document.getElementById('answer');
  const said = document.getElementById('said');
  if (bar === null) return;
  bar.replaceChildren();
  bar.classList.toggle('refused', !isGood);
  put(
    bar,
    make('p', {}, isGood ? text : `✕ ${text}`),
    button(say('answer.close'), () => show(bar, false), 'small'),
  );
  show(bar, true);
  if (said !== null) said.textContent = text;
  clearTimeout(closing);
  // What was refused stays until it is read.
  if (isGood) closing = window.setTimeout(() => show(bar, false), 8000);
}

/**
 * Gives an order and says what came of it. It carries what was seen, so that one meant for another moment is refused.
 * @param {import('../views').StillView} view
 * @param {Record<string, unknown>} order
 * @returns {Promise<boolean>} whether it was accepted
 */
export async function give(view, order) {
  const by = ownName();
  const seen = { run: view.run?.id ?? null, state: view.state, phase: view.phase, jar: view.jar?.number ?? null };
  const body = { order: { ...order, id: newId(), by: by === '' ? say('orders.nobody') : by }, seen };
  const path = `stills/${encodeURIComponent(view.id)}/orders`;
  try {
    const outcome = await twice(() => call(path, body));
    tellAnswer(outcome.why.join('\n'), outcome.accepted);
    return outcome.accepted;
  } catch (error) {
    const isLost = error instanceof Refused && error.status === 0;
    tellAnswer(isLost ? say('answer.lost') : String(error instanceof Error ? error.message : error), false);
    return false;
  }
}

/**
 * Once more where nothing was heard; the order keeps its id.
 * @param {() => Promise<any>} work
 */
async function twice(work) {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof Refused) || error.status !== 0) throw error;
    await new Promise((resolve) => setTimeout(resolve, 1000));
    return work();
  }
}

/**
 * Asks before something that cannot be taken back lightly. The way back is where the focus is.
 * @param {{ title: string, lines: readonly string[], yes: string, isGrave?: boolean, warnings?: readonly string[] }} question
 * @returns {Promise<boolean>}
 */
export function askSure({ title, lines, yes, isGrave = true, warnings = [] }) {
  return new Promise((resolve) => {
    const heading = make('h2', { id: 'sure-title' }, title);
    const dialog = make('dialog', { class: isGrave ? 'grave' : '', 'aria-labelledby': 'sure-title' });
    const back = button(say('sure.back'), () => dialog.close('no'));
    put(
      dialog,
      heading,
      ...warnings.map((line) => make('p', { class: 'wrong' }, line)),
      ...lines.map((line) => make('p', {}, line)),
      make(
        'div',
        { class: 'row' },
        back,
        button(yes, () => dialog.close('yes'), 'main'),
      ),
    );
    dialog.addEventListener('close', () => {
      dialog.remove();
      resolve(dialog.returnValue === 'yes');
    });
    document.body.append(dialog);
    dialog.showModal();
    back.focus();
  });
}
