import { z } from 'zod';
import { testSchema } from '../cuts/schema';

export const phases = [
  'idle',
  'heat-up',
  'equalise',
  'foreshots',
  'heads',
  'hearts',
  'tails',
  'finish',
  'cool-down',
] as const;
export type Phase = (typeof phases)[number];
export const fractions = ['foreshots', 'heads', 'hearts', 'tails'] as const;
export type Fraction = (typeof fractions)[number];
/** The phases a recipe orders; finish and cool-down follow by themselves. */
export const recipePhases = ['heat-up', 'equalise', 'foreshots', 'heads', 'hearts', 'tails'] as const;

export type CutTest = z.output<typeof testSchema>;
export type Condition = CutTest | { readonly anyOf: readonly Condition[] } | { readonly allOf: readonly Condition[] };

export const conditionSchema: z.ZodType<Condition, unknown> = z
  .lazy(() =>
    z.union([
      testSchema,
      z.strictObject({ anyOf: z.array(conditionSchema).min(1).max(8) }),
      z.strictObject({ allOf: z.array(conditionSchema).min(1).max(8) }),
    ]),
  )
  .meta({ id: 'Condition' }) as unknown as z.ZodType<Condition, unknown>;

export const notBeforeSchema = z
  .strictObject({
    volumeL: z.number().positive().optional().describe('Collected since the start of the run'),
    sharePercent: z.number().positive().max(100).optional().describe("Share of the charge's alcohol come over"),
    timeS: z.number().positive().optional().describe('Time in this phase'),
  })
  .describe('The phase cannot end before all of these are reached');

export const plausibleSchema = z
  .strictObject({
    vapour: z
      .strictObject({ fromC: z.number().min(0).max(130), toC: z.number().min(0).max(130) })
      .refine(({ fromC, toC }) => fromC < toC, 'fromC is not below toC')
      .optional()
      .describe('Vapour temperature at the reference pressure'),
    sharePercent: z
      .strictObject({ from: z.number().min(0).max(100), to: z.number().min(0).max(100) })
      .refine(({ from, to }) => from < to, 'from is not below to')
      .optional()
      .describe("Share of the charge's alcohol come over"),
  })
  .describe('Where the cut was tasted, with its uncertainty: outside of it the cut is asked instead of made');

const endSchema = {
  endsWhen: conditionSchema.describe('The phase ends when this has held for its hold time'),
  notBefore: notBeforeSchema.optional(),
  plausible: plausibleSchema.optional(),
  holdS: z.number().min(0).max(3600).default(30).describe('How long the condition must hold'),
  cut: z.enum(['automatic', 'ask']).default('automatic').describe('Cut by itself, or ask the operator'),
};

export const stepSchema = z.strictObject({
  phase: z.enum(recipePhases),
  ...endSchema,
  heatShare: z.number().min(0).max(1).default(1).describe('Heat as a share of the rated power'),
  takeOffShare: z.number().min(0).max(1).default(1).describe('Opening of the take-off; 0 is total reflux'),
  coolantShare: z.number().min(0).max(1).default(1).describe('Coolant; 0 only while nothing boils'),
  receiver: z.string().optional().describe('Receiver of the still; by fraction if left out'),
  maxS: z.number().positive().optional().describe('Alarm when the phase lasts longer'),
});
export type Step = z.output<typeof stepSchema>;

export const variantSchema = z.strictObject({
  about: z.string().max(200).optional(),
  cuts: z
    .partialRecord(
      z.enum(recipePhases),
      z.strictObject({
        endsWhen: conditionSchema.optional(),
        notBefore: notBeforeSchema.optional(),
        plausible: plausibleSchema.optional(),
        holdS: z.number().min(0).max(3600).optional(),
        cut: z.enum(['automatic', 'ask']).optional(),
      }),
    )
    .describe('Phase whose end is different in this variant'),
});

export const surgeGuardSchema = z
  .strictObject({
    purgeL: z.number().positive().describe('Volume sent to tails after a surge before hearts resume'),
    heatShare: z.number().min(0).max(1).default(0.5).describe('Heat during the surge, as a share of the hearts heat'),
    pukeK: z
      .number()
      .min(1)
      .max(20)
      .default(4)
      .describe('A jump of this many kelvin in seconds is liquid carried over'),
  })
  .describe('In hearts only: a surge past the tails threshold is diverted to tails and may return, twice at most');

export const kindsOfRun = ['stripping', 'spirit', 'water-test', 'leak-test', 'vinegar', 'sacrificial'] as const;

export const recipeSchema = z
  .strictObject({
    recipe: z.literal(1).describe('Version of this document'),
    name: z.string().min(1).max(80),
    revision: z.number().int().min(1).default(1),
    about: z.string().max(2000).optional(),
    kind: z
      .enum(kindsOfRun)
      .describe('Only stripping and spirit runs give a product; the others are marked never potable'),
    stillKind: z.enum(['pot', 'column']),
    referencePressureHPa: z.number().min(500).max(1100).default(1013.25),
    developedFrom: z
      .strictObject({
        run: z.string().optional(),
        still: z.string().optional(),
        date: z.string().optional(),
        airPressureHPa: z.number().min(500).max(1100).optional(),
        chargeL: z.number().positive().optional(),
        chargeVolPercent: z.number().positive().max(100).optional(),
        charge: z.string().optional().describe('What it was, e.g. perry low wines'),
        heaterW: z.number().positive().optional(),
      })
      .optional(),
    phases: z.array(stepSchema).min(2).max(12),
    surgeGuard: surgeGuardSchema.optional(),
    variants: z.record(z.string().regex(/^[a-z][a-z0-9-]{0,30}$/), variantSchema).default({}),
  })
  .meta({ id: 'MiddlecutRecipe', title: 'A recipe: where the fractions part, and how the still is run between' });

export type Recipe = z.output<typeof recipeSchema>;
export type RecipeDocument = z.input<typeof recipeSchema>;
export type NotBefore = z.output<typeof notBeforeSchema>;
