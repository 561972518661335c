import { Observable, Subject } from 'rxjs';
import type { Message } from './events';

interface Entry {
  readonly qos: 0 | 1;
  readonly subject: Subject<Message>;
  listeners: number;
  /** What the broker had kept, for listeners that come later to the same topic. */
  kept: Message | null;
}

export interface Subscriptions {
  readonly messages: (topic: string, qos: 0 | 1) => Observable<Message>;
  readonly wanted: () => readonly { readonly topic: string; readonly qos: 0 | 1 }[];
  readonly deliver: (message: Message) => void;
}

/**
 * One subscription at the broker for each topic, however many points listen to it.
 *
 * @param added called when a topic is wanted for the first time
 * @param removed called when nobody listens any more
 */
export function createSubscriptions(
  added: (topic: string, qos: 0 | 1) => void,
  removed: (topic: string) => void,
): Subscriptions {
  const entries = new Map<string, Entry>();

  function join(topic: string, qos: 0 | 1): Entry {
    const known = entries.get(topic);
    if (known !== undefined) return known;
    const entry: Entry = { qos, subject: new Subject<Message>(), listeners: 0, kept: null };
    entries.set(topic, entry);
    added(topic, qos);
    return entry;
  }

  return {
    messages: (topic, qos) =>
      new Observable<Message>((observer) => {
        const entry = join(topic, qos);
        entry.listeners += 1;
        const kept = entry.kept;
        if (kept !== null) queueMicrotask(() => observer.next(kept));
        const subscription = entry.subject.subscribe(observer);
        return () => {
          subscription.unsubscribe();
          entry.listeners -= 1;
          if (entry.listeners > 0 || entries.get(topic) !== entry) return;
          entries.delete(topic);
          removed(topic);
        };
      }),
    wanted: () => [...entries].map(([topic, { qos }]) => ({ topic, qos })),
    deliver: (message) => {
      const entry = entries.get(message.topic);
      if (entry === undefined) return;
      entry.kept = message.retained ? message : null;
      entry.subject.next(message);
    },
  };
}
