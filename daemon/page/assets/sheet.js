import { call } from './api.js';
import { button, keyed, labelled, make, put, setText, show } from './dom.js';
import { onDrafts, partOf, unsaved } from './drafts.js';
import { day, litres, percent, wallClock } from './figures.js';
import { createJar } from './jar.js';
import { give, ownName, setOwnName } from './orders.js';
import { createAbout, createBlind } from './sheet-extras.js';
import { say } from './words.js';

/** @typedef {import('../record-views').SheetView} SheetView */
/** @typedef {import('../record-views').JarView} JarView */

const pollMs = 5000;

/**
 * One jar sheet: the jars as they come, what was measured and tasted of each.
 * @param {string} id
 * @param {import('./live.js').Live} live
 */
export function createSheet(id, live) {
  const element = make('div', { class: 'stack' }, make('p', {}, say('wait')));
  const path = `sheets/${encodeURIComponent(id)}`;
  /** @type {ReturnType<typeof buildSheet> | null} */
  let shown = null;
  let jarSeen = '';

  const load = async () => {
    try {
      /** @type {SheetView} */
      const sheet = await call(path);
      if (shown === null) {
        shown = buildSheet(sheet, live, load);
        element.replaceChildren(shown.element);
      }
      shown.update(sheet);
    } catch (error) {
      if (shown === null)
        element.replaceChildren(
          make('p', { class: 'wrong' }, say('failed', { why: String(error instanceof Error ? error.message : error) })),
        );
    }
  };
  const timer = setInterval(() => void load(), pollMs);
  const stopDrafts = onDrafts(() => shown?.refresh());
  const stopLive = live.listen(() => {
    // A jar that comes is shown at once.
    const now = [...live.stills.values()]
      .filter((view) => view.run?.id === id)
      .map((view) => `${view.jar?.number} ${view.state}`)
      .join();
    if (now === jarSeen) return;
    jarSeen = now;
    void load();
  });
  void load();
  return {
    element,
    leave() {
      clearInterval(timer);
      stopDrafts();
      stopLive();
    },
  };
}

/** @param {SheetView} first @param {import('./live.js').Live} live @param {() => Promise<void>} reload */
function buildSheet(first, live, reload) {
  let sheet = first;
  const title = make('h2', { class: 'title' });
  const facts = make('p', { class: 'hint' });
  const saving = make('p', { class: 'save-state', role: 'status' });
  const taster = make('input', { type: 'text', maxlength: 40, autocomplete: 'name' });
  taster.value = ownName();
  taster.addEventListener('input', () => setOwnName(taster.value));
  taster.addEventListener('change', () => update(sheet));
  const list = make('div', { class: 'jars' });
  const empty = make('p', { class: 'hint' }, say('sheet.empty'));
  /** @type {Map<number, ReturnType<typeof createJar>>} */
  const jars = new Map();
  let isBlind = false;
  /** What stands on the glass of a jar; null while the tasting is open. @param {number} jar */
  const glassOf = (jar) => {
    const glass = isBlind ? sheet.pouring?.glasses.find((one) => one.jar === jar) : undefined;
    return glass?.hiddenNumber ?? glass?.position ?? null;
  };
  const setJars = keyed(
    list,
    (/** @type {JarView} */ jar) => `${glassOf(jar.number)} ${jar.number}`,
    (jar) => {
      const made = createJar(sheet, jar, { taster: () => taster.value.trim(), glass: glassOf(jar.number) });
      jars.set(jar.number, made);
      return made;
    },
  );
  const nextJar = button(
    say('sheet.next-jar'),
    () => {
      const view = stillOf(live, sheet.id);
      if (view !== undefined) void give(view, { order: 'next-jar' }).then(reload);
    },
    'main',
  );
  const addJar = button(
    '',
    () => {
      const part = partOf({ sheet: sheet.id, path: 'jar', extra: { jar: sheet.jars.length + 1 } });
      part.set('note', ' ');
      void part.save().then(reload);
    },
    'main',
  );
  const blind = createBlind(
    () => sheet,
    reload,
    () => {
      isBlind = !isBlind;
      jars.clear();
      update(sheet);
    },
  );
  const about = createAbout(sheet);
  const element = make(
    'div',
    { class: 'stack' },
    make('p', {}, make('a', { href: '#/jars' }, `← ${say('sheet.back')}`)),
    title,
    facts,
    saving,
  );
  put(
    element,
    labelled(say('sheet.taster'), taster, say('sheet.taster-hint')),
    nextJar,
    empty,
    list,
    addJar,
    blind.element,
    about.element,
  );

  const refresh = () => {
    for (const jar of jars.values()) jar.refresh();
    about.update();
    const { count, isKept } = unsaved(sheet.id);
    const words = count > 0 ? say('sheet.unsaved', { count }) : say('sheet.saved-all');
    setText(saving, isKept ? words : `${words} ${say('sheet.no-store')}`);
    saving.classList.toggle('wrong', !isKept);
  };
  /** @param {SheetView} now */
  const update = (now) => {
    sheet = now;
    const { content } = now.about;
    setText(title, content.name);
    setText(facts, factsOf(now));
    const order = isBlind
      ? (now.pouring?.glasses ?? []).map((glass) => now.jars[glass.jar - 1])
      : [...now.jars].reverse();
    setJars(order.filter((jar) => jar !== undefined));
    show(empty, now.jars.length === 0);
    show(nextJar, !isBlind && stillOf(live, now.id)?.can.includes('next-jar') === true);
    show(addJar, now.byHand && !isBlind);
    setText(addJar, say('sheet.add-jar', { number: now.jars.length + 1 }));
    partOf({ sheet: now.id, path: 'about', extra: {} }).sync(now.about);
    blind.update(now, isBlind);
    show(about.element, !isBlind);
    refresh();
  };
  return { element, update, refresh };
}

/** @param {import('./live.js').Live} live @param {string} run */
const stillOf = (live, run) => [...live.stills.values()].find((view) => view.run?.id === run);

/** @param {SheetView} sheet */
function factsOf({ about, byHand, open }) {
  const { stillName, run, startedAt, chargeL, chargeVolPercent, chargeWhat } = about.content;
  const charge =
    chargeL === undefined
      ? ''
      : `${say('sheet.charge')} ${litres(chargeL)}${chargeVolPercent === undefined ? '' : `, ${percent(chargeVolPercent, '% vol')}`}${chargeWhat === undefined ? '' : ` ${chargeWhat}`}`;
  return [
    stillName,
    byHand || run === undefined ? say('sheet.by-hand') : say('sheet.run', { run }),
    startedAt === undefined ? '' : `${day(startedAt)}, ${wallClock(startedAt)}`,
    charge,
    open ? say('jars.open') : '',
  ]
    .filter(Boolean)
    .join(' · ');
}
