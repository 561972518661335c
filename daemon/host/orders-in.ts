import type { Subscription } from 'rxjs';
import type { OrderKind } from '../../lib/engine/types';
import { showProblem } from '../../lib/problems';
import { type OrderAnswerMessage, type OrderMessage, parseOrder, topicsOf } from '../../lib/wire';
import type { Link } from '../link';
import type { StillHost } from './still-host';

export interface OrdersInOptions {
  readonly still: StillHost;
  readonly link: Link;
  /** Where whoever speaks over this broker is. */
  readonly from: 'still' | 'remote';
  readonly wake: () => void;
  readonly idFor: () => string;
  readonly nowMs: () => number;
  /** Whether what arrives now may have waited while the process stood still. */
  readonly isDoubtful: () => boolean;
  /** An acknowledgement of an alarm of the host itself: true where it was meant for none of the engine's. */
  readonly acknowledge: (target: string | undefined) => boolean;
}

/** Orders a second that are taken, and how many may come at once; those that make things safer have room of their own. */
const perS = 10;
const atOnce = 100;
/** Ids of this many orders are remembered: a sender that got no answer may say an order twice, and it is carried out once. */
const rememberedIds = 256;

const safer: readonly OrderKind[] = ['hold', 'stop', 'abort'];
/** Orders that do no harm however late they come. */
const neverLate: readonly OrderKind[] = [...safer, 'acknowledge', 'note'];

function createAllowance(nowMs: () => number): () => boolean {
  let left = atOnce;
  let lastMs = nowMs();
  return () => {
    const now = nowMs();
    left = Math.min(atOnce, left + ((now - lastMs) / 1000) * perS);
    lastMs = now;
    if (left < 1) return false;
    left -= 1;
    return true;
  };
}

/** What speaks against taking an order at all, before the engine judges it; null where nothing does. */
function createGate(options: OrdersInOptions) {
  const taken: string[] = [];
  const allowances = { safer: createAllowance(options.nowMs), others: createAllowance(options.nowMs) };
  return (order: OrderMessage, retained: boolean): string | null => {
    if (retained) return 'this order was retained and may be old; publish orders without retain';
    if (options.isDoubtful() && !neverLate.includes(order.order)) {
      return 'the daemon stood still for a while and this order may be old; look at the still and order again';
    }
    if (order.id !== undefined) {
      if (taken.includes(order.id)) return 'an order with this id was taken already, and is carried out once';
      taken.push(order.id);
      if (taken.length > rememberedIds) taken.shift();
    }
    const isAllowed = safer.includes(order.order) ? allowances.safer() : allowances.others();
    return isAllowed ? null : `too many orders: at most ${perS} a second are taken`;
  };
}

/**
 * Hears the orders of a still on its topic. One that cannot be understood or taken is answered at once with everything
 * that is wrong; what the engine makes of the others is answered by the host.
 *
 * Who speaks over a broker may be anywhere: such an order is remote. Only a broker of our own that listens on loopback alone
 * is heard as the still itself.
 */
export function hearOrders(options: OrdersInOptions): Subscription {
  const { still, link } = options;
  const topics = topicsOf(still.still.id);
  const refuse = (order: string, id: string, why: readonly string[]) => {
    const message: OrderAnswerMessage = { order, id, accepted: false, why };
    link.event(topics.orderAnswer, JSON.stringify(message));
  };
  const gate = createGate(options);
  const wrong = createAllowance(options.nowMs);
  return link.messages(topics.order, 1).subscribe(({ payload, retained }) => {
    if (payload?.length === 0 && retained) return;
    const parsed = payload === null ? null : parseOrder(payload);
    if (parsed === null || parsed.kind === 'bad') {
      // A sender gone wild is answered as often as anybody could read.
      if (!wrong()) return;
      return refuse(
        '',
        options.idFor(),
        parsed === null ? ['the order is too large'] : parsed.problems.map(showProblem),
      );
    }
    const order = parsed.value;
    const id = order.id ?? options.idFor();
    const refused = gate(order, retained);
    if (refused !== null) return wrong() ? refuse(order.order, id, [refused]) : undefined;
    if (order.order === 'acknowledge' && options.acknowledge(order.target)) {
      link.event(topics.orderAnswer, JSON.stringify({ order: order.order, id, accepted: true, why: ['acknowledged'] }));
      return;
    }
    const problems = still.order(order, options.from, id);
    if (problems.length > 0) return refuse(order.order, id, problems.map(showProblem));
    options.wake();
  });
}
