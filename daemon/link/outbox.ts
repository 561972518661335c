import type { LinkEvent } from './events';

export interface Outgoing {
  readonly topic: string;
  readonly payload: string;
  readonly qos: 0 | 1;
  readonly retain: boolean;
}

/** Sends one message; `done` is called once, when the broker has it or it failed. */
export type Send = (message: Outgoing, done: (error?: Error | null) => void) => void;

export interface OutboxOptions {
  /** Unacknowledged at once: brokers lose messages past some hundred. */
  readonly maxInFlight: number;
  /** Events kept for a link that is away. */
  readonly maxEvents: number;
  /** Topics on which we keep a word standing. */
  readonly maxRetained: number;
  readonly report: (event: LinkEvent) => void;
  readonly nowMs: () => number;
  /** The broker has not taken a command within its time to live: what is on its way must be stopped. */
  readonly onStuck?: () => void;
}

/** A busy broker may need as long to say that it has a message [ms]. */
const leastPatienceMs = 1000;
const unreadMs = 100;

type Line = 'command' | 'retained' | 'event' | 'passing';

interface WaitingCommand {
  readonly message: Outgoing;
  readonly expiresMs: number;
}

/**
 * Everything that is to be sent, in three lines: commands first, then what stands retained, then events.
 *
 * Commands live only on a link that is up: a late command is worse than none. Of retained topics only the latest word counts. Events wait, up
 * to a bound. On a link that comes up everything retained is said again: the broker may be a new one.
 */
export interface Outbox {
  readonly command: (topic: string, payload: string, ttlMs: number) => 'sent' | 'waiting' | 'offline';
  readonly retain: (topic: string, payload: string) => void;
  readonly event: (topic: string, payload: string) => void;
  /** Said now or never: of no use later. */
  readonly passing: (topic: string, payload: string) => void;
  readonly attach: (send: Send) => void;
  readonly detach: () => void;
  readonly idle: () => boolean;
}

export function createOutbox(options: OutboxOptions): Outbox {
  const commands: WaitingCommand[] = [];
  const standing = new Map<string, string>();
  const unsaid = new Set<string>();
  const events: Outgoing[] = [];
  const flying = new Map<Outgoing, Line>();
  let send: Send | null = null;
  let isOverflowing = false;

  function launch(message: Outgoing, line: Line, patienceMs: number | null = null): void {
    const sendNow = send;
    if (sendNow === null) return;
    flying.set(message, line);
    let timer: NodeJS.Timeout | undefined;
    const later = (ms: number, work: () => void): void => {
      timer = setTimeout(work, ms).unref();
    };
    // Once more round: after a standstill of this process its acknowledgement may lie unread in the socket.
    if (patienceMs !== null) later(patienceMs, () => later(unreadMs, () => giveUp(message)));
    sendNow(message, () => {
      clearTimeout(timer);
      // A message of a link that is gone was already dealt with.
      if (flying.delete(message)) pump();
    });
  }

  function giveUp(message: Outgoing): void {
    if (!flying.has(message)) return;
    flying.delete(message);
    options.report({ kind: 'command-lost', topic: message.topic, why: 'expired' });
    options.onStuck?.();
  }

  function nextCommand(): WaitingCommand | null {
    while (commands.length > 0) {
      const next = commands.shift();
      if (next === undefined) break;
      if (next.expiresMs > options.nowMs()) return next;
      options.report({ kind: 'command-lost', topic: next.message.topic, why: 'expired' });
    }
    return null;
  }

  function nextRetained(): Outgoing | null {
    const topic = unsaid.values().next().value;
    if (topic === undefined) return null;
    unsaid.delete(topic);
    return { topic, payload: standing.get(topic) ?? '', qos: 1, retain: true };
  }

  function pump(): void {
    while (send !== null && flying.size < options.maxInFlight) {
      const command = nextCommand();
      const retained = command === null ? nextRetained() : null;
      const event = command === null && retained === null ? (events.shift() ?? null) : null;
      if (command !== null)
        launch(command.message, 'command', Math.max(leastPatienceMs, command.expiresMs - options.nowMs()));
      else if (retained !== null) launch(retained, 'retained');
      else if (event !== null) launch(event, 'event');
      else return;
      if (events.length < options.maxEvents / 2) isOverflowing = false;
    }
  }

  function command(topic: string, payload: string, ttlMs: number): 'sent' | 'waiting' | 'offline' {
    if (send === null) {
      options.report({ kind: 'command-lost', topic, why: 'offline' });
      return 'offline';
    }
    // An older command to the same drive that has not left yet is overtaken.
    const overtaken = commands.findIndex((waiting) => waiting.message.topic === topic);
    if (overtaken >= 0) commands.splice(overtaken, 1);
    const message: Outgoing = { topic, payload, qos: 1, retain: false };
    commands.push({ message, expiresMs: options.nowMs() + ttlMs });
    pump();
    return commands.some((waiting) => waiting.message === message) ? 'waiting' : 'sent';
  }

  function retain(topic: string, payload: string): void {
    if (!standing.has(topic) && standing.size >= options.maxRetained) {
      options.report({ kind: 'overflow', queue: 'retained' });
      return;
    }
    if (standing.get(topic) === payload) return;
    standing.set(topic, payload);
    unsaid.add(topic);
    pump();
  }

  function event(topic: string, payload: string): void {
    events.push({ topic, payload, qos: 1, retain: false });
    if (events.length > options.maxEvents) {
      events.shift();
      if (!isOverflowing) options.report({ kind: 'overflow', queue: 'events' });
      isOverflowing = true;
    }
    pump();
  }

  function attach(newSend: Send): void {
    send = newSend;
    for (const topic of standing.keys()) unsaid.add(topic);
    pump();
  }

  function detach(): void {
    send = null;
    const lost = [...flying].filter(([, line]) => line === 'command').map(([message]) => message);
    for (const message of [...lost, ...commands.map((waiting) => waiting.message)]) {
      options.report({ kind: 'command-lost', topic: message.topic, why: 'link-lost' });
    }
    commands.length = 0;
    // Events without an acknowledgement go again, before the others: at least once, in order.
    const again = [...flying].filter(([, line]) => line === 'event').map(([message]) => message);
    events.unshift(...again);
    flying.clear();
  }

  return {
    command,
    retain,
    event,
    passing: (topic, payload) => {
      if (flying.size < options.maxInFlight) launch({ topic, payload, qos: 0, retain: false }, 'passing');
    },
    attach,
    detach,
    idle: () => flying.size === 0 && unsaid.size === 0 && events.length === 0 && commands.length === 0,
  };
}
