import { readFileSync, statSync } from 'node:fs';
import { isAbsolute, join } from 'node:path';
import { type Document, isAlias, isMap, isScalar, isSeq, LineCounter, parseDocument } from 'yaml';
import { type Checked, type Problem, problem } from '../../lib/problems';
import { checkRecipe } from '../../lib/recipe/check';
import type { Recipe } from '../../lib/recipe/schema';
import { checkStill } from '../../lib/still/check';
import type { Still } from '../../lib/still/schema';

/** A problem with the line of the text it stands in, where that can be told. */
export type PlacedProblem = Problem & { readonly line?: number };

export interface CheckedText<T> {
  readonly value: T | null;
  readonly problems: readonly PlacedProblem[];
}

const mostBytes = 1 << 20;

function lineOf(counter: LineCounter, node: unknown): number | undefined {
  const start = (node as { range?: readonly number[] | null } | null)?.range?.[0];
  return start === undefined ? undefined : counter.linePos(start).line;
}

/** The line of the deepest part of a path that is there. */
function lineAt(document: Document, counter: LineCounter, path: string): number | undefined {
  let here: unknown = document.contents;
  let line = lineOf(counter, here);
  for (const key of path === '' ? [] : path.split('.')) {
    if (isAlias(here)) here = here.resolve(document);
    if (isMap(here)) {
      const pair = here.items.find((item) => isScalar(item.key) && String(item.key.value) === key);
      if (pair === undefined) break;
      line = lineOf(counter, pair.key) ?? line;
      here = pair.value;
    } else if (isSeq(here)) {
      here = here.items[Number(key)];
      line = lineOf(counter, here) ?? line;
    } else break;
  }
  return line;
}

function placed<T>(checked: Checked<T>, locate: (path: string) => number | undefined): CheckedText<T> {
  const problems = (checked.kind === 'ok' ? checked.warnings : checked.problems).map((one): PlacedProblem => {
    const line = locate(one.path);
    return line === undefined ? one : { ...one, line };
  });
  return { value: checked.kind === 'ok' ? checked.value : null, problems };
}

function bad<T>(message: string, remedy: string, line?: number): CheckedText<T> {
  const one = problem('', undefined, message, remedy);
  return { value: null, problems: [line === undefined ? one : { ...one, line }] };
}

/** Checks a document written as JSON or YAML: every problem at once, in the words of `middlecut check`, with its line. */
export function checkText<T>(text: string, check: (document: unknown) => Checked<T>): CheckedText<T> {
  if (text.trim() === '') return bad('is empty', 'Write the document, or begin with one of the templates');
  if (text.length > mostBytes) return bad('is larger than 1 MiB', 'This is no such document');
  const counter = new LineCounter();
  const document = parseDocument(text, { lineCounter: counter, uniqueKeys: true, prettyErrors: false });
  const syntax = document.errors[0];
  if (syntax !== undefined) {
    const remedy = text.trimStart().startsWith('{') ? 'Correct the JSON here' : 'Correct the YAML here';
    return bad(syntax.message, remedy, counter.linePos(syntax.pos[0]).line);
  }
  let plain: unknown;
  try {
    plain = document.toJS({ maxAliasCount: 100 });
  } catch {
    return bad('uses too many aliases', 'Write it out');
  }
  if (!isTree(plain)) return bad('refers to itself', 'Write it out');
  return placed(check(plain), (path) => lineAt(document, counter, path));
}

/** Whether data can be written as JSON: no circles, no big integers. */
function isTree(value: unknown): boolean {
  try {
    JSON.stringify(value);
    return true;
  } catch {
    return false;
  }
}

/** Checks a document that came as data: an object, or text. */
export function checkData<T>(document: unknown, check: (document: unknown) => Checked<T>): CheckedText<T> {
  if (typeof document === 'string') return checkText(document, check);
  if (document instanceof Uint8Array) return checkText(Buffer.from(document).toString('utf8'), check);
  if (!isTree(document)) return bad('refers to itself', 'Send plain data');
  return placed(check(document), () => undefined);
}

/** Checks a document in a file; a relative name counts from the folder given. */
export function checkFile<T>(file: string, folder: string, check: (document: unknown) => Checked<T>): CheckedText<T> {
  if (file.trim() === '') return bad('no file is named', 'Name the file');
  const path = isAbsolute(file) ? file : join(folder, file);
  try {
    if (statSync(path).size > mostBytes) return bad('is larger than 1 MiB', 'This is no such document');
    return checkText(readFileSync(path, 'utf8'), check);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? 'unreadable';
    const why = code === 'ENOENT' ? 'there is no such file' : `cannot be read (${code})`;
    return bad(`${path} ${why}`, 'Correct the path, or make the file readable for the user Node-RED runs as');
  }
}

export const asStill = (document: unknown): Checked<Still> => checkStill(document);
export const asRecipe = (document: unknown): Checked<Recipe> => checkRecipe(document);
