import { button, keyed, make, put, setText, show } from './dom.js';
import { duration } from './figures.js';
import { askSure, give } from './orders.js';
import { say } from './words.js';

/** @typedef {import('../views').StillView} StillView */
/** @typedef {import('../views').AlarmView} AlarmView */
/** @typedef {import('../views').AskView} AskView */

/** A sign for each priority: told apart by shape, not by colour. */
const signs = { critical: '▲▲▲', high: '▲▲', medium: '▲', low: '△' };

/**
 * What calls for a person: what the still asks, and its alarms with what to do.
 * @param {() => StillView | undefined} current
 */
export function createCalls(current) {
  const asks = make('div', { class: 'stack' });
  const trips = make('div', { class: 'stack' });
  const alarms = make('div', { class: 'stack' });
  const none = make('p', { class: 'hint' }, say('alarm.none'));
  const element = make('section', { class: 'calls stack', 'aria-label': say('ask.title') }, asks, trips, alarms, none);
  const setAsks = keyed(asks, askKey, (/** @type {AskView} */ ask) => askCard(ask, current));
  const setTrips = keyed(
    trips,
    (/** @type {{ id: string, text: string }} */ trip) => trip.id,
    () => {
      const card = make('p', { class: 'trip' });
      return { element: card, update: (trip) => setText(card, say('trip.stands', { text: trip.text })) };
    },
  );
  const setAlarms = keyed(
    alarms,
    (/** @type {AlarmView} */ alarm) => alarm.id,
    () => alarmCard(current),
  );
  return {
    element,
    /** @param {StillView} view */
    update(view) {
      setAsks(view.asks);
      setTrips(view.trips);
      setAlarms(view.alarms);
      show(asks, view.asks.length > 0);
      show(trips, view.trips.length > 0);
      show(alarms, view.alarms.length > 0);
      show(none, view.alarms.length === 0);
    },
  };
}

/** Whether it wants an answer now: neither given nor silenced. @param {AlarmView} alarm */
export const isCalling = (alarm) =>
  !alarm.acknowledged && alarm.shelvedForS === null && !alarm.suppressed && !alarm.outOfService;

/** @param {AskView} ask */
const askKey = (ask) => (ask.kind === 'spout' ? `spout ${ask.to}` : `${ask.kind} ${ask.from} ${ask.to}`);

/**
 * @param {AskView} ask
 * @param {() => StillView | undefined} current
 */
function askCard(ask, current) {
  const why = make('p', {});
  const card = make('article', { class: 'ask', role: 'group', 'aria-label': say('ask.title') });
  put(card, make('p', { class: 'ask-head' }, `? ${say('ask.title')}`), make('h3', {}, askTitle(ask)), why);
  /** @param {Record<string, unknown>} order */
  const order = (order) => {
    const view = current();
    if (view !== undefined) void give(view, order);
  };
  if (ask.kind === 'spout') {
    const moved = () => order({ order: 'spout-moved', target: ask.to });
    put(card, make('div', { class: 'row' }, button(say('ask.moved', { to: ask.to }), moved, 'main')));
  } else {
    const cut = async () => {
      const parts = { from: ask.from, to: ask.to };
      const isSure = await askSure({
        title: say('sure.cut', parts),
        lines: [say('sure.cut-what')],
        yes: say('sure.cut-yes', parts),
      });
      if (isSure) order({ order: 'cut' });
    };
    put(
      card,
      make(
        'div',
        { class: 'row' },
        button(say('ask.yes', { to: ask.to }), () => void cut(), 'main'),
        button(say('ask.no'), () => order({ order: 'decline-cut' })),
      ),
    );
  }
  return {
    element: card,
    /** @param {AskView} now */
    update: (now) => setText(why, now.why),
  };
}

/** @param {AskView} ask */
function askTitle(ask) {
  return ask.kind === 'spout'
    ? say('ask.spout', { to: ask.to })
    : say(`ask.${ask.kind}`, { from: ask.from, to: ask.to });
}

/** @param {() => StillView | undefined} current */
function alarmCard(current) {
  let id = '';
  const head = make('p', { class: 'alarm-head' });
  const text = make('h3', {});
  const standing = make('p', { class: 'alarm-state' });
  const heat = make('p', { class: 'strong' }, say('alarm.heat-off'));
  const what = make('p', {});
  const doNow = make('p', { class: 'do-now' });
  /** @param {Record<string, unknown>} order */
  const order = (order) => {
    const view = current();
    if (view !== undefined) void give(view, { ...order, target: id });
  };
  const acknowledge = button(say('alarm.acknowledge'), () => order({ order: 'acknowledge' }), 'main');
  const silence = [900, 3600].map((forS) =>
    button(say('alarm.silence', { for: duration(forS) }), () => order({ order: 'shelve', forS }), 'small'),
  );
  const unshelve = button(say('alarm.unshelve'), () => order({ order: 'unshelve' }), 'small');
  const back = button(say('alarm.back'), () => order({ order: 'return-to-service' }), 'small');
  // What to do stands open until the alarm is answered; then it is folded away, so that the next one is seen.
  const guide = make('div', {}, what, doNow);
  const folded = make('div', {});
  const more = make('summary', {});
  const details = make(
    'details',
    {},
    more,
    folded,
    make('p', { class: 'hint' }, say('alarm.more-hint')),
    make('div', { class: 'row' }, ...silence),
  );
  const element = make('article', {}, head, text, standing, heat, guide);
  put(element, make('div', { class: 'row' }, acknowledge, unshelve, back), details);
  return {
    element,
    /** @param {AlarmView} alarm */
    update(alarm) {
      id = alarm.id;
      const priority = say(`alarm.${alarm.priority}`);
      element.className = `alarm ${alarm.priority} ${isCalling(alarm) ? 'calling' : 'answered'}`;
      const first = alarm.firstOut ? ` · ${say('alarm.first')}` : '';
      const ago = alarm.raisedAgoS === null ? '' : ` · ${duration(alarm.raisedAgoS)}`;
      setText(head, `${signs[alarm.priority]} ${priority} · ${alarm.name}${first}${ago}`);
      setText(text, alarm.text);
      setText(standing, standingOf(alarm));
      show(heat, alarm.takesHeatOff && alarm.state !== 'normal');
      setPart(what, 'alarm.what', alarm.what);
      setPart(doNow, 'alarm.do', alarm.doNow);
      show(acknowledge, !alarm.acknowledged);
      show(unshelve, alarm.shelvedForS !== null);
      show(back, alarm.outOfService);
      const place = alarm.acknowledged ? folded : element;
      if (guide.parentElement !== place)
        place.insertBefore(guide, place === element ? acknowledge.parentElement : null);
      setText(more, say(alarm.acknowledged ? 'alarm.more-answered' : 'alarm.more'));
      show(details, alarm.shelvedForS === null && !alarm.outOfService);
    },
  };
}

/**
 * @param {HTMLElement} element
 * @param {string} key
 * @param {string | null} text
 */
function setPart(element, key, text) {
  show(element, text !== null);
  if (text !== null) setText(element, `${say(key)}: ${text}`);
}

const states = {
  normal: '',
  unacknowledged: 'alarm.there',
  acknowledged: 'alarm.acknowledged',
  'returned-unacknowledged': 'alarm.returned',
  latched: 'alarm.latched',
};

/** @param {AlarmView} alarm */
function standingOf(alarm) {
  const parts = states[alarm.state] === '' ? [] : [say(states[alarm.state])];
  if (alarm.shelvedForS !== null) parts.push(say('alarm.shelved', { for: duration(alarm.shelvedForS) }));
  if (alarm.outOfService) parts.push(say('alarm.out-of-service'));
  if (alarm.suppressed) parts.push(say('alarm.suppressed'));
  return parts.join(' · ');
}
