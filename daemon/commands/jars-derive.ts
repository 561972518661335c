import {
  adviseNextRun,
  type Choice,
  cautionsOf,
  type Derivation,
  type DeriveOptions,
  deriveRecipe,
  sayJars,
  weighChoices,
} from '../../lib/jars';
import { type Problem, problem, showProblem } from '../../lib/problems';
import { fail, flagOf, type Io, misunderstood, numberOf, type Options, readOptions, textOf } from './command';
import { showDerivation } from './jars-derive-show';
import { writeDocument } from './jars-paper';
import { sheetOf, sheetOptions } from './jars-sheet';

const spec = {
  ...sheetOptions,
  out: { type: 'string', short: 'o' },
  name: { type: 'string' },
  by: { type: 'string' },
  'heads-by': { type: 'string' },
  'tails-by': { type: 'string' },
  'heads-cut': { type: 'string' },
  insist: { type: 'string' },
  bottling: { type: 'string' },
  reference: { type: 'string' },
  'rated-w': { type: 'string' },
  'repeat-charge': { type: 'string' },
  'repeat-heat': { type: 'string' },
  'repeat-probe': { type: 'string' },
} as const;

/** One word of a few, or a problem that names them. */
export function wordOf<W extends string>(
  options: Options,
  name: string,
  words: readonly W[],
  problems: Problem[],
): W | undefined {
  const text = textOf(options, name);
  const word = words.find((one) => one === text);
  if (text !== undefined && word === undefined) {
    problems.push(problem(`--${name}`, text, 'is none of the words for it', `Use one of ${words.join(', ')}`));
  }
  return word;
}

function without<T extends object>(fields: T): { [K in keyof T]?: Exclude<T[K], undefined | null> } {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined && value !== null)) as {
    [K in keyof T]?: Exclude<T[K], undefined | null>;
  };
}

function deriveOptions(options: Options, problems: Problem[]): DeriveOptions {
  const repeat = without({
    chargeStrengthVolPercent: numberOf(options, 'repeat-charge', problems, [0, 10]),
    heatPercent: numberOf(options, 'repeat-heat', problems, [0, 50]),
    probeK: numberOf(options, 'repeat-probe', problems, [0, 5]),
  });
  return without({
    name: textOf(options, 'name'),
    by: wordOf(options, 'by', ['share', 'temperature'], problems),
    headsBy: wordOf(options, 'heads-by', ['share', 'temperature'], problems),
    tailsBy: wordOf(options, 'tails-by', ['temperature', 'strength', 'share'], problems),
    headsCut: wordOf(options, 'heads-cut', ['automatic', 'ask'], problems),
    insist: wordOf(options, 'insist', ['span', 'longest'], problems),
    ratedW: numberOf(options, 'rated-w', problems, [1, 1e7]),
    referenceHPa: numberOf(options, 'reference', problems, [500, 1100]),
    repeat,
  }) as DeriveOptions;
}

/** A derivation with what a person decides by. */
export interface Weighed {
  readonly derived: Derivation;
  readonly warnings: readonly Problem[];
  readonly bottlingAbv: number;
  /** Choices variant by variant. */
  readonly choices: readonly (readonly Choice[])[];
  readonly advice: readonly string[];
  readonly cautions: readonly string[];
}

/** Derives a recipe from a sheet and prints what it rests on. */
export function derive(args: readonly string[], io: Io): number {
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const problems: Problem[] = [];
  const wanted = deriveOptions(options, problems);
  const bottlingAbv = (numberOf(options, 'bottling', problems, [15, 96]) ?? 42) / 100;
  const sheet = sheetOf(options, options.positionals[0]);
  if (sheet.kind === 'bad') problems.push(...sheet.problems);
  if (problems.length > 0 || sheet.kind === 'bad') return fail(io, problems, json);
  const derived = deriveRecipe(sheet.value, wanted);
  if (derived.kind === 'bad') return fail(io, derived.problems, json);
  const { figures, fit, variants } = derived.value;
  const weighed: Weighed = {
    derived: derived.value,
    warnings: derived.warnings,
    bottlingAbv,
    choices: variants.map(({ selection }) => weighChoices(figures, selection, bottlingAbv, fit)),
    advice: adviseNextRun(derived.value).map((reason) => sayJars(reason)),
    cautions: cautionsOf(derived.value).map((reason) => sayJars(reason)),
  };
  const out = textOf(options, 'out');
  if (out !== undefined) writeDocument(out, derived.value.document);
  if (json) io.out(`${JSON.stringify(plain(weighed), null, 2)}\n`);
  else io.out(`${showDerivation(weighed)}${out === undefined ? '' : `\nRecipe written to ${out}\n`}`);
  return 0;
}

function plain({ derived, warnings, choices, advice, cautions }: Weighed): object {
  return {
    recipe: derived.document,
    variants: derived.variants.map(({ variant, selection, cuts, heads, tails, plausible, replay }, index) => ({
      variant,
      selection,
      cuts: { heads: cuts.heads, tails: cuts.tails },
      sharpness: { heads, tails },
      plausible,
      replay,
      choices: choices[index],
    })),
    repeat: derived.repeat,
    warnings: warnings.map(showProblem),
    advice,
    cautions,
  };
}
