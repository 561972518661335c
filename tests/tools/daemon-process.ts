import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';

// Scripts run by hand are started from the root, and know no folder of their own.
const root = typeof __dirname === 'undefined' ? process.cwd() : join(__dirname, '..', '..');
export const mainFile = join(root, 'dist', 'daemon', 'main.js');

export interface Running {
  readonly child: ChildProcess;
  /** Everything written to both outputs so far. */
  readonly text: () => string;
  /** Waits until the output matches; fails with the output after the time. */
  readonly until: (pattern: RegExp, withinMs?: number) => Promise<RegExpMatchArray>;
  /** Ends it with a signal and gives its exit code. */
  readonly end: (signal?: NodeJS.Signals) => Promise<number | null>;
  readonly exited: Promise<number | null>;
}

const running = new Set<ChildProcess>();
// A test that fails leaves nothing behind.
process.on('exit', () => {
  for (const child of running) child.kill('SIGKILL');
});

/** Runs a program and listens to it; always by its id, so that it can be stopped. */
export function run(
  command: string,
  args: readonly string[],
  options: { env?: NodeJS.ProcessEnv; cwd?: string } = {},
): Running {
  const child = spawn(command, [...args], {
    stdio: ['ignore', 'pipe', 'pipe'],
    cwd: options.cwd ?? root,
    env: { ...process.env, ...options.env },
  });
  running.add(child);
  child.once('exit', () => running.delete(child));
  let text = '';
  const listeners = new Set<() => void>();
  const hear = (chunk: Buffer) => {
    text += chunk.toString();
    for (const listener of listeners) listener();
  };
  child.stdout?.on('data', hear);
  child.stderr?.on('data', hear);
  const exited = new Promise<number | null>((resolve) => {
    child.once('exit', (code) => resolve(code));
    child.once('error', () => resolve(null));
  });
  return {
    child,
    text: () => text,
    until: (pattern, withinMs = 20_000) =>
      new Promise((resolve, reject) => {
        const look = () => {
          const match = text.match(pattern);
          if (match === null) return;
          clearTimeout(timer);
          listeners.delete(look);
          resolve(match);
        };
        const timer = setTimeout(() => {
          listeners.delete(look);
          reject(new Error(`${command} ${args.join(' ')} never said ${pattern}:\n${text.slice(-4000)}`));
        }, withinMs);
        listeners.add(look);
        look();
      }),
    end: (signal = 'SIGTERM') => {
      if (child.exitCode === null && child.signalCode === null) child.kill(signal);
      return exited;
    },
    exited,
  };
}

/** Runs a command of ours as it is installed: from dist. */
export function runMiddlecut(
  args: readonly string[],
  options: { env?: NodeJS.ProcessEnv; cwd?: string } = {},
): Running {
  if (!existsSync(mainFile)) throw new Error('dist is not built: npm run build');
  return run(process.execPath, [mainFile, ...args], options);
}
