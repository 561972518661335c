import { z } from 'zod';
import { isTopicFilter, parsePath } from '../../lib/wire';

/** When jars are changed by itself: at whichever step is reached first. */
export const jarStepsSchema = z
  .strictObject({
    everyL: z.number().positive().max(1000).optional().describe('A jar is full at this volume, by meter or estimate'),
    everyS: z.number().min(60).max(86400).optional().describe('or after this time'),
    everyK: z
      .number()
      .min(0.05)
      .max(20)
      .optional()
      .describe('or when the vapour has risen by this much since the jar was begun, at the reference pressure'),
    begins: z
      .enum(['by-order', 'by-itself'])
      .default('by-order')
      .describe(
        'by-order: the first order next-jar makes a run a development run; by-itself: the first drop of any run',
      ),
  })
  .refine(({ everyL, everyS, everyK }) => everyL !== undefined || everyS !== undefined || everyK !== undefined, {
    message: 'has no step: jars would never be changed',
  })
  .describe('Jars of a development run are changed by themselves, besides every order next-jar');
export type JarSteps = z.output<typeof jarStepsSchema>;

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
