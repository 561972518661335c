import { z } from 'zod';

const begins = z
  .enum(['by-order', 'by-itself'])
  .describe('by-order: the first order next-jar makes a run a development run; by-itself: the first drop of any run');

const steps = {
  everyL: z.number().positive().max(1000).optional().describe('A jar is full at this volume, by meter or estimate'),
  everyS: z.number().min(60).max(86400).optional().describe('or after this time'),
  everyK: z
    .number()
    .min(0.05)
    .max(20)
    .optional()
    .describe('or when the vapour has risen by this much since the jar was begun, at the reference pressure'),
};

type Steps = { readonly [step in keyof typeof steps]?: number | undefined };

const hasStep = ({ everyL, everyS, everyK }: Steps): boolean =>
  everyL !== undefined || everyS !== undefined || everyK !== undefined;
const without = { message: 'has no step: jars would never be changed' };

/** When jars of any run of a still are changed by themselves: at whichever step is reached first. */
export const jarStepsSchema = z
  .strictObject({ ...steps, begins: begins.default('by-order') })
  .refine(hasStep, without)
  .describe('Jars of a development run are changed by themselves, besides every order next-jar');
export type JarSteps = z.output<typeof jarStepsSchema>;

/** The same in the order that starts one run: who orders it wants a development run. */
export const orderedJarsSchema = z
  .strictObject({ ...steps, begins: begins.default('by-itself') })
  .refine(hasStep, without)
  .describe(
    'A development run: jars are changed by themselves, in place of the steps of the configuration; only the daemon takes it',
  );
