import { call } from './api.js';
import { isCalling } from './calls.js';
import { button, byId, make, setAttribute, setText, show } from './dom.js';
import { duration, wallClock } from './figures.js';
import { askSure, give } from './orders.js';
import { isStillView, stillShown } from './place.js';
import { createSound } from './sound.js';
import { say } from './words.js';

/** @typedef {import('./live.js').Live} Live */
/** @typedef {import('../views').StillView} StillView */

/** @param {StillView} still */
const callingAlarms = ({ alarms }) => alarms.filter(isCalling);

/**
 * What is the same on every view: which still, whether this is now, what calls, and the way to hold.
 * @param {Live} live
 * @param {boolean} canLeave there is a login to end
 */
export function createHead(live, canLeave) {
  const old = createOld();
  const strip = make('button', { type: 'button', class: 'strip', hidden: true, onclick: () => goToCalls(live) });
  const title = make('h1', {}, 'Middlecut');
  const choose = make('select', { class: 'choose', 'aria-label': say('tab.still') });
  choose.addEventListener('change', () => {
    location.hash = `#/still/${choose.value}`;
  });
  const state = make('span', { class: 'state' });
  const sound = createSound();
  const soundButton = button(say('sound.off'), () => pressSound(), 'small');
  const pressSound = () => {
    sound.toggle();
    setText(soundButton, say(sound.isOn ? 'sound.on' : 'sound.off'));
    setAttribute(soundButton, 'aria-pressed', String(sound.isOn));
  };
  const out = button(say('login.out'), () => void call('logout', {}).then(() => location.reload()), 'small');
  show(out, canLeave);
  const hold = make('button', { type: 'button', hidden: true, onclick: () => void holdNow(live) }, say('bar.hold'));
  const row = make('div', { class: 'head-row' }, title, choose, state, soundButton, out);
  const summons = createSummons();

  return {
    parts: [old.element, strip, row],
    hold,
    paint() {
      const views = live.order.flatMap((id) => live.stills.get(id) ?? []);
      const here = stillShown(live);
      const isOld = old.paint(live, here);
      const word = live.link.state === 'live' ? 'state.now' : 'state.connecting';
      setText(state, live.link.state === 'lost' ? '' : `● ${say(word)}`);
      show(choose, views.length > 1);
      show(title, views.length <= 1);
      setText(title, views[0]?.name ?? 'Middlecut');
      if (choose.options.length !== views.length) {
        choose.replaceChildren(...views.map(({ id, name }) => make('option', { value: id }, name)));
      }
      if (here !== undefined && choose.value !== here) choose.value = here;
      show(hold, here !== undefined && live.stills.get(here)?.can.includes('hold') === true);
      const { asking, calling } = summons.paint(views, isOld);
      const isAway = !isStillView() || scrollY > 150 || views.length > 1;
      show(strip, isAway && (asking || calling > 0));
      strip.classList.toggle('asks', calling === 0);
      setText(strip, stripText(views, calling));
      sound.set(isOld || asking || calling > 0);
    },
  };
}

/** @param {readonly StillView[]} views @param {number} calling */
function stripText(views, calling) {
  const words = calling === 0 ? `? ${say('strip.asks')}` : `▲ ${say('strip.alarms', { count: calling })}`;
  const who = views.filter((one) => one.asks.length > 0 || callingAlarms(one).length > 0).map(({ name }) => name);
  return views.length > 1 ? `${words} (${who.join(', ')})` : words;
}

/** From every view, but never by a slip of the thumb. @param {Live} live */
async function holdNow(live) {
  const still = stillShown(live);
  const words = { title: say('sure.hold'), lines: [say('sure.hold-what')], yes: say('sure.hold-yes') };
  if (!(await askSure(words))) return;
  const now = still === undefined ? undefined : live.stills.get(still);
  if (now !== undefined) await give(now, { order: 'hold' });
}

/** To what calls, from wherever one is. @param {Live} live */
function goToCalls(live) {
  const calling = [...live.stills.values()].find((one) => one.asks.length > 0 || callingAlarms(one).length > 0);
  if (calling !== undefined && calling.id !== stillShown(live)) {
    location.hash = `#/still/${encodeURIComponent(calling.id)}`;
  } else if (!isStillView()) location.hash = '#/still';
  scrollTo(0, 0);
}

/** The loud word that what is seen is old. */
function createOld() {
  const title = make('span', {});
  const since = make('small', {});
  const element = make('div', { class: 'no-connection', role: 'alert', hidden: true }, title, since);
  return {
    element,
    /** @param {Live} live @param {string | undefined} still */
    paint({ link, isOld }, still) {
      const isLost = link.state === 'lost';
      const isQuiet = link.state === 'live' && still !== undefined && isOld(still);
      show(element, isLost || isQuiet);
      document.body.classList.toggle('is-old', isLost || isQuiet);
      if (isLost) {
        const isNever = link.heardAtMs === 0;
        const ago = isNever ? '–' : duration((Date.now() - link.heardAtMs) / 1000);
        setText(title, `✕ ${say('lost.title')}`);
        setText(since, say('lost.since', { at: isNever ? '–' : wallClock(link.heardAtMs), ago }));
      } else if (isQuiet && still !== undefined) {
        setText(title, `✕ ${say('quiet.title')}`);
        setText(since, say('quiet.since', { still, ago: duration(link.quietS[still] ?? 0) }));
      }
      return isLost || isQuiet;
    },
  };
}

/** Calls people by the page's title and by what a screen reader says. */
function createSummons() {
  /** @type {Set<string>} */
  let known = new Set();
  const called = byId('called');
  return {
    /** @param {readonly StillView[]} views @param {boolean} isOld */
    paint(views, isOld) {
      const calling = views.flatMap(callingAlarms);
      const asking = views.some(({ asks }) => asks.length > 0);
      const fresh = calling.filter(({ id }) => !known.has(id));
      if (fresh.length > 0) {
        const words = fresh.map(({ priority, text }) =>
          say('alarm.raised', { priority: say(`alarm.${priority}`), text }),
        );
        called.textContent = words.join('. ');
      }
      known = new Set(calling.map(({ id }) => id));
      const sign = calling.length > 0 ? `(${calling.length}!) ` : asking ? '(?) ' : '';
      const phase = views[0]?.phaseSaid ?? '';
      document.title = isOld ? `✕ ${say('lost.title')}` : `${sign}${phase === '' ? '' : `${phase} · `}Middlecut`;
      return { asking, calling: calling.length };
    },
  };
}
