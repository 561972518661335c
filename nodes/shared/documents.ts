import { readFileSync, statSync } from 'node:fs';
import { isAbsolute, join } from 'node:path';
import * as yaml from 'yaml';
import { type Checked, type Problem, problem, refersToItself } from '../../lib/problems';
import { largestDocument, type PlacedProblem, readText, tooLarge, unreadable } from '../../lib/read-text';
import { checkRecipe } from '../../lib/recipe/check';
import type { Recipe } from '../../lib/recipe/schema';
import { checkStill } from '../../lib/still/check';
import type { Still } from '../../lib/still/schema';

export type { PlacedProblem } from '../../lib/read-text';

export interface CheckedText<T> {
  readonly value: T | null;
  readonly problems: readonly PlacedProblem[];
}

function placed<T>(checked: Checked<T>, locate: (path: string) => number | undefined): CheckedText<T> {
  const problems = (checked.kind === 'ok' ? checked.warnings : checked.problems).map((one): PlacedProblem => {
    const line = locate(one.path);
    return line === undefined ? one : { ...one, line };
  });
  return { value: checked.kind === 'ok' ? checked.value : null, problems };
}

const bad = <T>(...problems: readonly Problem[]): CheckedText<T> => ({ value: null, problems });

/** Checks a document written as JSON or YAML: every problem at once, in the words of `middlecut check`, with its line. */
export function checkText<T>(text: string, check: (document: unknown) => Checked<T>): CheckedText<T> {
  if (text.trim() === '')
    return bad(problem('', undefined, 'is empty', 'Write the document, or begin with one of the templates'));
  const read = readText(yaml, text);
  return read.kind === 'bad' ? bad(...read.problems) : placed(check(read.document), read.lineAt);
}

/** Checks a document that came as data: an object, or text. */
export function checkData<T>(document: unknown, check: (document: unknown) => Checked<T>): CheckedText<T> {
  if (typeof document === 'string') return checkText(document, check);
  if (document instanceof Uint8Array) return checkText(Buffer.from(document).toString('utf8'), check);
  if (refersToItself(document)) return bad(problem('', undefined, 'refers to itself', 'Send plain data'));
  return placed(check(document), () => undefined);
}

/** Checks a document in a file; a relative name counts from the folder given. */
export function checkFile<T>(file: string, folder: string, check: (document: unknown) => Checked<T>): CheckedText<T> {
  if (file.trim() === '') return bad(problem('', undefined, 'no file is named', 'Name the file'));
  const path = isAbsolute(file) ? file : join(folder, file);
  try {
    return statSync(path).size > largestDocument ? bad(tooLarge) : checkText(readFileSync(path, 'utf8'), check);
  } catch (error) {
    return bad(unreadable((error as NodeJS.ErrnoException).code ?? 'unreadable', 'Node-RED', path));
  }
}

export const asStill = (document: unknown): Checked<Still> => checkStill(document);
export const asRecipe = (document: unknown): Checked<Recipe> => checkRecipe(document);
