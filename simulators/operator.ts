import type { Event, Order, OrderKind } from '../lib/engine/types';

/** How the person at the still behaves; null is never. */
export interface OperatorHabits {
  /** Gives the start once the first readings are there [s]. */
  readonly startsAtS: number | null;
  readonly acceptsCutsAfterS: number | null;
  readonly movesSpoutAfterS: number | null;
  readonly acknowledgesAfterS: number | null;
  /** After the run was held; tried again at the same interval. */
  readonly resumesAfterS: number | null;
  readonly attendsEveryS: number | null;
}

/** Somebody who is there, does what is asked and leaves alarms to others. */
export const watchfulOperator: OperatorHabits = {
  startsAtS: 15,
  acceptsCutsAfterS: 20,
  movesSpoutAfterS: 10,
  acknowledgesAfterS: null,
  resumesAfterS: null,
  attendsEveryS: 600,
};

interface Intention {
  readonly atS: number;
  readonly kind: OrderKind;
  readonly target?: string;
}

/** The person at the still: hears events, gives orders later. */
export interface Operator {
  hear(events: readonly Event[], atS: number): void;
  /** Orders due now; a 'spout-moved' among them has really been done. */
  act(atS: number): readonly Order[];
}

export function createOperator(habits: OperatorHabits): Operator {
  let intentions: Intention[] = habits.startsAtS === null ? [] : [{ atS: habits.startsAtS, kind: 'start' }];
  let nextAttendanceS = habits.attendsEveryS ?? Number.POSITIVE_INFINITY;
  let isHeld = false;
  let given = 0;
  const intend = (afterS: number | null, atS: number, kind: OrderKind, target?: string): void => {
    if (afterS === null || intentions.length >= 200) return;
    intentions.push({ atS: atS + afterS, kind, ...(target === undefined ? {} : { target }) });
  };
  const hearOne = (event: Event, atS: number): void => {
    switch (event.kind) {
      case 'cut-asked':
        intend(habits.acceptsCutsAfterS, atS, 'cut');
        break;
      case 'surge':
        if (event.state === 'asked') intend(habits.acceptsCutsAfterS, atS, 'cut');
        break;
      case 'spout-asked':
        intend(habits.movesSpoutAfterS, atS, 'spout-moved', event.to);
        break;
      case 'alarm':
        if (event.transition === 'raised') intend(habits.acknowledgesAfterS, atS, 'acknowledge', event.alarm);
        break;
      case 'state':
        isHeld = event.to === 'held';
        if (isHeld) intend(habits.resumesAfterS, atS, 'resume');
        break;
      case 'order':
        // A resume that was refused is tried again: the trip may have cleared by then.
        if (event.order.kind === 'resume' && !event.accepted && isHeld) intend(habits.resumesAfterS, atS, 'resume');
        break;
      default:
    }
  };
  return {
    hear(events, atS) {
      for (const event of events) hearOne(event, atS);
    },
    act(atS) {
      if (atS >= nextAttendanceS) {
        nextAttendanceS += habits.attendsEveryS ?? Number.POSITIVE_INFINITY;
        intentions.push({ atS, kind: 'attend' });
      }
      if (intentions.length === 0) return [];
      const due = intentions.filter((one) => one.atS <= atS);
      if (due.length === 0) return [];
      intentions = intentions.filter((one) => one.atS > atS);
      return due.map(({ kind, target }) => {
        given += 1;
        const order: Order = { id: `o${given}`, kind, by: 'operator', from: 'still' };
        return target === undefined ? order : { ...order, target };
      });
    },
  };
}
