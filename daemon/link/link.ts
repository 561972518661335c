import { randomUUID } from 'node:crypto';
import { performance } from 'node:perf_hooks';
import { type Observable, Subject } from 'rxjs';
import { topicsOf } from '../../lib/wire';
import type { LinkEvent, LinkStatus, Message } from './events';
import { createKeeper } from './keeper';
import { createOutbox } from './outbox';
import type { LinkTarget } from './session';
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
  /** When the broker was last heard, in whatever way, by the monotonic clock [ms]; −Infinity before it ever was. */
  readonly heardAtMs: () => number;
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

/**
 * Opens the link and keeps it: connects, subscribes, says that we are there, and comes back with growing pauses when the broker was away.
 *
 * A newer daemon with the same group takes our place; then the status is `displaced` and we stay out.
 */
export function openLink(options: LinkOptions): Link {
  const owner = randomUUID();
  const events = new Subject<LinkEvent>();
  const report = (event: LinkEvent) => events.next(event);
  const nowMs = () => performance.now();
  const outbox = createOutbox({
    maxInFlight: 20,
    maxEvents: options.maxEvents ?? 1000,
    maxRetained: 4096,
    report,
    nowMs,
    onStuck: () => keeper.breakOff('a command was not taken within its time to live'),
  });
  const subscriptions = createSubscriptions(
    (topic, qos) => keeper.subscribe(topic, qos),
    (topic) => keeper.unsubscribe(topic),
  );
  const keeper = createKeeper({
    target: options.target,
    clientId: options.clientId,
    owner,
    onlineTopic: topicsOf(options.group).online,
    firstRetryMs: options.firstRetryMs ?? 500,
    lastRetryMs: options.lastRetryMs ?? 5000,
    maxPayloadBytes: options.maxPayloadBytes ?? 65536,
    outbox,
    wanted: subscriptions.wanted,
    deliver: subscriptions.deliver,
    report,
    nowMs,
  });
  return {
    owner,
    status: keeper.status,
    heardAtMs: keeper.heardAtMs,
    events,
    messages: (topic, qos = 1) => subscriptions.messages(topic, qos),
    command: outbox.command,
    retain: outbox.retain,
    event: outbox.event,
    passing: outbox.passing,
    drain: keeper.drain,
    close: async () => {
      await keeper.close();
      events.complete();
    },
  };
}
