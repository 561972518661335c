import { type Problem, problem, refersToItself } from './problems';

/** A document a person wrote is never larger than this [bytes]. */
export const largestDocument = 1 << 20;

/** A problem with the line of the text it stands in, where that can be told. */
export type PlacedProblem = Problem & { readonly line?: number };

export const tooLarge: Problem = problem('', undefined, 'is larger than 1 MiB', 'This is no such document');

/** A file that cannot be read, by the code of the operating system; `reader` is who wanted to. */
export function unreadable(code: string, reader: string, name = ''): Problem {
  const why = code === 'ENOENT' ? 'there is no such file' : `cannot be read (${code})`;
  const message = name === '' ? why : `${name} ${why}`;
  return problem('', undefined, message, `Correct the path, or make the file readable for the user ${reader} runs as`);
}

/** What is needed of a parser of YAML, and with it of JSON: the package `yaml` is one, and this library needs none. */
export interface YamlParser<Counter extends { linePos(offset: number): { readonly line: number } }> {
  readonly LineCounter: new () => Counter;
  parseDocument(
    text: string,
    options: { readonly lineCounter: Counter; readonly uniqueKeys: boolean; readonly prettyErrors: boolean },
  ): ParsedText;
  isMap(node: unknown): boolean;
  isSeq(node: unknown): boolean;
  isAlias(node: unknown): boolean;
}

interface ParsedText {
  readonly contents: unknown;
  readonly errors: readonly { readonly message: string; readonly pos: readonly [number, number] }[];
  toJS(options: { readonly maxAliasCount: number }): unknown;
}

/** A node of a parsed text; what it has depends on its kind. */
interface TextNode {
  readonly range?: readonly number[] | null;
  readonly items?: readonly unknown[];
  readonly key?: TextNode & { readonly value?: unknown };
  readonly value?: unknown;
  resolve?(document: ParsedText): unknown;
}

export type ReadText =
  | {
      readonly kind: 'ok';
      readonly document: unknown;
      /** The line of the deepest part of a path that is there. */
      readonly lineAt: (path: string) => number | undefined;
    }
  | { readonly kind: 'bad'; readonly problems: readonly PlacedProblem[] };

/**
 * Reads a document written as YAML or JSON.
 *
 * @param parser the package `yaml`, or one like it
 * @returns the data with a way to find lines in the text, or what is wrong with its syntax
 */
export function readText<Counter extends { linePos(offset: number): { readonly line: number } }>(
  parser: YamlParser<Counter>,
  text: string,
): ReadText {
  if (text.length > largestDocument) return { kind: 'bad', problems: [tooLarge] };
  const counter = new parser.LineCounter();
  const document = parser.parseDocument(text, { lineCounter: counter, uniqueKeys: true, prettyErrors: false });
  const lineOf = (offset: number) => counter.linePos(offset).line;
  if (document.errors.length > 0) {
    const isJson = text.trimStart().startsWith('{');
    const remedy = isJson ? 'Correct the JSON here' : 'Correct the YAML here';
    const problems = document.errors.map((error) => ({
      ...problem('', undefined, error.message, remedy),
      line: lineOf(error.pos[0]),
    }));
    // To a parser of YAML one slip in JSON looks like several.
    return { kind: 'bad', problems: isJson ? problems.slice(0, 1) : problems };
  }
  const lineAt = (path: string) => findLine(parser, document, lineOf, path);
  try {
    const plain = document.toJS({ maxAliasCount: 100 });
    if (!refersToItself(plain)) return { kind: 'ok', document: plain, lineAt };
    return { kind: 'bad', problems: [problem('', undefined, 'refers to itself', 'Write it out')] };
  } catch {
    return { kind: 'bad', problems: [problem('', undefined, 'uses too many aliases', 'Write it out')] };
  }
}

function findLine(
  parser: Pick<YamlParser<never>, 'isMap' | 'isSeq' | 'isAlias'>,
  document: ParsedText,
  lineOf: (offset: number) => number,
  path: string,
): number | undefined {
  let here = document.contents as TextNode | null | undefined;
  const lineOfNode = (node: TextNode | null | undefined) =>
    node?.range?.[0] === undefined ? undefined : lineOf(node.range[0]);
  let line = lineOfNode(here);
  for (const key of path === '' ? [] : path.split('.')) {
    if (parser.isAlias(here)) here = here?.resolve?.(document) as TextNode | undefined;
    if (parser.isMap(here)) {
      const pair = here?.items?.find((item) => String((item as TextNode).key?.value) === key) as TextNode | undefined;
      if (pair === undefined) return line;
      line = lineOfNode(pair.key) ?? line;
      here = pair.value as TextNode | null;
    } else if (parser.isSeq(here)) {
      here = here?.items?.[Number(key)] as TextNode | undefined;
      line = lineOfNode(here) ?? line;
    } else {
      return line;
    }
  }
  return line;
}
