import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { connect, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** A port of loopback that is free now. */
export function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() => resolve(address !== null && typeof address === 'object' ? address.port : 0));
    });
  });
}

async function answers(port: number, withinMs: number): Promise<boolean> {
  const untilMs = Date.now() + withinMs;
  while (Date.now() < untilMs) {
    const isOpen = await new Promise<boolean>((resolve) => {
      const socket = connect({ host: '127.0.0.1', port });
      socket.once('connect', () => {
        socket.destroy();
        resolve(true);
      });
      socket.once('error', () => resolve(false));
    });
    if (isOpen) return true;
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  return false;
}

export interface MosquittoOptions {
  /** Lines of configuration besides the listener; anonymous access is allowed unless they say otherwise. */
  readonly lines?: readonly string[];
  /** Lines that belong to the listener, e.g. certificates. */
  readonly listenerLines?: readonly string[];
  /** A port of loopback instead of any that is free. */
  readonly port?: number;
}

/** A real broker for a test, on a random loopback port. */
export interface Mosquitto {
  readonly port: number;
  readonly folder: string;
  /** Ends it as an administrator would. */
  readonly stop: () => Promise<void>;
  /** Ends it without warning. */
  readonly kill: () => Promise<void>;
  /** Starts it again on the same port. */
  readonly start: () => Promise<void>;
  /** What it wrote to its log. */
  readonly log: () => string;
  /** Stops it and removes its files. */
  readonly remove: () => Promise<void>;
}

function ended(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return Promise.resolve();
  return new Promise((resolve) => child.once('exit', () => resolve()));
}

/**
 * Starts Mosquitto for a test. The test checks for the package first: `describe.skipIf(!needs('mosquitto'))`.
 *
 * @example const broker = await startMosquitto(); …; await broker.remove();
 */
export async function startMosquitto(options: MosquittoOptions = {}): Promise<Mosquitto> {
  const port = options.port ?? (await freePort());
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-mosquitto-'));
  const lines = options.lines ?? [];
  const isClosed = lines.some((line) => line.startsWith('allow_anonymous'));
  const config = [
    'user root',
    `listener ${port} 127.0.0.1`,
    ...(options.listenerLines ?? []),
    'set_tcp_nodelay true',
    'log_type all',
    ...(isClosed ? [] : ['allow_anonymous true']),
    ...lines,
    '',
  ];
  writeFileSync(join(folder, 'mosquitto.conf'), config.join('\n'));
  let child: ChildProcess | null = null;
  let log = '';
  const start = async () => {
    const started = spawn('mosquitto', ['-c', join(folder, 'mosquitto.conf')], { stdio: ['ignore', 'pipe', 'pipe'] });
    child = started;
    for (const stream of [started.stdout, started.stderr]) {
      stream?.on('data', (text: Buffer) => {
        log = (log + text.toString()).slice(-200_000);
      });
    }
    if (!(await answers(port, 5000))) throw new Error(`mosquitto does not answer on ${port}:\n${log}`);
  };
  const end = async (signal: 'SIGTERM' | 'SIGKILL') => {
    const running = child;
    child = null;
    if (running === null) return;
    running.kill(signal);
    await ended(running);
  };
  await start();
  return {
    port,
    folder,
    start,
    stop: () => end('SIGTERM'),
    kill: () => end('SIGKILL'),
    log: () => log,
    remove: async () => {
      await end('SIGTERM');
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Waits until something is so, looking often; fails with words when it takes too long. */
export async function until(what: string, isSo: () => boolean, withinMs = 5000): Promise<void> {
  const untilMs = Date.now() + withinMs;
  while (!isSo()) {
    if (Date.now() > untilMs) throw new Error(`not within ${withinMs} ms: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
}
