import { performance } from 'node:perf_hooks';
import { Observable, Subject } from 'rxjs';
import type { Link, LinkEvent, Message } from '../../daemon/link';

export interface FakeLink {
  readonly link: Link;
  /** Delivers a message as if the broker had. */
  readonly say: (topic: string, payload: string | Uint8Array | null, retained?: boolean) => void;
  readonly sent: {
    readonly how: 'command' | 'retain' | 'event' | 'passing';
    readonly topic: string;
    readonly payload: string;
  }[];
  readonly listening: () => readonly string[];
  readonly events: Subject<LinkEvent>;
  online: boolean;
  /** When the broker was last heard while not online [ms]. */
  heardAtMs: number;
}

/** A link without a broker, for tests of what stands on either side of it. */
export function fakeLink(): FakeLink {
  const topics = new Map<string, Subject<Message>>();
  const events = new Subject<LinkEvent>();
  const sent: FakeLink['sent'] = [];
  const note = (how: 'retain' | 'event' | 'passing') => (topic: string, payload: string) => {
    sent.push({ how, topic, payload });
  };
  const fake: FakeLink = {
    online: true,
    heardAtMs: performance.now(),
    events,
    sent,
    listening: () => [...topics.keys()],
    say: (topic, payload, retained = false) => {
      const bytes = typeof payload === 'string' ? Buffer.from(payload) : payload;
      topics.get(topic)?.next({ topic, payload: bytes, retained, arrivalMs: performance.now() });
    },
    link: {
      owner: 'fake',
      status: () => (fake.online ? 'online' : 'offline'),
      heardAtMs: () => (fake.online ? performance.now() : fake.heardAtMs),
      events,
      messages: (topic) =>
        new Observable<Message>((observer) => {
          const subject = topics.get(topic) ?? new Subject<Message>();
          topics.set(topic, subject);
          const subscription = subject.subscribe(observer);
          return () => {
            subscription.unsubscribe();
            if (!subject.observed) topics.delete(topic);
          };
        }),
      command: (topic, payload) => {
        if (!fake.online) return 'offline';
        sent.push({ how: 'command', topic, payload });
        return 'sent';
      },
      retain: note('retain'),
      event: note('event'),
      passing: note('passing'),
      drain: async () => true,
      close: async () => undefined,
    },
  };
  return fake;
}
