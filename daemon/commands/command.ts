import { parseArgs } from 'node:util';
import { type Problem, problem, showProblem } from '../../lib/problems';

/** Where a command reads and writes: swapped in tests. */
export interface Io {
  out(text: string): void;
  err(text: string): void;
  /** A terminal that can be drawn upon. */
  readonly terminal: { readonly columns: number; readonly rows: number } | null;
  readonly environment: Readonly<Record<string, string | undefined>>;
}

/** One command of the command line: a file of its own, loaded when used. */
export interface Command {
  readonly help: string;
  /** Exit code: 0 done, 1 something is wrong with what was given, 2 the call itself was not understood. */
  run(args: readonly string[], io: Io): Promise<number>;
}

export interface OptionSpec {
  readonly type: 'string' | 'boolean';
  readonly multiple?: boolean;
  readonly short?: string;
}

export interface Options {
  readonly values: Readonly<Record<string, string | boolean | readonly string[] | undefined>>;
  readonly positionals: readonly string[];
}

/** Reads options strictly: an unknown one is an error that lists those there are. */
export function readOptions(
  args: readonly string[],
  spec: Readonly<Record<string, OptionSpec>>,
): { readonly kind: 'ok'; readonly options: Options } | { readonly kind: 'bad'; readonly message: string } {
  try {
    const parsed = parseArgs({
      args: [...args],
      options: { json: { type: 'boolean' }, help: { type: 'boolean', short: 'h' }, ...spec } as Record<
        string,
        { type: 'string' | 'boolean'; multiple?: boolean; short?: string }
      >,
      allowPositionals: true,
      strict: true,
    });
    return { kind: 'ok', options: { values: parsed.values as Options['values'], positionals: parsed.positionals } };
  } catch (error) {
    const names = Object.keys(spec)
      .concat('json', 'help')
      .map((name) => `--${name}`);
    const message = error instanceof Error ? (error.message.split('.')[0] ?? error.message) : String(error);
    return { kind: 'bad', message: `${message}. Options are ${names.join(', ')}.` };
  }
}

export function textOf(options: Options, name: string): string | undefined {
  const value = options.values[name];
  return typeof value === 'string' ? value : undefined;
}

export function flagOf(options: Options, name: string): boolean {
  return options.values[name] === true;
}

/** A number given as an option, or a problem that names it. */
export function numberOf(
  options: Options,
  name: string,
  problems: Problem[],
  range?: readonly [number, number],
): number | null {
  const text = textOf(options, name);
  if (text === undefined) return null;
  const value = text.trim() === '' ? Number.NaN : Number(text);
  const [least, most] = range ?? [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  if (Number.isFinite(value) && value >= least && value <= most) return value;
  const remedy = range === undefined ? 'Give a number' : `Give a number from ${least} to ${most}`;
  problems.push(problem(`--${name}`, text, Number.isFinite(value) ? 'is out of range' : 'is no number', remedy));
  return null;
}

/** Prints problems, as JSON where asked, and gives the exit code. */
export function fail(io: Io, problems: readonly Problem[], json: boolean): number {
  if (json) io.out(`${JSON.stringify({ problems }, null, 2)}\n`);
  else for (const one of problems) io.err(`${showProblem(one)}\n`);
  return 1;
}

/** A call that was not understood: what is wrong, and where help is. */
export function misunderstood(io: Io, command: string, message: string): number {
  io.err(`middlecut ${command}: ${message}\nTry: middlecut ${command} --help\n`);
  return 2;
}
