import { request as httpRequest } from 'node:http';
import { connect, type Socket } from 'node:net';
import { afterEach } from 'vitest';
import { secretOf } from '../../daemon/config/secret';
import { openPage, type Page, type PageOptions, type PageSource } from '../../daemon/page';
import type { OrderMessage } from '../../lib/wire';

/** A source that answers plainly and remembers what was ordered, for tests of the server alone. */
export function fakeSource(more: Partial<PageSource> = {}): PageSource & { readonly orders: [OrderMessage, string][] } {
  const orders: [OrderMessage, string][] = [];
  const unknown = { kind: 'unknown', message: 'there is none' } as const;
  return {
    orders,
    stillIds: () => ['orchard'],
    still: (id) => (id === 'orchard' ? ({ id, name: 'The orchard still', nowS: 1 } as never) : null),
    noted: () => undefined,
    decided: () => 0,
    recipes: (id) => (id === 'orchard' ? [] : null),
    checkStart: () => [],
    order: async (id, message, _seen, from) => {
      if (id !== 'orchard') return null;
      orders.push([message, from]);
      return { accepted: true, why: ['held by Ada'] };
    },
    trend: () => null,
    runs: () => ({ kind: 'ok', value: [] }),
    run: () => unknown,
    runTrend: () => unknown,
    report: () => ({ kind: 'ok', value: '<!doctype html><title>Report</title>' }),
    sheets: () => ({ kind: 'ok', value: [] }),
    sheet: () => unknown,
    newSheet: () => unknown,
    saveSheet: () => unknown,
    pour: () => unknown,
    ...more,
  };
}

export interface Answered {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
  readonly body: string;
}

export interface Asking {
  readonly method?: string;
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: unknown;
  /** Where to, as it stands in the request line. */
  readonly path: string;
}

/** Asks exactly as told; Host is the page's own unless given, and POST says it comes from the page. */
export function ask(port: number, { method = 'GET', headers = {}, body, path }: Asking): Promise<Answered> {
  const text = body === undefined ? null : typeof body === 'string' ? body : JSON.stringify(body);
  const own = method === 'POST' ? { Origin: `http://127.0.0.1:${port}`, 'Content-Type': 'application/json' } : {};
  return new Promise((resolve, reject) => {
    const request = httpRequest(
      {
        host: '127.0.0.1',
        port,
        path,
        method,
        headers: { Host: `127.0.0.1:${port}`, ...own, ...headers },
        agent: false,
      },
      (response) => {
        const parts: Buffer[] = [];
        response.on('data', (part: Buffer) => parts.push(part));
        response.on('error', reject);
        response.on('end', () =>
          resolve({
            status: response.statusCode ?? 0,
            headers: response.headers,
            body: Buffer.concat(parts).toString(),
          }),
        );
      },
    );
    request.on('error', reject);
    request.end(text);
  });
}

/** Pages of a test, closed after it. */
export function pages() {
  const open: Page[] = [];
  const logged: { about: object; message: string }[] = [];
  afterEach(async () => {
    for (const page of open.splice(0)) await page.close();
    logged.splice(0);
  });
  const log = (about: object, message: string): void => void logged.push({ about, message });
  return {
    logged,
    async open(more: Partial<Omit<PageOptions, 'password'>> & { readonly password?: string } = {}): Promise<Page> {
      const { password, ...rest } = more;
      const page = await openPage({
        host: '127.0.0.1',
        port: 0,
        source: fakeSource(),
        log: { info: log, warn: log, error: log },
        ...rest,
        password: password === undefined ? null : secretOf(password),
      });
      open.push(page);
      return page;
    },
  };
}

/** A connection that says just what it is told. */
export function speak(port: number, text: string | Uint8Array): Promise<Socket> {
  return new Promise((resolve, reject) => {
    const socket = connect({ host: '127.0.0.1', port }, () => {
      socket.write(text);
      resolve(socket);
    });
    socket.on('error', reject);
  });
}

export const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** Waits until something is so. */
export async function until(what: string, isSo: () => boolean, withinMs = 5000): Promise<void> {
  const endMs = Date.now() + withinMs;
  while (!isSo()) {
    if (Date.now() > endMs) throw new Error(`waited in vain for ${what}`);
    await pause(10);
  }
}
