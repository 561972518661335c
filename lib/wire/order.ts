import { z } from 'zod';
import type { OrderKind, ReadingFault } from '../engine/types';
import { type Checked, parseDocument, problem } from '../problems';
import { orderedJarsSchema } from './jar-steps';
import { textOfPayload } from './payload';
import { alarmNameForm } from './topics';

const name = z.string().regex(/^[a-z][a-z0-9-]{0,40}$/, 'use lower-case letters, digits and hyphens, a letter first');
const alarm = z.string().regex(alarmNameForm, 'use the name of an alarm, like probe-lost:vapour');
const words = z.string().min(1).max(2000);

const common = {
  id: z.string().min(1).max(64).optional().describe('Comes back in the answer; made for you if left out'),
  by: z.string().min(1).max(80).optional().describe('Who says it, for the journal'),
  text: words.optional().describe('A remark for the journal'),
};

/** Orders that need no more than their word. */
const plainOrders = [
  'hold',
  'resume',
  'stop',
  'abort',
  'reset',
  'cut',
  'decline-cut',
  'undo-cut',
  'attend',
  'next-jar',
] as const;

/** What may be said on `middlecut/<still>/order`; one member an order, each with the fields it takes. */
export const orderSchema = z
  .discriminatedUnion('order', [
    z
      .strictObject({
        order: z.literal('start'),
        ...common,
        recipe: z
          .string()
          .min(1)
          .max(80)
          .optional()
          .describe('Name of the recipe; may be left out where the still has one'),
        variant: z.string().min(1).max(31).optional().describe('Variant of the recipe'),
        chargeL: z.number().positive().max(1e6).optional().describe('Volume of the charge'),
        chargeVolPercent: z.number().positive().max(100).optional().describe('Strength of the charge at 20 °C'),
        jars: orderedJarsSchema.optional(),
      })
      .describe('Begin a run'),
    z.strictObject({ order: z.enum(plainOrders), ...common }).describe('Said without more'),
    z
      .strictObject({
        order: z.literal('acknowledge'),
        ...common,
        target: alarm.optional().describe('One alarm; all if left out'),
      })
      .describe('Seen, and somebody is dealing with it'),
    z
      .strictObject({
        order: z.literal('shelve'),
        ...common,
        target: alarm.describe('The alarm'),
        forS: z.number().positive().max(28_800).describe('For how long'),
      })
      .describe('Silence an alarm for a while; its interlock stays'),
    z
      .strictObject({
        order: z.enum(['unshelve', 'out-of-service', 'return-to-service']),
        ...common,
        target: alarm.describe('The alarm'),
      })
      .describe('About one alarm'),
    z
      .strictObject({
        order: z.literal('spout-moved'),
        ...common,
        target: name.describe('The receiver under the spout now'),
      })
      .describe('The spout was moved by hand'),
    z
      .strictObject({ order: z.literal('receiver-emptied'), ...common, target: name.describe('The receiver') })
      .describe('A receiver is empty again'),
    z
      .strictObject({ order: z.literal('note'), ...common, text: words.describe('What to write down') })
      .describe('A note in the journal'),
  ])
  .meta({ id: 'MiddlecutOrder', title: 'An order' });

export type OrderMessage = z.output<typeof orderSchema>;

/** Every order there is; does not compile when the engine learns one that is not listed here. */
const sayable: Readonly<Record<OrderKind, true>> = {
  start: true,
  hold: true,
  resume: true,
  stop: true,
  abort: true,
  reset: true,
  cut: true,
  'decline-cut': true,
  'undo-cut': true,
  'spout-moved': true,
  'receiver-emptied': true,
  acknowledge: true,
  shelve: true,
  unshelve: true,
  'out-of-service': true,
  'return-to-service': true,
  attend: true,
  'next-jar': true,
  note: true,
};
export const orderKinds = Object.keys(sayable) as readonly OrderKind[];

const maxOrderBytes = 8192;

function documentOf(text: string): unknown {
  if (!text.startsWith('{')) return { order: text.replace(/^"(.*)"$/, '$1') };
  return JSON.parse(text) as unknown;
}

function saidIn(document: unknown): unknown {
  const isObject = document !== null && typeof document === 'object' && Object.hasOwn(document, 'order');
  return isObject ? (document as { readonly order: unknown }).order : undefined;
}

function unreadable(found: ReadingFault): string {
  if (found === 'empty') return 'the order is empty';
  return found === 'too-large' ? `an order is at most ${maxOrderBytes} bytes` : 'an order is text, this is not';
}

/**
 * Understands an order: JSON as `{"order":"shelve","target":"coolant-lost","forS":600}`, or the bare word of one that needs no more (`hold`).
 *
 * @param payload as it arrived, anything at all
 * @returns the order, or every problem with its path, value and remedy; never throws
 */
export function parseOrder(payload: string | Uint8Array): Checked<OrderMessage> {
  const found = textOfPayload(payload, maxOrderBytes);
  const remedy = `Send JSON like {"order":"hold"}, or the bare word; orders are ${orderKinds.join(', ')}`;
  if (typeof found === 'string') {
    return { kind: 'bad', problems: [problem('', undefined, unreadable(found), remedy)] };
  }
  let document: unknown;
  try {
    document = documentOf(found.text);
  } catch {
    return { kind: 'bad', problems: [problem('', found.text, 'this is no valid JSON', remedy)] };
  }
  const said = saidIn(document);
  if (typeof said !== 'string' || !Object.hasOwn(sayable, said)) {
    return {
      kind: 'bad',
      problems: [problem('order', said, said === undefined ? 'is missing' : 'there is no such order', remedy)],
    };
  }
  return parseDocument(orderSchema, document);
}
