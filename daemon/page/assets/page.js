import { call } from './api.js';
import { byId, labelled, make, put, setAttribute, setText } from './dom.js';
import { takeUpDrafts } from './drafts.js';
import { setTemperatures } from './figures.js';
import { createHead } from './head.js';
import { createLive } from './live.js';
import { placeNow, stillShown } from './place.js';
import { createRun, createRuns } from './runs.js';
import { createSheet } from './sheet.js';
import { createSheets } from './sheets.js';
import { createStill } from './still.js';
import { say, setLanguage } from './words.js';

/** @typedef {{ needsPassword: boolean, isIn: boolean, from: string, language: string, temperatures: string }} Session */
/** @typedef {{ element: HTMLElement, leave: () => void }} View */

const live = createLive();
/** @type {Session} */
let session = { needsPassword: false, isIn: false, from: 'still', language: 'en', temperatures: 'C' };
/** @type {View | null} */
let view = null;
/** @type {ReturnType<typeof createHead> | null} */
let head = null;
/** @type {{ name: string, link: HTMLElement }[]} */
let tabs = [];
let shownFor = '';

/** @returns {View} */
function viewFor() {
  const { kind, id } = placeNow();
  if (kind === 'jars') return id === null ? createSheets() : createSheet(id, live);
  if (kind === 'runs') return id === null ? createRuns() : createRun(id);
  const still = stillShown(live);
  if (still === undefined) return { element: make('p', {}, say('wait')), leave: () => undefined };
  return createStill(still, live, session);
}

function route() {
  if (!session.isIn) return;
  const { kind, id } = placeNow();
  const key = `${kind} ${kind === 'still' ? stillShown(live) : id}`;
  if (key === shownFor) return;
  shownFor = key;
  view?.leave();
  view = viewFor();
  byId('view').replaceChildren(view.element);
  for (const { name, link } of tabs) setAttribute(link, 'aria-current', name === kind ? 'page' : null);
  scrollTo(0, 0);
}

function paint() {
  if (!session.isIn) return;
  route();
  head?.paint();
}

function showLogin() {
  const password = make('input', {
    type: 'password',
    autocomplete: 'current-password',
    required: true,
    maxlength: 1024,
  });
  const wrong = make('p', { class: 'wrong', role: 'alert' });
  const heading = make('h2', { class: 'title' }, say('login.title'));
  const form = make('form', { class: 'sheet login' }, heading, labelled(say('login.password'), password), wrong);
  put(
    form,
    make('div', { class: 'row field' }, make('button', { class: 'button main', type: 'submit' }, say('login.go'))),
  );
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    try {
      await call('login', { password: password.value });
      await begin();
    } catch (error) {
      setText(wrong, error instanceof Error ? error.message : String(error));
      password.select();
    }
  });
  view?.leave();
  view = null;
  shownFor = '';
  byId('view').replaceChildren(form);
  password.focus();
}

/** The frame around every view, made once the language is known. */
function build() {
  head = createHead(live, session.needsPassword && session.isIn);
  tabs = ['still', 'jars', 'runs'].map((name) => ({
    name,
    link: make('a', { href: `#/${name}` }, say(`tab.${name}`)),
  }));
  byId('head').replaceChildren(...(session.isIn ? head.parts : []));
  byId('tabs').hidden = !session.isIn;
  byId('tabs').replaceChildren(...tabs.map(({ link }) => link), head.hold);
}

async function begin() {
  try {
    session = await call('session');
  } catch {
    // Not even that: the page says so, and tries again.
    if (head === null) byId('view').textContent = say('lost.title');
    setTimeout(() => void begin(), 3000);
    return;
  }
  setLanguage(session.language);
  setTemperatures(session.temperatures);
  build();
  if (session.isIn) {
    live.open();
    takeUpDrafts();
    paint();
    return;
  }
  live.close();
  document.title = 'Middlecut';
  document.body.classList.remove('is-old');
  showLogin();
}

live.listen(paint);
addEventListener('scroll', () => session.isIn && head?.paint(), { passive: true });
addEventListener('hashchange', () => {
  paint();
  byId('view').focus({ preventScroll: true });
});
addEventListener('logged-out', () => {
  if (session.isIn) void begin();
});
void begin();
