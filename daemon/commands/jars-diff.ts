import { type Problem, showProblem } from '../../lib/problems';
import { checkRecipe } from '../../lib/recipe/check';
import { diffRecipes, sayDifference } from '../../lib/recipe/diff';
import type { Recipe } from '../../lib/recipe/schema';
import { readDocumentFile } from '../config';
import { fail, flagOf, type Io, misunderstood, readOptions } from './command';

/** How two recipes differ, in words. Exit code 0 whether they differ or not: it is a question, not a test. */
export function diff(args: readonly string[], io: Io): number {
  const read = readOptions(args, {});
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const [first, second] = read.options.positionals;
  if (first === undefined || second === undefined) return misunderstood(io, 'jars', 'name two recipes.');
  const json = flagOf(read.options, 'json');
  const problems: Problem[] = [];
  const before = recipeIn(first, problems);
  const after = recipeIn(second, problems);
  if (before === null || after === null) return fail(io, problems, json);
  for (const one of problems) io.err(`${showProblem(one)}\n`);
  const found = diffRecipes(before, after).map((one) => ({ path: one.path, said: sayDifference(one) }));
  if (json) io.out(`${JSON.stringify({ differences: found }, null, 2)}\n`);
  else if (found.length === 0) io.out('The two recipes are the same.\n');
  else io.out(`${found.map(({ said }) => said).join('\n')}\n`);
  return 0;
}

function recipeIn(file: string, problems: Problem[]): Recipe | null {
  const read = readDocumentFile(file);
  if (read.kind === 'bad') {
    problems.push(...read.problems);
    return null;
  }
  const checked = checkRecipe(read.document);
  const found = checked.kind === 'ok' ? checked.warnings : checked.problems;
  problems.push(...found.map((one) => ({ ...one, path: `${file} ${one.path}`.trim() })));
  return checked.kind === 'ok' ? checked.value : null;
}
