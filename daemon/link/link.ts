import { randomUUID } from 'node:crypto';
import { performance } from 'node:perf_hooks';
import { type Observable, Subject } from 'rxjs';
import { type OnlineMessage, parseOnline, topicsOf } from '../../lib/wire';
import type { LinkEvent, LinkStatus, Message } from './events';
import { createOutbox, type Outbox } from './outbox';
import { askOwner } from './owner';
import { type LinkTarget, openSession, type Session } from './session';
import { createSubscriptions } from './subscriptions';

export interface LinkOptions {
  readonly target: LinkTarget;
  /** Name of what this daemon owns: its client id and its online topic. */
  readonly group: string;
  readonly clientId: string;
  readonly firstRetryMs?: number;
  readonly lastRetryMs?: number;
  readonly maxPayloadBytes?: number;
  readonly maxEvents?: number;
}

/** The daemon's one connection to its broker. */
export interface Link {
  readonly owner: string;
  readonly status: () => LinkStatus;
  readonly events: Observable<LinkEvent>;
  /** Messages of one topic; subscribed at the broker as long as somebody listens, again after each reconnect. */
  readonly messages: (topic: string, qos?: 0 | 1) => Observable<Message>;
  /** To a drive: never retained, QoS 1, not sent later than its time to live, dropped while offline. */
  readonly command: (topic: string, payload: string, ttlMs: number) => 'sent' | 'waiting' | 'offline';
  /** Lets a word stand on a topic; said again after each reconnect. */
  readonly retain: (topic: string, payload: string) => void;
  /** Something that happened: kept while offline, up to a bound. */
  readonly event: (topic: string, payload: string) => void;
  /** Something of use only now: dropped while offline. */
  readonly passing: (topic: string, payload: string) => void;
  /** Waits until everything has left, at most this long. */
  readonly drain: (withinMs: number) => Promise<boolean>;
  readonly close: () => Promise<void>;
}

/** Room for topic and packet id beside the payload. */
const headerRoom = 2048;

interface Parts {
  readonly options: LinkOptions;
  readonly owner: string;
  readonly onlineTopic: string;
  readonly outbox: Outbox;
  readonly report: (event: LinkEvent) => void;
}

function onlineWord(state: OnlineMessage['state'], owner: string): string {
  const word: OnlineMessage = { state, owner };
  return JSON.stringify(word);
}

function reporter(): { events: Subject<LinkEvent>; report: (event: LinkEvent) => void } {
  const events = new Subject<LinkEvent>();
  return { events, report: (event) => events.next(event) };
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

/** Doubles up to a limit, with a fifth of chance so that daemons do not come back in step. */
export function retryDelayMs(attempt: number, firstMs: number, lastMs: number): number {
  const plain = Math.min(lastMs, firstMs * 2 ** Math.min(attempt, 16));
  return plain * (0.9 + 0.2 * Math.random());
}

/**
 * Opens the link and keeps it: connects, subscribes, says that we are there, and comes back with growing pauses when the broker was away.
 *
 * A newer daemon with the same group takes our place; then the status is `displaced` and we stay out.
 */
export function openLink(options: LinkOptions): Link {
  const owner = randomUUID();
  const { events, report } = reporter();
  const nowMs = () => performance.now();
  const outbox = createOutbox({
    maxInFlight: 20,
    maxEvents: options.maxEvents ?? 1000,
    maxRetained: 4096,
    report,
    nowMs,
  });
  const parts: Parts = { options, owner, onlineTopic: topicsOf(options.group).online, outbox, report };
  let status: LinkStatus = 'connecting';
  let session: Session | null = null;
  let isLeaving = false;
  let stop: () => void = () => undefined;
  const stopped = new Promise<void>((resolve) => {
    stop = resolve;
  });
  const setStatus = (next: LinkStatus) => {
    if (status === next) return;
    status = next;
    report({ kind: 'status', status: next });
  };
  const refuse = (topics: readonly string[]) => {
    for (const topic of topics) report({ kind: 'subscription-refused', topic });
  };
  const subscriptions = createSubscriptions(
    (topic, qos) => {
      // A link that ends meanwhile subscribes to everything again.
      if (status === 'online') void session?.subscribe([{ topic, qos }]).then(refuse, () => undefined);
    },
    (topic) => session?.unsubscribe(topic),
  );
  const deliver = (topic: string, payload: Uint8Array | null, bytes: number, retained: boolean) => {
    if (payload === null) report({ kind: 'too-large', topic, bytes });
    subscriptions.deliver({ topic, payload, retained, arrivalMs: nowMs() });
  };

  async function runSession(): Promise<void> {
    const maxPayloadBytes = options.maxPayloadBytes ?? 65536;
    let ended: (why: string) => void = () => undefined;
    const end = new Promise<string>((resolve) => {
      ended = resolve;
    });
    const opened = openSession({
      target: options.target,
      clientId: options.clientId,
      will: { topic: parts.onlineTopic, payload: onlineWord('offline', owner) },
      maxFrameBytes: maxPayloadBytes + headerRoom,
      onMessage: (topic, payload, retained) => {
        if (topic === parts.onlineTopic && !isLeaving) watchOwner(parts, opened, payload.toString('utf8'));
        deliver(topic, payload.length > maxPayloadBytes ? null : payload, payload.length, retained);
      },
      onSkipped: ({ topic, bytes }) => deliver(topic, null, bytes, false),
      onEnd: (why) => ended(why),
    });
    session = opened;
    await opened.accepted;
    if (isClosed()) return opened.end();
    refuse(await opened.subscribe([{ topic: parts.onlineTopic, qos: 1 }, ...subscriptions.wanted()]));
    sayOnline(parts, opened);
    setStatus('online');
    outbox.attach((message, done) => opened.publish(message.topic, message.payload, message.qos, message.retain, done));
    report({ kind: 'trouble', message: await end });
  }

  async function keep(): Promise<void> {
    let attempt = 0;
    let wasOnline = false;
    while (status !== 'closed') {
      const isFree = !wasOnline || (await mayReturn(parts, setStatus));
      if (status === 'displaced' || isClosed()) return;
      if (isFree) {
        await runSession().catch((error: unknown) =>
          report({ kind: 'trouble', message: error instanceof Error ? error.message : String(error) }),
        );
        if (status === 'online') {
          attempt = 0;
          wasOnline = true;
        }
        outbox.detach();
        if (!isClosed()) setStatus('offline');
      }
      await wait(retryDelayMs(attempt, options.firstRetryMs ?? 1000, options.lastRetryMs ?? 30_000), stopped);
      attempt += 1;
    }
  }
  // The status changes while we wait; the compiler cannot know.
  const isClosed = () => (status as LinkStatus) === 'closed';
  void keep();

  async function drain(withinMs: number): Promise<boolean> {
    const untilMs = nowMs() + withinMs;
    while (!outbox.idle() && status === 'online' && nowMs() < untilMs) await wait(10, stopped);
    return outbox.idle();
  }

  async function close(): Promise<void> {
    if (isClosed() || isLeaving) return;
    isLeaving = true;
    const last = session;
    const wasOnline = status === 'online';
    if (wasOnline && last !== null) {
      await drain(1000);
      await new Promise<void>((resolve) => {
        last.publish(parts.onlineTopic, onlineWord('offline', owner), 1, true, () => resolve());
        setTimeout(resolve, 1000).unref();
      });
    }
    setStatus('closed');
    stop();
    outbox.detach();
    await last?.end();
    events.complete();
  }

  return {
    owner,
    status: () => status,
    events,
    messages: (topic, qos = 1) => subscriptions.messages(topic, qos),
    command: outbox.command,
    retain: outbox.retain,
    event: outbox.event,
    passing: outbox.passing,
    drain,
    close,
  };
}

function sayOnline(parts: Parts, session: Session): void {
  session.publish(parts.onlineTopic, onlineWord('online', parts.owner), 1, true, () => undefined);
}

/** The last will of whoever was thrown out may come after our word: say it again. Another's word while we are here is reported. */
function watchOwner(parts: Parts, session: Session, payload: string): void {
  const word = parseOnline(payload);
  if (word === null || word.state === 'offline') sayOnline(parts, session);
  else if (word.owner !== parts.owner) parts.report({ kind: 'second-owner', owner: word.owner });
}

/** Whether our place is still ours to come back to. */
async function mayReturn(parts: Parts, setStatus: (status: LinkStatus) => void): Promise<boolean> {
  const { target, clientId } = parts.options;
  const answer = await askOwner({ target, clientId, onlineTopic: parts.onlineTopic, owner: parts.owner });
  switch (answer.kind) {
    case 'ours':
    case 'nobody':
      return true;
    case 'unknown':
      parts.report({ kind: 'trouble', message: answer.why });
      return false;
    case 'other':
      parts.report({ kind: 'displaced', owner: answer.owner });
      setStatus('displaced');
      return false;
  }
}
