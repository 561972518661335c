import type { Event, OrderKind } from '../../lib/engine/types';
import type { Saying } from '../../lib/words';
import { sayEvent as eventText, sayMark, wordingOf } from '../report';
import type { Kept } from '../store';
import type { DecisionView } from './views';

const graveKinds: readonly Event['kind'][] = ['alarm', 'trip', 'fault', 'surge', 'cut-suspended'];

/** Where a decision stands. */
export interface Standing {
  readonly n: number;
  /** Engine time at which the run began [s]; null outside of one. */
  readonly startedS: number | null;
  /** Wall time, where it was heard as it happened. */
  readonly at: string | null;
}

/** Orders that lead to an event of their own, which names who gave them. */
const echoed: readonly OrderKind[] = [
  'start',
  'hold',
  'resume',
  'stop',
  'abort',
  'reset',
  'cut',
  'decline-cut',
  'undo-cut',
  'spout-moved',
  'acknowledge',
  'shelve',
  'unshelve',
  'out-of-service',
  'return-to-service',
  'next-jar',
];

/** One event in words; null for what is of no interest to somebody watching. */
export function sayEvent(event: Event, { n, startedS, at }: Standing, saying: Saying): DecisionView | null {
  if (event.kind === 'quality' || isEcho(event)) return null;
  const intoS = startedS === null ? null : event.atS - startedS;
  return { n, kind: event.kind, intoS, at, text: eventText(event, { saying }), grave: graveKinds.includes(event.kind) };
}

function isEcho(event: Event): boolean {
  return (
    event.kind === 'order' && event.accepted && event.order.text === undefined && echoed.includes(event.order.kind)
  );
}

/** What the record keeps, in words. Commands only follow decisions; they are left out. */
export function sayKept(kept: Kept, startedS: number | null, saying: Saying): DecisionView | null {
  const n = kept.seq;
  if (kept.kind === 'mark') {
    return {
      n,
      kind: 'mark',
      intoS: null,
      at: null,
      text: sayMark(kept.mark, wordingOf(saying)),
      grave: kept.mark.mark === 'lost',
    };
  }
  const { decision } = kept;
  if (decision.kind === 'command') return null;
  if (decision.kind === 'event') return sayEvent(decision.event, { n, startedS, at: null }, saying);
  const intoS = startedS === null ? null : decision.atS - startedS;
  return { n, kind: 'order', intoS, at: null, text: `${decision.order.kind} by ${decision.order.by}`, grave: false };
}
