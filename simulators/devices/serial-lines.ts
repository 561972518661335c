import { type ChildProcess, spawn } from 'node:child_process';
import { lstatSync } from 'node:fs';
import type { Reading } from '../../lib/engine/types';

/** How a line is written. */
export type LineForm = 'key-value' | 'csv' | 'json' | 'checksummed';

export interface SerialStart {
  /** Where the port appears, as a link to a pseudo-terminal. */
  readonly link: string;
  readonly form: LineForm;
  /** Points in the order of their columns. */
  readonly points: readonly string[];
  readonly latest: ReadonlyMap<string, Reading>;
  readonly everyMs?: number;
}

export interface SerialDevice {
  /** Sends anything, e.g. the noise of a board that starts. */
  send(text: string): void;
  /** Pulls the plug: the port is gone, without a last word. */
  unplug(): Promise<void>;
  stop(): Promise<void>;
}

/** Exclusive or of all characters, two hexadecimal digits: the checksum of NMEA 0183. */
export function checksumOf(text: string): string {
  let sum = 0;
  for (const letter of text) sum ^= letter.charCodeAt(0);
  return sum.toString(16).toUpperCase().padStart(2, '0');
}

const disconnected = '-127.00';

function textOf(reading: Reading | undefined): string {
  if (reading === undefined) return disconnected;
  if (reading.value !== null) return reading.value.toFixed(2);
  return reading.fault === 'not-a-number' ? 'nan' : disconnected;
}

/** One line as such boards print it. */
export function lineOf(
  form: LineForm,
  points: readonly string[],
  latest: ReadonlyMap<string, Reading>,
  uptimeMs: number,
): string {
  const values = points.map((point) => textOf(latest.get(point)));
  switch (form) {
    case 'key-value':
      return `${points.map((point, index) => `${point}=${values[index]}`).join(';')}\r\n`;
    case 'csv':
      return `${[uptimeMs, ...values].join(',')}\r\n`;
    case 'json': {
      const body = points.map((point) => [point, latest.get(point)?.value ?? null]);
      return `${JSON.stringify({ ms: uptimeMs, ...Object.fromEntries(body) })}\n`;
    }
    case 'checksummed': {
      const body = ['STL', ...values].join(',');
      return `$${body}*${checksumOf(body)}\r\n`;
    }
  }
}

function ended(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return Promise.resolve();
  return new Promise((resolve) => child.once('exit', () => resolve()));
}

async function linked(link: string, child: ChildProcess): Promise<void> {
  for (let tries = 0; tries < 200; tries++) {
    if (child.exitCode !== null) break;
    try {
      lstatSync(link);
      return;
    } catch {
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
  }
  throw new Error(`socat made no port at ${link}; is the Debian package socat there?`);
}

/**
 * A board that prints its readings line by line on a serial port, made with socat's pseudo-terminals.
 *
 * @returns when the port is there
 */
export async function startSerialLines(start: SerialStart): Promise<SerialDevice> {
  const child = spawn('socat', ['-', `pty,raw,echo=0,link=${start.link},waitslave`], {
    stdio: ['pipe', 'ignore', 'ignore'],
  });
  child.on('error', () => undefined);
  child.stdin.on('error', () => undefined);
  await linked(start.link, child);
  const sinceMs = performance.now();
  const send = (text: string): void => {
    if (child.exitCode === null && child.stdin.writable) child.stdin.write(text);
  };
  const timer = setInterval(
    () => send(lineOf(start.form, start.points, start.latest, Math.floor(performance.now() - sinceMs))),
    start.everyMs ?? 500,
  );
  const end = async (): Promise<void> => {
    clearInterval(timer);
    child.kill('SIGTERM');
    await ended(child);
  };
  return { send, unplug: end, stop: end };
}
