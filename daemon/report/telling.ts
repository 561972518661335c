import type { AlarmTransition, Command, Event, Order, Priority, Reason } from '../../lib/engine/types';
import type { Kept, Mark } from '../store';

export type PhaseEvent = Extract<Event, { kind: 'phase' }>;
export type JarEvent = Extract<Event, { kind: 'jar' }>;

/** An order, and the answer to it; null where nobody answered. */
export interface OrderTold {
  readonly atS: number;
  readonly order: Order;
  readonly accepted: boolean | null;
  readonly reason: Reason | null;
}

/** One raising of an alarm, and how it went on. */
export interface AlarmTold {
  readonly alarm: string;
  readonly priority: Priority;
  readonly reason: Reason;
  readonly raisedAtS: number;
  /** False where it was shelved, suppressed or out of service: nobody was called. */
  readonly announced: boolean;
  readonly returnedAtS: number | null;
  readonly acknowledgedAtS: number | null;
  readonly acknowledgedBy: string | null;
  readonly clearedAtS: number | null;
}

export type Decided =
  | { readonly kind: 'event'; readonly atS: number; readonly event: Event }
  | { readonly kind: 'command'; readonly atS: number; readonly command: Command }
  | { readonly kind: 'mark'; readonly mark: Mark };

/** The decisions of a run, sorted into what people ask for. */
export interface Telling {
  /** When the run's clock began [s]; null for a run that was never started. */
  readonly startedS: number | null;
  readonly lastS: number | null;
  readonly phases: readonly PhaseEvent[];
  readonly jars: readonly JarEvent[];
  readonly orders: readonly OrderTold[];
  readonly alarms: readonly AlarmTold[];
  /** All but orders, alarms that were raised, and the quality of readings. */
  readonly decided: readonly Decided[];
  /** How often the readings of a point turned bad, by point. */
  readonly lapses: Readonly<Record<string, number>>;
  readonly marks: readonly Mark[];
}

interface Sorting {
  startedS: number | null;
  lastS: number | null;
  readonly phases: PhaseEvent[];
  readonly jars: JarEvent[];
  readonly orders: OrderTold[];
  readonly alarms: AlarmTold[];
  readonly decided: Decided[];
  readonly lapses: Record<string, number>;
  readonly marks: Mark[];
}

/** Sorts decisions as the record keeps them. */
export function tellDecisions(decisions: Iterable<Kept>): Telling {
  const sorting: Sorting = {
    startedS: null,
    lastS: null,
    phases: [],
    jars: [],
    orders: [],
    alarms: [],
    decided: [],
    lapses: {},
    marks: [],
  };
  for (const kept of decisions) sort(sorting, kept);
  return sorting;
}

function sort(sorting: Sorting, kept: Kept): void {
  if (kept.kind === 'mark') {
    sorting.marks.push(kept.mark);
    sorting.decided.push({ kind: 'mark', mark: kept.mark });
    return;
  }
  const { decision } = kept;
  sorting.lastS = decision.atS;
  switch (decision.kind) {
    case 'command':
      sorting.decided.push({ kind: 'command', atS: decision.atS, command: decision.command });
      return;
    case 'order':
      sorting.orders.push({ atS: decision.atS, order: decision.order, accepted: null, reason: null });
      return;
    case 'event':
      sortEvent(sorting, decision.event);
  }
}

function sortEvent(sorting: Sorting, event: Event): void {
  switch (event.kind) {
    case 'order':
      sorting.orders.push({ atS: event.atS, order: event.order, accepted: event.accepted, reason: event.reason });
      return;
    case 'quality':
      if (event.quality !== 'good') sorting.lapses[event.point] = (sorting.lapses[event.point] ?? 0) + 1;
      return;
    case 'alarm':
      if (!followAlarm(sorting.alarms, event)) sorting.decided.push({ kind: 'event', atS: event.atS, event });
      return;
    default:
      if (event.kind === 'phase') sorting.phases.push(event);
      if (event.kind === 'jar') sorting.jars.push(event);
      if (event.kind === 'state' && event.to === 'running') sorting.startedS ??= event.atS;
      sorting.decided.push({ kind: 'event', atS: event.atS, event });
  }
}

/** Which field of an alarm's story a transition fills in. */
const fields: Readonly<Partial<Record<AlarmTransition, 'returnedAtS' | 'acknowledgedAtS' | 'clearedAtS'>>> = {
  returned: 'returnedAtS',
  acknowledged: 'acknowledgedAtS',
  cleared: 'clearedAtS',
};

/** Takes a transition into the story of its alarm; false where it belongs to none. */
function followAlarm(alarms: AlarmTold[], event: Extract<Event, { kind: 'alarm' }>): boolean {
  const { alarm, atS, reason, priority, transition } = event;
  if (transition === 'raised') {
    alarms.push({
      alarm,
      priority,
      reason,
      raisedAtS: atS,
      announced: event.announced !== false,
      returnedAtS: null,
      acknowledgedAtS: null,
      acknowledgedBy: null,
      clearedAtS: null,
    });
    return true;
  }
  const field = fields[transition];
  const place = alarms.findLastIndex((one) => one.alarm === alarm);
  const story = alarms[place];
  if (field === undefined || story === undefined) return false;
  const { by } = reason.numbers;
  alarms[place] = {
    ...story,
    [field]: atS,
    ...(field === 'acknowledgedAtS' && typeof by === 'string' ? { acknowledgedBy: by } : {}),
  };
  return true;
}
