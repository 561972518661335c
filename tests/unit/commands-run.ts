import { commands } from '../../daemon/commands';

/** What a command printed and how it ended. */
export interface Ran {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Splits a command line as a shell does: spaces, double quotes, a backslash at the end of a line. */
export function shellWords(line: string): string[] {
  const joined = line.replace(/\\\n\s*/g, '');
  return [...joined.matchAll(/"([^"]*)"|(\S+)/g)].map((match) => match[1] ?? match[2] ?? '');
}

/** Runs a command line (without `middlecut`) with a captured terminal. */
export async function runLine(line: string): Promise<Ran> {
  const [name = '', ...args] = shellWords(line);
  const command = await commands[name]?.load();
  if (command === undefined) throw new Error(`there is no command ${name}`);
  let out = '';
  let err = '';
  const io = {
    out: (text: string) => {
      out += text;
    },
    err: (text: string) => {
      err += text;
    },
    terminal: null,
    environment: {},
  };
  return { code: await command.run(args, io), out, err };
}

/** Runs a command line that must succeed, with --json, and gives what it printed. */
export async function figuresOf<T>(line: string): Promise<T> {
  const ran = await runLine(`${line} --json`);
  if (ran.code !== 0) throw new Error(`${line}: ${ran.out}${ran.err}`);
  return JSON.parse(ran.out) as T;
}

/** A strength as every command prints it in JSON. */
export interface PlainStrength {
  readonly strengthAbv: number;
  readonly strengthAbv60F: number;
  readonly proofUs: number;
  readonly massFraction: number;
  readonly moleFraction: number;
  readonly density20KgM3: number;
}

export interface Caution {
  readonly path: string;
  readonly value?: string;
  readonly message: string;
}
