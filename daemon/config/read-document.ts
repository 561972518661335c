import { readFileSync, statSync } from 'node:fs';
import * as yaml from 'yaml';
import { type Problem, showProblem } from '../../lib/problems';
import { largestDocument, readText, tooLarge, unreadable } from '../../lib/read-text';

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

function textOf(file: string): string | Problem {
  try {
    return statSync(file).size > largestDocument ? tooLarge : readFileSync(file, 'utf8');
  } catch (error) {
    const code = error !== null && typeof error === 'object' && 'code' in error ? String(error.code) : 'unreadable';
    return unreadable(code, 'the daemon');
  }
}

/**
 * Reads a YAML or JSON document from text.
 *
 * @param file name for problems
 * @returns the document with a way to find lines in it, or every syntax problem with its line
 */
export function parseText(text: string, file: string): ReadResult {
  const read = readText(yaml, text);
  if (read.kind === 'bad') return { kind: 'bad', problems: read.problems.map((one) => ({ ...one, file })) };
  const locate = (p: Problem): Located => {
    const line = read.lineAt(p.path);
    return line === undefined ? { ...p, file } : { ...p, file, line };
  };
  return { kind: 'ok', document: read.document, locate };
}

/** Reads a YAML or JSON document from its file. */
export function readDocumentFile(file: string): ReadResult {
  const text = textOf(file);
  return typeof text === 'string' ? parseText(text, file) : { kind: 'bad', problems: [{ ...text, file }] };
}
