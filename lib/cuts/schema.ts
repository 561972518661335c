import { z } from 'zod';

const temperature = z.number().min(0).max(130);

/** The tests a phase's end can be made of; one member here, one file beside it that evaluates it. */
export const testSchema = z.discriminatedUnion('test', [
  z
    .strictObject({
      test: z.literal('vapour-temp'),
      atLeastC: temperature.describe('At the reference pressure'),
      deadbandK: z.number().min(0).max(5).default(0.2),
    })
    .describe('Vapour temperature at least this, moved to the air pressure of the moment'),
  z
    .strictObject({
      test: z.literal('vapour-rise'),
      byK: z.number().positive().max(20).describe('Above the settled plateau, pressure-corrected'),
      deadbandK: z.number().min(0).max(5).default(0.05),
    })
    .describe('Vapour temperature risen above its settled plateau (column)'),
  z
    .strictObject({
      test: z.literal('strength'),
      atMostVolPercent: z.number().min(0).max(97).describe('Of the distillate, at 20 °C'),
      by: z.enum(['parrot', 'vapour-temp']).default('vapour-temp'),
      deadbandVolPercent: z.number().min(0).max(10).default(0.5),
    })
    .describe('Strength of the distillate at most this'),
  z
    .strictObject({
      test: z.literal('volume'),
      atLeastL: z.number().positive(),
      since: z.enum(['run', 'phase']).default('phase'),
    })
    .describe('Distillate collected'),
  z
    .strictObject({ test: z.literal('alcohol-share'), atLeastPercent: z.number().positive().max(100) })
    .describe("Share of the charge's alcohol come over since the start of the run"),
  z
    .strictObject({
      test: z.literal('boiler-temp'),
      atLeastC: temperature.describe('At the reference pressure'),
      deadbandK: z.number().min(0).max(5).default(0.2),
    })
    .describe('Boiler temperature at least this, moved to the air pressure of the moment'),
  z
    .strictObject({
      test: z.literal('settled'),
      withinK: z.number().positive().max(5).default(0.05),
      overS: z.number().min(30).max(7200).default(600),
      atLeastS: z.number().min(0).max(36000).default(900).describe('But not before this time in the phase'),
    })
    .describe('Vapour temperature changed by less than this over a span (equalised)'),
  z
    .strictObject({ test: z.literal('time'), atLeastS: z.number().positive().max(360000) })
    .describe('Time in the phase'),
  z.strictObject({ test: z.literal('order') }).describe('The operator says so'),
]);
