import type { z } from 'zod';

/** One thing wrong with a document a person wrote: where, what stands there, and what to do about it. */
export interface Problem {
  /** Dotted path of the field, e.g. `phases.2.endsWhen.atLeastC`; empty for the document as a whole. */
  readonly path: string;
  /** What stands there, shortened for display; undefined where the field is missing. */
  readonly value?: string;
  readonly message: string;
  readonly remedy: string;
  /** A warning does not stop the document from being used. */
  readonly severity: 'error' | 'warning';
}

export type Checked<T> =
  | { readonly kind: 'ok'; readonly value: T; readonly warnings: readonly Problem[] }
  | { readonly kind: 'bad'; readonly problems: readonly Problem[] };

export function problem(path: string, value: unknown, message: string, remedy: string): Problem {
  return value === undefined
    ? { path, message, remedy, severity: 'error' }
    : { path, value: showValue(value), message, remedy, severity: 'error' };
}

export function warning(path: string, value: unknown, message: string, remedy: string): Problem {
  return { ...problem(path, value, message, remedy), severity: 'warning' };
}

/** A value as people would recognise it, at most 60 characters. Never throws, whatever the value is. */
export function showValue(value: unknown): string {
  const text = typeof value === 'string' ? `"${value}"` : plainText(value);
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}

/** JSON where there is such a thing: data from a program may refer to themselves, hold big integers or throw when read. */
function plainText(value: unknown): string {
  try {
    return JSON.stringify(value) ?? String(value);
  } catch {
    if (typeof value === 'bigint') return String(value);
    return Array.isArray(value) ? '(a list that cannot be written out)' : '(data that cannot be written out)';
  }
}

/** A problem on one line: `phases.2.cut: "maybe": message. Remedy.` */
export function showProblem(p: Problem): string {
  const where = p.path === '' ? '(document)' : p.path;
  const what = p.value === undefined ? '' : ` ${p.value}:`;
  return `${p.severity === 'warning' ? 'warning: ' : ''}${where}:${what} ${p.message}. ${p.remedy}.`;
}

function valueAt(document: unknown, path: readonly PropertyKey[]): unknown {
  let here: unknown = document;
  for (const key of path) {
    if (here === null || typeof here !== 'object') return undefined;
    here = (here as Record<PropertyKey, unknown>)[key];
  }
  return here;
}

type Issue = z.core.$ZodIssue;

/** What is wrong, in few words: what would be right stands in the remedy. */
function messageOf(issue: Issue, value: unknown): string {
  switch (issue.code) {
    case 'invalid_type':
      return value === undefined ? 'is missing' : 'is of another kind';
    case 'invalid_value':
      return 'is not known here';
    case 'too_small':
      return `${measureOf(issue.origin)} less than ${String(issue.minimum)}`;
    case 'too_big':
      return `${measureOf(issue.origin)} more than ${String(issue.maximum)}`;
    default:
      return lowerFirst(issue.message);
  }
}

/** Texts and lists have a length, numbers are what they are. */
function measureOf(origin: string): string {
  return origin === 'string' ? 'has a length of' : origin === 'array' || origin === 'set' ? 'has a count of' : 'is';
}

function remedyOf(issue: Issue): string {
  switch (issue.code) {
    case 'unrecognized_keys':
      return `Remove ${issue.keys.map((key) => `"${key}"`).join(', ')} or correct the spelling`;
    case 'invalid_value':
      return `Use one of ${issue.values.map((value) => JSON.stringify(value)).join(', ')}`;
    case 'too_small':
      return `Use ${issue.inclusive === false ? 'more than' : 'at least'} ${String(issue.minimum)}`;
    case 'too_big':
      return `Use ${issue.inclusive === false ? 'less than' : 'at most'} ${String(issue.maximum)}`;
    case 'invalid_type':
      return `Write a value of kind ${issue.expected}`;
    default:
      return 'See the reference of this document for what may stand here';
  }
}

/** Flattens what zod found into our own problems; of a union the branch that came nearest is reported. */
export function problemsOfZod(
  document: unknown,
  issues: readonly Issue[],
  base: readonly PropertyKey[] = [],
): Problem[] {
  return issues.flatMap((issue) => {
    const path = [...base, ...issue.path];
    if (issue.code === 'invalid_union' && issue.errors.length > 0) {
      const nearest = [...issue.errors].sort((a, b) => nearness(b) - nearness(a))[0] ?? [];
      return problemsOfZod(document, nearest, path);
    }
    const value = valueAt(document, path);
    return [problem(path.map(String).join('.'), value, messageOf(issue, value), remedyOf(issue))];
  });
}

/** A branch whose discriminating field fits is nearer than one whose does not; fewer complaints are nearer too. */
function nearness(branch: readonly Issue[]): number {
  const wrongKind = branch.some((issue) => issue.code === 'invalid_value' && issue.path.length === 1);
  const depth = Math.max(0, ...branch.map((issue) => issue.path.length));
  return (wrongKind ? -100 : 0) + depth * 10 - branch.length;
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

/** Whether data lead back to themselves: no document, and no schema would ever be done with them. */
export function refersToItself(value: unknown): boolean {
  const open = new Set<unknown>();
  const done = new Set<unknown>();
  const leadsBack = (here: unknown): boolean => {
    if (here === null || typeof here !== 'object' || done.has(here)) return false;
    if (open.has(here)) return true;
    open.add(here);
    const found = Object.values(here).some(leadsBack);
    open.delete(here);
    done.add(here);
    return found;
  };
  return leadsBack(value);
}

/** Parses a document with a schema, listing every problem with its path, value and remedy. */
export function parseDocument<S extends z.ZodType>(schema: S, document: unknown): Checked<z.output<S>> {
  if (refersToItself(document))
    return { kind: 'bad', problems: [problem('', undefined, 'refers to itself', 'Write it out')] };
  const result = schema.safeParse(document);
  if (result.success) return { kind: 'ok', value: result.data, warnings: [] };
  return { kind: 'bad', problems: problemsOfZod(document, result.error.issues) };
}
