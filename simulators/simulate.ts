import { z } from 'zod';
import type { Input, Plant } from '../lib/engine/types';
import { type Checked, parseDocument, problem } from '../lib/problems';
import { checkRecipe } from '../lib/recipe/check';
import type { RecipeDocument } from '../lib/recipe/schema';
import { checkStill } from '../lib/still/check';
import type { StillDocument } from '../lib/still/schema';
import { faultRules } from './faults';
import type { RigResult } from './rig';
import { plantOfScenario, runScenario } from './run-scenario';
import { type Scenario, type ScenarioName, scenarioNames, scenarios, specOf } from './scenarios';

const amount = z.number().finite();

/** What somebody wants simulated: a scenario by name, or documents of their own; the charge and the site as they like. */
export const simulateSchema = z.strictObject({
  scenario: z.enum(scenarioNames as [ScenarioName, ...ScenarioName[]]).optional(),
  still: z.unknown().optional(),
  recipe: z.unknown().optional(),
  variant: z.string().nullable().optional(),
  seed: z.number().int().default(1),
  charge: z
    .strictObject({
      volumeL: amount.positive(),
      strengthAbv: amount.min(0).max(0.97),
      tempC: amount.min(0).max(95),
      solidsRiseK: amount.min(0).max(5),
    })
    .partial()
    .optional(),
  altitudeM: amount.min(-400).max(5500).optional(),
  seaLevelOffsetHPa: amount.min(-60).max(60).optional(),
  probes: z
    .record(
      z.string(),
      z
        .strictObject({ lagS: amount.min(0), noise: amount.min(0), resolution: amount.min(0), offset: amount })
        .partial(),
    )
    .optional(),
  faults: z
    .array(
      z.strictObject({
        fault: z.enum(Object.keys(faultRules) as [string, ...string[]]),
        fromS: amount.min(0),
        untilS: amount.min(0).default(1e9),
        target: z.string().optional(),
        size: amount.optional(),
      }),
    )
    .default([]),
  mostS: amount
    .positive()
    .max(200_000)
    .default(16 * 3600),
  logEveryS: amount.positive().default(5),
  /** Tell the plant and the input of every scan besides, for a record. */
  inputs: z.boolean().default(false),
});
export type SimulateRequest = z.output<typeof simulateSchema>;

function scenarioOf(request: SimulateRequest): Checked<Scenario> {
  const base: Scenario = scenarios[request.scenario ?? 'pot-spirit'];
  const still = request.still === undefined ? undefined : checkStill(request.still);
  const recipe = request.recipe === undefined ? undefined : checkRecipe(request.recipe);
  const problems = [still, recipe].flatMap((one) => (one?.kind === 'bad' ? one.problems : []));
  if (problems.length > 0) return { kind: 'bad', problems };
  const isOwn = request.still !== undefined || request.recipe !== undefined;
  return {
    kind: 'ok',
    value: {
      ...base,
      ...(request.still === undefined ? {} : { still: request.still as StillDocument }),
      ...(request.recipe === undefined ? {} : { recipe: request.recipe as RecipeDocument }),
      variant: request.variant ?? (isOwn ? null : base.variant),
    },
    warnings: [],
  };
}

/** Options of the site; the charge of a still of one's own fills it but for a twelfth. */
function optionsOf(request: SimulateRequest, scenario: Scenario) {
  const { charge, altitudeM, seaLevelOffsetHPa } = request;
  const filled = request.still === undefined ? {} : { volumeL: (scenario.still.boilerVolumeL * 11) / 12 };
  const weather = { offsetHPa: seaLevelOffsetHPa ?? 0, wanderHPaPerRootH: 0.6, front: null };
  const given = Object.fromEntries(Object.entries(charge ?? {}).filter(([, value]) => value !== undefined));
  return {
    charge: { ...filled, ...given },
    site: {
      ...(altitudeM === undefined ? {} : { altitudeM }),
      ...(seaLevelOffsetHPa === undefined ? {} : { weather }),
    },
    probes: Object.fromEntries(
      Object.entries(request.probes ?? {}).map(([id, probe]) => [
        id,
        Object.fromEntries(Object.entries(probe).filter(([, value]) => value !== undefined)),
      ]),
    ),
  };
}

/** Hears the plant once and then the input of every scan, where the request wants them. */
export type Tell = (line: { readonly plant: Plant } | { readonly input: Input }) => void;

/**
 * Simulates what is asked: the real engine over a simulated site, in virtual time.
 *
 * @param document the request, unchecked
 * @param tell hears plant and inputs
 * @returns everything that came of the run, or every problem of the request with path, value and remedy
 */
export function simulate(document: unknown, tell: Tell = () => undefined): Checked<RigResult> {
  const request = parseDocument(simulateSchema, document);
  if (request.kind === 'bad') return request;
  const scenario = scenarioOf(request.value);
  if (scenario.kind === 'bad') return scenario;
  const { seed, faults, mostS, logEveryS, inputs } = request.value;
  try {
    if (inputs)
      tell({
        plant: plantOfScenario(scenario.value, specOf(scenario.value, optionsOf(request.value, scenario.value))),
      });
    const result = runScenario({
      scenario: scenario.value,
      seed,
      mostS,
      logEveryS,
      ...(inputs ? { watch: ({ atS, readings, orders }) => tell({ input: { now: atS, readings, orders } }) } : {}),
      options: optionsOf(request.value, scenario.value),
      faults: faults.map(({ target, size, ...rest }) => ({
        ...rest,
        ...(target === undefined ? {} : { target }),
        ...(size === undefined ? {} : { size }),
      })),
    });
    return { kind: 'ok', value: result, warnings: [] };
  } catch (error) {
    // Documents that don't fit each other, or a fault aimed at nothing: said in words by whoever found it.
    const message = error instanceof Error ? error.message : String(error);
    return { kind: 'bad', problems: [problem('', undefined, message, 'Correct the request')] };
  }
}
