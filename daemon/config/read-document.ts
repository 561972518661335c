import { readFileSync, statSync } from 'node:fs';
import { type Document, isAlias, isMap, isScalar, isSeq, LineCounter, type Node, parseDocument } from 'yaml';
import { type Problem, problem, showProblem } from '../../lib/problems';

/** A problem with the file and, where it can be told, the line. */
export type Located = Problem & { readonly file: string; readonly line?: number };

/** `middlecut.yaml:12: stills.0.feeds.vapour.mqtt.topic: is missing. …` */
export function showLocated(p: Located): string {
  return `${p.file}${p.line === undefined ? '' : `:${p.line}`}: ${showProblem(p)}`;
}

export interface ReadDocument {
  readonly document: unknown;
  /** Puts the file and line to a problem whose path is inside this document. */
  readonly locate: (p: Problem) => Located;
}

export type ReadResult =
  | ({ readonly kind: 'ok' } & ReadDocument)
  | { readonly kind: 'bad'; readonly problems: readonly Located[] };

const maxBytes = 1 << 20;

function lineOf(counter: LineCounter, node: unknown): number | undefined {
  const range = (node as { range?: readonly number[] | null } | null)?.range;
  return range?.[0] === undefined ? undefined : counter.linePos(range[0]).line;
}

/** The line of the deepest part of a path that is there. */
function lineAt(document: Document, counter: LineCounter, path: string): number | undefined {
  let here: Node | null = document.contents;
  let line = lineOf(counter, here);
  for (const key of path === '' ? [] : path.split('.')) {
    if (isAlias(here)) here = here.resolve(document) ?? null;
    if (isMap(here)) {
      const pair: { key: unknown; value: unknown } | undefined = here.items.find(
        (item) => isScalar(item.key) && String(item.key.value) === key,
      );
      if (pair === undefined) return line;
      line = lineOf(counter, pair.key) ?? line;
      here = pair.value as Node | null;
    } else if (isSeq(here)) {
      here = (here.items[Number(key)] ?? null) as Node | null;
      line = lineOf(counter, here) ?? line;
    } else {
      return line;
    }
  }
  return line;
}

function readText(file: string): string | Located {
  try {
    if (statSync(file).size > maxBytes)
      return { ...problem('', undefined, 'is larger than 1 MiB', 'This is no such document'), file };
    return readFileSync(file, 'utf8');
  } catch (error) {
    const code = error !== null && typeof error === 'object' && 'code' in error ? String(error.code) : 'unreadable';
    const message = code === 'ENOENT' ? 'there is no such file' : `cannot be read (${code})`;
    return {
      ...problem('', undefined, message, 'Correct the path, or make the file readable for the user the daemon runs as'),
      file,
    };
  }
}

/**
 * Reads a YAML or JSON document from text.
 *
 * @param file name for problems
 * @returns the document with a way to find lines in it, or every syntax problem with its line
 */
export function parseText(text: string, file: string): ReadResult {
  const counter = new LineCounter();
  const document = parseDocument(text, { lineCounter: counter, uniqueKeys: true, prettyErrors: false });
  if (document.errors.length > 0) {
    const problems = document.errors.map((error) => {
      const line = counter.linePos(error.pos[0]).line;
      return { ...problem('', undefined, error.message, 'Correct the YAML here'), file, line };
    });
    return { kind: 'bad', problems };
  }
  const locate = (p: Problem): Located => {
    const line = lineAt(document, counter, p.path);
    return line === undefined ? { ...p, file } : { ...p, file, line };
  };
  try {
    return { kind: 'ok', document: document.toJS({ maxAliasCount: 100 }) as unknown, locate };
  } catch {
    return { kind: 'bad', problems: [{ ...problem('', undefined, 'uses too many aliases', 'Write it out'), file }] };
  }
}

/** Reads a YAML or JSON document from its file. */
export function readDocumentFile(file: string): ReadResult {
  const text = readText(file);
  return typeof text === 'string' ? parseText(text, file) : { kind: 'bad', problems: [text] };
}
