import { z } from 'zod';
import { isTopicFilter, parsePath } from '../../lib/wire';

/** What a button may order: nothing that heats, opens or goes on. */
export const buttonOrders = ['next-jar', 'hold', 'stop', 'abort'] as const;

export const buttonSchema = z
  .strictObject({
    topic: z
      .string()
      .refine((topic) => isTopicFilter(topic) && !/[#+]/.test(topic), 'this is no topic of one button')
      .describe('Topic on which the button or footswitch speaks'),
    order: z.enum(buttonOrders).describe('What a press orders'),
    path: z
      .string()
      .max(200)
      .refine((path) => parsePath(path).kind === 'ok', 'this is no path into JSON')
      .optional()
      .describe('Where in the JSON the press stands; the whole message if left out'),
    pressed: z
      .union([z.string().max(80), z.number(), z.boolean()])
      .optional()
      .describe('Value that is a press; every message is one if left out'),
    quietS: z.number().min(0).max(60).default(2).describe('Presses nearer to each other than this count once'),
  })
  .describe('A button or footswitch; both spark: outside the hazardous zone, or rated for it');
export type Button = z.output<typeof buttonSchema>;
