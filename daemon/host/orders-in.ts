import type { Subscription } from 'rxjs';
import { showProblem } from '../../lib/problems';
import { type OrderAnswerMessage, parseOrder, topicsOf } from '../../lib/wire';
import type { Link } from '../link';
import type { StillHost } from './still-host';

/**
 * Hears the orders of a still on its topic. One that cannot be understood, or a retained one, is answered at once with
 * everything that is wrong; what the engine makes of the others is answered by the host.
 *
 * Who speaks over a broker may be anywhere: such an order is remote. Only a broker of our own that listens on loopback alone
 * is heard as the still itself.
 */
export function hearOrders(
  still: StillHost,
  link: Link,
  from: 'still' | 'remote',
  wake: () => void,
  idFor: () => string,
): Subscription {
  const topics = topicsOf(still.still.id);
  const answer = (message: OrderAnswerMessage) => link.event(topics.orderAnswer, JSON.stringify(message));
  return link.messages(topics.order, 1).subscribe(({ payload, retained }) => {
    if (payload === null) return answer({ order: '', id: idFor(), accepted: false, why: ['the order is too large'] });
    if (payload.length === 0 && retained) return;
    const parsed = parseOrder(payload);
    if (parsed.kind === 'bad') {
      return answer({ order: '', id: idFor(), accepted: false, why: parsed.problems.map(showProblem) });
    }
    const id = parsed.value.id ?? idFor();
    if (retained) {
      const why = ['this order was retained and may be old; publish orders without retain'];
      return answer({ order: parsed.value.order, id, accepted: false, why });
    }
    const problems = still.order(parsed.value, from, id);
    if (problems.length > 0) {
      return answer({ order: parsed.value.order, id, accepted: false, why: problems.map(showProblem) });
    }
    wake();
  });
}
