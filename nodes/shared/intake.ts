import type { Order, Reading } from '../../lib/engine/types';
import { showProblem } from '../../lib/problems';
import type { Still } from '../../lib/still/schema';
import { type OrderMessage, parseOrder, readingOf } from '../../lib/wire';
import { ageOf } from './arrival';
import { isPlainObject, lastLevel, type Message, propertyOf, readMessage } from './message-value';
import { type CompiledRow, plainRow, rowMatches } from './reading-rows';
import { type Trouble, trouble } from './troubles';

/** What a message is to a still. */
export type Taken =
  | {
      readonly kind: 'readings';
      readonly readings: readonly Reading[];
      readonly troubles: readonly Trouble[];
      readonly good: readonly string[];
    }
  | { readonly kind: 'order'; readonly order: OrderMessage; readonly remote: boolean }
  | { readonly kind: 'recipe'; readonly document: unknown }
  | { readonly kind: 'trouble'; readonly trouble: Trouble };

export interface Intake {
  /** @param nowS engine time; @param wallMs for time stamps, and for nothing else */
  take(message: Message, nowS: number, wallMs: number): Taken;
}

function takeOrder(payload: unknown, message: Message): Taken {
  let text: string | Uint8Array;
  try {
    text = typeof payload === 'string' || payload instanceof Uint8Array ? payload : (JSON.stringify(payload) ?? '');
  } catch {
    text = '';
  }
  const parsed = parseOrder(text);
  if (parsed.kind === 'bad') {
    return { kind: 'trouble', trouble: trouble('order-bad', '', { why: parsed.problems.map(showProblem).join(' ') }) };
  }
  if (message.retain === true) {
    const why = 'the broker had kept it, so it is an old one';
    return { kind: 'trouble', trouble: trouble('order-refused', '', { order: parsed.value.order, why }) };
  }
  if (parsed.value.order === 'start' && parsed.value.jars !== undefined) {
    const why = 'jars that begin by themselves are for the daemon: leave jars out, and send next-jar when one begins';
    return { kind: 'trouble', trouble: trouble('order-refused', '', { order: 'start', why }) };
  }
  return { kind: 'order', order: parsed.value, remote: message.from === 'remote' };
}

/** Understands messages for one still: readings by the table or by their topic, orders, recipes. Never throws. */
export function createIntake(still: Still, rows: readonly CompiledRow[], timeProperty: string | null): Intake {
  const points = Object.keys(still.points);
  const plain = new Map(points.map((point) => [point, plainRow(point, still)] as const));

  function read(
    pairs: readonly (readonly [CompiledRow, Message])[],
    stamp: unknown,
    nowS: number,
    wallMs: number,
  ): Taken {
    const readings: Reading[] = [];
    const troubles: Trouble[] = [];
    const good: string[] = [];
    for (const [row, message] of pairs) {
      const age = ageOf(stamp, row.point, still, wallMs);
      const read = readMessage(message, row, still);
      if (read.mapped.kind === 'none') continue;
      const wrong = read.trouble ?? (age.kind === 'trouble' ? age.trouble : null);
      const ageS = age.kind === 'known' ? age.ageS : 0;
      const mapped =
        age.kind === 'trouble' && read.trouble === null ? ({ kind: 'fault', fault: 'retained' } as const) : read.mapped;
      const reading = readingOf(mapped, row.point, nowS - ageS);
      if (reading !== null) readings.push(reading);
      if (wrong === null) good.push(row.point);
      else troubles.push(wrong);
    }
    return { kind: 'readings', readings, troubles, good };
  }

  /** Rows that a message answers: those of the table first; else the point its topic names; else points named in the payload. */
  function pairsOf(message: Message, topic: string): (readonly [CompiledRow, Message])[] {
    const matching = rows.filter((row) => (topic !== '' || row.topic === null) && rowMatches(row, topic));
    const told = matching.filter((row) => row.topic !== null || propertyOf(message, row.property) !== undefined);
    if (told.length > 0) return told.map((row) => [row, message] as const);
    const named = plain.get(topic) ?? plain.get(lastLevel(topic));
    if (named !== undefined) return [[named, message]];
    const payload = message.payload;
    if (!isPlainObject(payload)) return [];
    return Object.entries(payload).flatMap(([key, value]) => {
      const row = plain.get(key);
      return row === undefined ? [] : [[row, { payload: value, retain: message.retain, unit: undefined }] as const];
    });
  }

  return {
    take(message, nowS, wallMs) {
      const topic = typeof message.topic === 'string' ? message.topic : '';
      const payload = message.payload;
      if (message.reset !== undefined && message.reset !== false)
        return { kind: 'order', order: { order: 'reset' }, remote: message.from === 'remote' };
      if (lastLevel(topic) === 'order') return takeOrder(payload, message);
      if (lastLevel(topic) === 'recipe') return { kind: 'recipe', document: payload };
      const pairs = pairsOf(message, topic);
      if (pairs.length > 0)
        return read(pairs, timeProperty === null ? undefined : propertyOf(message, timeProperty), nowS, wallMs);
      if (isPlainObject(payload) && typeof payload.order === 'string') return takeOrder(payload, message);
      if (topic === '') return { kind: 'trouble', trouble: trouble('nothing-in-it', '', { still: still.id }) };
      const fields = { topic, still: still.id, points: points.join(', ') };
      return { kind: 'trouble', trouble: trouble('topic-unknown', topic, fields) };
    },
  };
}

/** The engine's order from what was said. */
export function orderOf(said: OrderMessage, id: string, from: Order['from'], spoutAsked: string | null): Order {
  const target = 'target' in said && said.target !== undefined ? said.target : null;
  const meant = target ?? (said.order === 'spout-moved' ? spoutAsked : null);
  return {
    id: said.id ?? id,
    kind: said.order,
    by: said.by ?? 'Node-RED',
    from,
    ...(meant === null ? {} : { target: meant }),
    ...(said.text === undefined ? {} : { text: said.text }),
    ...('forS' in said ? { forS: said.forS } : {}),
  };
}
