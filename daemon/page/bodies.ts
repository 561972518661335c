import { z } from 'zod';
import { parseDocument } from '../../lib/problems';
import { type OrderMessage, orderSchema } from '../../lib/wire';
import { refuseProblems } from './reply';
import type { Seen } from './source';

const alarm = z.string().regex(/^[a-z][a-z0-9-]{0,40}(:[a-z][a-z0-9-]{0,40})?$/, 'this is no name of an alarm');
const said = {
  id: z.string().min(8).max(64),
  by: z.string().min(1).max(80).optional(),
  text: z.string().min(1).max(2000).optional(),
};

/** Orders about alarms, by their full name: the rule and what it stands for. */
const alarmOrderSchema = z.discriminatedUnion('order', [
  z.strictObject({ order: z.literal('acknowledge'), ...said, target: alarm.optional() }),
  z.strictObject({ order: z.literal('shelve'), ...said, target: alarm, forS: z.number().positive().max(86400) }),
  z.strictObject({
    order: z.enum(['unshelve', 'out-of-service', 'return-to-service']),
    ...said,
    target: alarm,
  }),
]);
const alarmOrders: readonly unknown[] = ['acknowledge', 'shelve', 'unshelve', 'out-of-service', 'return-to-service'];

const seenSchema = z.strictObject({
  run: z.string().max(80).nullable(),
  state: z.string().max(20),
  phase: z.string().max(20),
  jar: z.number().int().nullable().optional(),
});

const envelopeSchema = z.strictObject({ order: z.record(z.string(), z.unknown()), seen: seenSchema.optional() });

const by = z.string().trim().min(1).max(80).default('somebody at the page');
const change = z.record(z.string().max(40), z.unknown()).refine((fields) => Object.keys(fields).length <= 32);

const savingSchema = z.strictObject({ by, from: z.number().int().min(0), change });
const jarNumber = z.number().int().min(1).max(200);

export const bodies = {
  login: z.strictObject({ password: z.string().max(1024) }),
  sheet: z.strictObject({ by, about: change }),
  about: savingSchema,
  jar: savingSchema.extend({ jar: jarNumber }),
  tasting: savingSchema.extend({ jar: jarNumber, taster: z.string().trim().min(1).max(40) }),
  pouring: z.strictObject({
    by,
    order: z.enum(['random', 'outside-in', 'inside-out', 'as-filled']),
    hidden: z.boolean(),
  }),
} as const;

/** A body by its schema, or a refusal that lists everything wrong with it. */
export function parseBody<S extends z.ZodType>(schema: S, document: unknown): z.output<S> {
  const parsed = parseDocument(schema, document);
  return parsed.kind === 'ok' ? parsed.value : refuseProblems(parsed.problems);
}

/** An order as the page sends it: with an id of its own, and what the operator saw. */
export function parseOrderBody(document: unknown): { readonly message: OrderMessage; readonly seen: Seen | null } {
  const { order, seen } = parseBody(envelopeSchema, document);
  const about = alarmOrders.includes(order.order);
  const message = about ? parseBody(alarmOrderSchema, order) : parseBody(orderSchema, order);
  const given = seen === undefined ? null : { ...seen, jar: seen.jar ?? null };
  // Optional fields that were left out are not there, as everywhere else.
  return { message: JSON.parse(JSON.stringify(message)) as OrderMessage, seen: given };
}
