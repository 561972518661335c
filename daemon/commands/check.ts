import { compilePlant } from '../../lib/engine/plant';
import type { Problem } from '../../lib/problems';
import { checkRecipe } from '../../lib/recipe/check';
import { checkStill } from '../../lib/still/check';
import { coverageOf } from '../../lib/still/coverage';
import type { Still } from '../../lib/still/schema';
import { type Located, loadConfig, readDocumentFile, showLocated } from '../config';
import { type Command, flagOf, type Io, misunderstood, readOptions } from './command';
import { showCoverage } from './coverage-rows';

const help = `middlecut check FILE… [--json]

Checks configurations, stills and recipes: every problem at once, each with file, line, field, value and remedy. What a
file is, is told by its first field (config, still or recipe). A still and a recipe given together are also checked
against each other. For each still a table follows of what can go wrong and what its points and drives see of it. Exit code 0 when there are no errors; warnings do not count.
`;

interface FileReport {
  readonly file: string;
  readonly is: 'config' | 'still' | 'recipe' | 'unknown';
  readonly problems: readonly Located[];
  readonly value: unknown;
  /** The stills it holds, as far as they are free of errors. */
  readonly stills: readonly Still[];
}

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readOptions(args, {});
  if (read.kind === 'bad') return misunderstood(io, 'check', read.message);
  const files = read.options.positionals;
  if (files.length === 0) return misunderstood(io, 'check', 'name at least one file.');
  const reports = files.map((file) => checkFile(file, io));
  const together = checkTogether(reports);
  const problems = [...reports.flatMap((report) => report.problems), ...together];
  const errors = problems.filter((one) => one.severity === 'error').length;
  const stills = reports.flatMap((report) => report.stills);
  if (flagOf(read.options, 'json')) {
    const plain = reports.map(({ file, is, problems: found }) => ({ file, is, problems: found }));
    const coverage = stills.map((still) => ({ still: still.id, hazards: coverageOf(still) }));
    io.out(`${JSON.stringify({ ok: errors === 0, files: plain, together, coverage }, null, 2)}\n`);
  } else {
    for (const one of problems) io.out(`${showLocated(one)}\n`);
    for (const report of reports) {
      const count = report.problems.filter((one) => one.severity === 'error').length;
      io.out(
        `${report.file}: ${report.is}, ${count === 0 ? 'no errors' : `${count} error${count === 1 ? '' : 's'}`}\n`,
      );
    }
    for (const still of stills) io.out(`\n${showCoverage(still)}\n`);
  }
  return errors === 0 ? 0 : 1;
}

function checkFile(file: string, io: Io): FileReport {
  const read = readDocumentFile(file);
  if (read.kind === 'bad') return { file, is: 'unknown', problems: read.problems, value: null, stills: [] };
  const document = read.document;
  const is = kindOf(document);
  if (is === 'config') {
    const loaded = loadConfig(file, io.environment);
    const stills = loaded.kind === 'ok' ? loaded.value.stills.map((one) => one.still) : [];
    return { file, is, problems: loaded.kind === 'ok' ? loaded.warnings : loaded.problems, value: null, stills };
  }
  if (is === 'unknown') {
    const remedy = 'Begin a configuration with config: 1, a still with still: 1, a recipe with recipe: 1';
    const unknown: Problem = {
      path: '',
      message: 'is neither configuration, still nor recipe',
      remedy,
      severity: 'error',
    };
    return { file, is, problems: [read.locate(unknown)], value: null, stills: [] };
  }
  if (is === 'still') {
    const checked = checkStill(document);
    const problems = (checked.kind === 'ok' ? checked.warnings : checked.problems).map(read.locate);
    const value = checked.kind === 'ok' ? checked.value : null;
    return { file, is, problems, value, stills: value === null ? [] : [value] };
  }
  const checked = checkRecipe(document);
  const problems = (checked.kind === 'ok' ? checked.warnings : checked.problems).map(read.locate);
  return { file, is, problems, value: checked.kind === 'ok' ? checked.value : null, stills: [] };
}

function kindOf(document: unknown): FileReport['is'] {
  if (typeof document !== 'object' || document === null) return 'unknown';
  for (const kind of ['config', 'still', 'recipe'] as const)
    if (kind in document && typeof (document as Record<string, unknown>)[kind] === 'number') return kind;
  return 'unknown';
}

/** Each recipe against each still that was given, in all variants; a charge of three quarters of the boiler stands in for the real one. */
function checkTogether(reports: readonly FileReport[]): Located[] {
  const found: Located[] = [];
  for (const still of reports) {
    if (still.is !== 'still' || still.value === null) continue;
    for (const recipe of reports) {
      if (recipe.is !== 'recipe' || recipe.value === null) continue;
      const [stillValue, recipeValue] = [
        still.value as Parameters<typeof compilePlant>[0],
        recipe.value as Parameters<typeof compilePlant>[1],
      ];
      const charge = { volumeL: stillValue.boilerVolumeL * 0.75, strengthAbv: 0.28 };
      for (const variant of [null, ...Object.keys(recipeValue.variants)]) {
        const compiled = compilePlant(stillValue, recipeValue, variant, charge);
        const problems = compiled.kind === 'ok' ? compiled.warnings : compiled.problems;
        const file = `${recipe.file}${variant === null ? '' : ` (${variant})`} on ${still.file}`;
        found.push(...problems.map((one) => ({ ...one, file })));
      }
    }
  }
  return found;
}

export const check: Command = { help, run };
