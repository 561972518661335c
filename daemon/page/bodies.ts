import { z } from 'zod';
import { parseDocument, problem } from '../../lib/problems';
import { type OrderMessage, orderSchema } from '../../lib/wire';
import { refuseProblems } from './reply';
import type { Seen } from './source';

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
  const message = parseBody(orderSchema, order);
  if (message.id === undefined || message.id.length < 8) {
    const remedy = 'Give each order an id of its own, at least 8 characters: sent again it is carried out once';
    refuseProblems([problem('order.id', message.id, message.id === undefined ? 'is missing' : 'is too short', remedy)]);
  }
  return { message, seen: seen === undefined ? null : { ...seen, jar: seen.jar ?? null } };
}
