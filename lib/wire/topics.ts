/** Our own topics, all below one root; builders and parser are here and nowhere else. */
export const topicRoot = 'middlecut';

/** A topic without a name in it. */
export type PlainKind = 'state' | 'phase' | 'event' | 'order' | 'order-answer' | 'online' | 'heartbeat';
/** A topic of one named thing. */
export type NamedKind = 'point' | 'drive-set' | 'drive-state' | 'alarm';

export type Topic =
  | { readonly kind: PlainKind; readonly still: string }
  | { readonly kind: NamedKind; readonly still: string; readonly name: string };

export interface TopicFact {
  readonly path: string;
  /** From the daemon's side. */
  readonly direction: 'out' | 'in';
  readonly retained: boolean;
  readonly qos: 0 | 1;
  readonly what: string;
}

/** Every topic with its manners; `<…>` stands for a name. The reference and the broker's permissions are made from this table. */
export const topicFacts: Readonly<Record<PlainKind | NamedKind, TopicFact>> = {
  state: {
    path: 'state',
    direction: 'out',
    retained: true,
    qos: 1,
    what: 'state, phase, recipe, run and why, the next cut and when it is expected, as JSON (see state.md)',
  },
  phase: { path: 'phase', direction: 'out', retained: true, qos: 1, what: 'the phase as one plain word' },
  point: {
    path: 'point/<point>',
    direction: 'out',
    retained: false,
    qos: 0,
    what: 'a point as the last scan saw it, as read and at the reference pressure',
  },
  'drive-set': {
    path: 'drive/<drive>/set',
    direction: 'out',
    retained: false,
    qos: 1,
    what: 'a command to a drive of our own form; never retained',
  },
  'drive-state': {
    path: 'drive/<drive>/state',
    direction: 'in',
    retained: false,
    qos: 1,
    what: 'what a drive of our own form reports to have done',
  },
  alarm: { path: 'alarm/<alarm>', direction: 'out', retained: true, qos: 1, what: 'an alarm and its state, as JSON' },
  event: {
    path: 'event',
    direction: 'out',
    retained: false,
    qos: 1,
    what: 'every decision with its reason, as it is made',
  },
  order: {
    path: 'order',
    direction: 'in',
    retained: false,
    qos: 1,
    what: 'what an operator says; a retained order is refused',
  },
  'order-answer': {
    path: 'order/answer',
    direction: 'out',
    retained: false,
    qos: 1,
    what: 'accepted, or why not, with the id of the order',
  },
  online: {
    path: 'online',
    direction: 'out',
    retained: true,
    qos: 1,
    what: 'whether the daemon is there, and which; last will',
  },
  heartbeat: {
    path: 'heartbeat',
    direction: 'out',
    retained: false,
    qos: 0,
    what: 'sent by scans that really ran, for watchdogs outside',
  },
};

const nameForm = /^[a-z][a-z0-9-]{0,40}$/;
/** An alarm of one point, drive or receiver carries its name behind a colon: `probe-lost:vapour`. */
export const alarmNameForm = /^[a-z][a-z0-9-]{0,40}(:[a-z][a-z0-9-]{0,40})?$/;

/** A name as our documents allow it: nothing that could leave its place in a topic. */
export function isTopicName(name: string): boolean {
  return nameForm.test(name);
}

function formOf(kind: PlainKind | NamedKind): RegExp {
  return kind === 'alarm' ? alarmNameForm : nameForm;
}

function checkedName(name: string, form: RegExp = nameForm): string {
  if (!form.test(name)) throw new Error(`assertion: '${name}' cannot stand in a topic`);
  return name;
}

/** The topic itself. Names must have passed their schema. */
export function showTopic(topic: Topic): string {
  const path = topicFacts[topic.kind].path;
  const filled = 'name' in topic ? path.replace(/<[a-z]+>/, checkedName(topic.name, formOf(topic.kind))) : path;
  return `${topicRoot}/${checkedName(topic.still)}/${filled}`;
}

const byPath = new Map<string, PlainKind | NamedKind>(
  Object.entries(topicFacts).map(([kind, fact]) => [fact.path.replace(/<[a-z]+>/, '*'), kind as PlainKind | NamedKind]),
);

/**
 * Understands one of our own topics.
 *
 * @returns its parts, or null for any other topic
 * @example parseTopic('middlecut/orchard/drive/heater/set') // { kind: 'drive-set', still: 'orchard', name: 'heater' }
 */
export function parseTopic(text: string): Topic | null {
  const [root, still = '', ...rest] = text.split('/');
  if (root !== topicRoot || !isTopicName(still)) return null;
  const plain = byPath.get(rest.join('/'));
  if (plain !== undefined && !topicFacts[plain].path.includes('<')) return { kind: plain as PlainKind, still };
  const name = rest[1] ?? '';
  const named = byPath.get([rest[0], '*', ...rest.slice(2)].join('/'));
  return named !== undefined && formOf(named).test(name) ? { kind: named as NamedKind, still, name } : null;
}

export interface StillTopics {
  readonly state: string;
  readonly phase: string;
  readonly event: string;
  readonly order: string;
  readonly orderAnswer: string;
  readonly online: string;
  readonly heartbeat: string;
  readonly point: (point: string) => string;
  readonly driveSet: (drive: string) => string;
  readonly driveState: (drive: string) => string;
  readonly alarm: (alarm: string) => string;
}

/** All topics of one still; `online` also of an ownership group of stills. */
export function topicsOf(still: string): StillTopics {
  const plain = (kind: PlainKind) => showTopic({ kind, still });
  const named = (kind: NamedKind) => (name: string) => showTopic({ kind, still, name });
  return {
    state: plain('state'),
    phase: plain('phase'),
    event: plain('event'),
    order: plain('order'),
    orderAnswer: plain('order-answer'),
    online: plain('online'),
    heartbeat: plain('heartbeat'),
    point: named('point'),
    driveSet: named('drive-set'),
    driveState: named('drive-state'),
    alarm: named('alarm'),
  };
}

/** A topic without wildcards that a broker would take. Source: MQTT 3.1.1, section 4.7. */
export function isPlainTopic(text: string): boolean {
  return text !== '' && text.length <= 1024 && !/[+#\0]/.test(text);
}

/** A topic filter, wildcards in their proper places. */
export function isTopicFilter(text: string): boolean {
  if (text === '' || text.length > 1024 || text.includes('\0')) return false;
  const levels = text.split('/');
  return levels.every(
    (level, at) => level === '+' || (level === '#' && at === levels.length - 1) || !/[+#]/.test(level),
  );
}

/** Whether a filter matches a topic. Wildcards at the start do not match topics that begin with `$`. Source: MQTT 3.1.1, section 4.7. */
export function filterMatches(filter: string, topic: string): boolean {
  if (topic.startsWith('$') && /^[+#]/.test(filter)) return false;
  const want = filter.split('/');
  const have = topic.split('/');
  for (let at = 0; at < want.length; at += 1) {
    if (want[at] === '#') return true;
    if (at >= have.length || (want[at] !== '+' && want[at] !== have[at])) return false;
  }
  return want.length === have.length;
}

/** Whether every topic a wanted filter can match is matched by the allowed one: for permissions to subscribe. */
export function filterCovers(allowed: string, wanted: string): boolean {
  const have = allowed.split('/');
  const want = wanted.split('/');
  if (wanted.startsWith('$') && /^[+#]/.test(allowed)) return false;
  for (let at = 0; at < have.length; at += 1) {
    if (have[at] === '#') return true;
    if (at >= want.length || want[at] === '#') return false;
    if (have[at] !== '+' && (want[at] === '+' || have[at] !== want[at])) return false;
  }
  return have.length === want.length;
}
