import type { Event } from '../../lib/engine/types';
import { showProblem } from '../../lib/problems';
import type { OrderMessage } from '../../lib/wire';
import { type Saying, sayReason } from '../../lib/words';
import type { StillHost } from '../host/still-host';
import type { OrderOutcome, Place, Seen } from './source';

/** The engine answers with its next scan; if nothing comes in this time, it hangs or was stopped [ms]. */
const answerWithinMs = 5000;
/** Answers remembered, so that an order sent again over a bad connection is not given twice. */
const answersKept = 256;

/** Orders that are safe whatever has changed since the operator looked. */
const safeAnyTime: readonly OrderMessage['order'][] = [
  'hold',
  'stop',
  'abort',
  'acknowledge',
  'shelve',
  'unshelve',
  'out-of-service',
  'return-to-service',
  'attend',
  'note',
];

/** Gives orders to stills and waits for what the engine says of them. */
export interface OrderDesk {
  give(
    host: StillHost,
    message: OrderMessage & { readonly id: string },
    seen: Seen | null,
    from: Place,
  ): Promise<OrderOutcome>;
  heard(event: Event): void;
}

export function createOrderDesk(saying: Saying, wake: () => void, withinMs = answerWithinMs): OrderDesk {
  const waiting = new Map<string, (outcome: OrderOutcome) => void>();
  const given = new Map<string, Promise<OrderOutcome>>();

  const send = (host: StillHost, message: OrderMessage & { readonly id: string }, from: Place) =>
    new Promise<OrderOutcome>((resolve) => {
      const key = message.id;
      const timer = setTimeout(() => settle(noAnswer), withinMs);
      const settle = (outcome: OrderOutcome): void => {
        clearTimeout(timer);
        waiting.delete(key);
        resolve(outcome);
      };
      waiting.set(key, settle);
      const problems = host.order(message, from, key);
      if (problems.length > 0) settle({ accepted: false, why: problems.map(showProblem) });
      else wake();
    });

  return {
    give(host, message, seen, from) {
      const before = given.get(message.id);
      if (before !== undefined) return before;
      const changed = whatChanged(host, message, seen, saying);
      const outcome =
        changed === null ? send(host, message, from) : Promise.resolve({ accepted: false, why: [changed] });
      given.set(message.id, outcome);
      for (const oldest of given.keys()) {
        if (given.size <= answersKept) break;
        given.delete(oldest);
      }
      return outcome;
    },
    heard(event) {
      if (event.kind !== 'order') return;
      waiting.get(event.order.id)?.({ accepted: event.accepted, why: [sayReason(event.reason, saying)] });
    },
  };
}

const noAnswer: OrderOutcome = {
  accepted: false,
  unknown: true,
  why: ['the engine has not answered: look at the still before you order it again'],
};

/** An order for a moment that has passed is refused: a cut meant for heads must not fall in hearts. */
function whatChanged(host: StillHost, message: OrderMessage, seen: Seen | null, saying: Saying): string | null {
  if (safeAnyTime.includes(message.order)) return null;
  const { run, runId } = host;
  if (seen === null) return 'the order does not say what was seen when it was given';
  const same = seen.run === runId && seen.state === run.state && seen.phase === run.phase;
  const jar = message.order !== 'next-jar' || (seen.jar ?? null) === (run.jar?.number ?? null);
  if (same && jar) return null;
  const now = [saying.language.names[run.phase] ?? run.phase, run.state].join(', ');
  return `the still has moved on since you looked (now ${now}): look again, then order`;
}
