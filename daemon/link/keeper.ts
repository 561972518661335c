import { type OnlineMessage, parseOnline } from '../../lib/wire';
import type { LinkEvent, LinkStatus, Message } from './events';
import type { Outbox } from './outbox';
import { askOwner, createSecondOwnerReport } from './owner';
import { type LinkTarget, openSession, type Session } from './session';

export interface KeeperOptions {
  readonly target: LinkTarget;
  readonly clientId: string;
  /** Which process: new at every start. */
  readonly owner: string;
  readonly onlineTopic: string;
  readonly firstRetryMs: number;
  readonly lastRetryMs: number;
  readonly maxPayloadBytes: number;
  readonly outbox: Outbox;
  readonly wanted: () => readonly { readonly topic: string; readonly qos: 0 | 1 }[];
  readonly deliver: (message: Message) => void;
  readonly report: (event: LinkEvent) => void;
  readonly nowMs: () => number;
}

/** Keeps one session after another with the broker, until closed or displaced. */
export interface Keeper {
  readonly status: () => LinkStatus;
  readonly heardAtMs: () => number;
  readonly breakOff: (why: string) => void;
  readonly subscribe: (topic: string, qos: 0 | 1) => void;
  readonly unsubscribe: (topic: string) => void;
  readonly drain: (withinMs: number) => Promise<boolean>;
  readonly close: () => Promise<void>;
}

/** Room for topic and packet id beside the payload. */
const headerRoom = 2048;

/** Doubles up to a limit, with a fifth of chance so that daemons do not come back in step. */
export function retryDelayMs(attempt: number, firstMs: number, lastMs: number): number {
  const plain = Math.min(lastMs, firstMs * 2 ** Math.min(attempt, 16));
  return plain * (0.9 + 0.2 * Math.random());
}

interface Signal {
  readonly given: Promise<void>;
  readonly give: () => void;
}

function createSignal(): Signal {
  let give: () => void = () => undefined;
  const given = new Promise<void>((resolve) => {
    give = resolve;
  });
  return { given, give };
}

function wait(ms: number, stopped: Promise<void>): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, ms);
    void stopped.then(() => {
      clearTimeout(timer);
      resolve();
    });
  });
}

function onlineWord(state: OnlineMessage['state'], owner: string): string {
  const word: OnlineMessage = { state, owner };
  return JSON.stringify(word);
}

/** What changes while the keeper runs. */
interface State {
  status: LinkStatus;
  /** The session that has been accepted, if any. */
  session: Session | null;
  /** The session being opened or open: what close() has to end. */
  latest: Session | null;
  isLeaving: boolean;
  heardAtMs: number;
}

/** Opens a session and stays with it to its end. */
async function runSession(
  options: KeeperOptions,
  state: State,
  setStatus: (status: LinkStatus) => void,
): Promise<void> {
  const { onlineTopic, owner, outbox } = options;
  const over = createSignal();
  let why = '';
  const opened = openSession({
    target: options.target,
    clientId: options.clientId,
    will: { topic: onlineTopic, payload: onlineWord('offline', owner) },
    maxFrameBytes: options.maxPayloadBytes + headerRoom,
    ...listenersFor(options, state, () => opened),
    onHeard: () => {
      state.heardAtMs = options.nowMs();
    },
    onEnd: (reason) => {
      why = reason;
      over.give();
    },
  });
  state.latest = opened;
  await opened.accepted;
  state.session = opened;
  try {
    refuse(options, await opened.subscribe([{ topic: onlineTopic, qos: 1 }, ...options.wanted()]));
    say(options, opened, 'online');
    outbox.attach((message, done) => opened.publish(message.topic, message.payload, message.qos, message.retain, done));
    setStatus('online');
    await over.given;
    options.report({ kind: 'trouble', message: why });
  } finally {
    state.session = null;
    outbox.detach();
  }
}

function listenersFor(options: KeeperOptions, state: State, session: () => Session) {
  const second = createSecondOwnerReport(options.report, options.nowMs);
  const deliver = (topic: string, payload: Uint8Array | null, bytes: number, retained: boolean) => {
    if (payload === null) options.report({ kind: 'too-large', topic, bytes });
    options.deliver({ topic, payload, retained, arrivalMs: options.nowMs() });
  };
  // The last will of whoever was thrown out may come after our word: it is said again.
  const watch = (payload: Buffer) => {
    const word = parseOnline(payload.toString('utf8'));
    if (word === null || word.state === 'offline') say(options, session(), 'online');
    else if (word.owner !== options.owner) second(word.owner);
  };
  return {
    onMessage: (topic: string, payload: Buffer, retained: boolean) => {
      if (topic === options.onlineTopic && !state.isLeaving) watch(payload);
      deliver(topic, payload.length > options.maxPayloadBytes ? null : payload, payload.length, retained);
    },
    onSkipped: ({ topic, bytes }: { readonly topic: string; readonly bytes: number }) =>
      deliver(topic, null, bytes, false),
  };
}

function say(
  options: KeeperOptions,
  session: Session,
  word: OnlineMessage['state'],
  done: () => void = () => undefined,
): void {
  session.publish(options.onlineTopic, onlineWord(word, options.owner), 1, true, done);
}

function refuse(options: KeeperOptions, topics: readonly string[]): void {
  for (const topic of topics) options.report({ kind: 'subscription-refused', topic });
}

/** Whether our place is still ours to come back to. */
async function mayReturn(options: KeeperOptions, setStatus: (status: LinkStatus) => void): Promise<boolean> {
  const answer = await askOwner(options);
  switch (answer.kind) {
    case 'ours':
    case 'nobody':
      return true;
    case 'unknown':
      options.report({ kind: 'trouble', message: answer.why });
      return false;
    case 'other':
      options.report({ kind: 'displaced', owner: answer.owner });
      setStatus('displaced');
      return false;
  }
}

/** One session after another: growing pauses between failures, and never back into a place that another holds. */
async function keep(
  options: KeeperOptions,
  state: State,
  setStatus: (status: LinkStatus) => void,
  stopped: Promise<void>,
): Promise<void> {
  let attempt = 0;
  let wasOnline = false;
  const isOver = () => state.isLeaving || state.status === 'displaced';
  while (!isOver()) {
    const isFree = !wasOnline || (await mayReturn(options, setStatus));
    if (isOver()) return;
    if (isFree) {
      await runSession(options, state, setStatus).catch((error: unknown) =>
        options.report({ kind: 'trouble', message: error instanceof Error ? error.message : String(error) }),
      );
      if (isOver()) return;
      if (state.status === 'online') {
        attempt = 0;
        wasOnline = true;
      }
      setStatus('offline');
    }
    await wait(retryDelayMs(attempt, options.firstRetryMs, options.lastRetryMs), stopped);
    attempt += 1;
  }
}

export function createKeeper(options: KeeperOptions): Keeper {
  const state: State = {
    status: 'connecting',
    session: null,
    latest: null,
    isLeaving: false,
    heardAtMs: Number.NEGATIVE_INFINITY,
  };
  const stop = createSignal();
  const setStatus = (next: LinkStatus) => {
    if (state.status === next) return;
    state.status = next;
    options.report({ kind: 'status', status: next });
  };
  // The caller has its subscriptions and listeners in place by the next turn.
  queueMicrotask(() => void keep(options, state, setStatus, stop.given));

  async function drain(withinMs: number): Promise<boolean> {
    const untilMs = options.nowMs() + withinMs;
    while (!options.outbox.idle() && state.status === 'online' && options.nowMs() < untilMs) await wait(10, stop.given);
    return options.outbox.idle();
  }

  async function close(): Promise<void> {
    if (state.isLeaving) return;
    state.isLeaving = true;
    const { session } = state;
    if (session !== null && state.status === 'online') {
      await drain(1000);
      await new Promise<void>((resolve) => {
        say(options, session, 'offline', resolve);
        setTimeout(resolve, 1000).unref();
      });
    }
    setStatus('closed');
    stop.give();
    options.outbox.detach();
    await state.latest?.end();
  }

  return {
    status: () => state.status,
    heardAtMs: () => state.heardAtMs,
    breakOff: (why) => state.session?.breakOff(why),
    subscribe: (topic, qos) => {
      // A session that ends meanwhile is followed by one that subscribes to everything again.
      void state.session?.subscribe([{ topic, qos }]).then(
        (refused) => refuse(options, refused),
        () => undefined,
      );
    },
    unsubscribe: (topic) => state.session?.unsubscribe(topic),
    drain,
    close,
  };
}
