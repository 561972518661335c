import type { Socket } from 'node:net';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseOrderBody } from '../../daemon/page/bodies';
import { Refusal } from '../../daemon/page/reply';
import { ask, fakeSource, pages, pause, speak, until } from './page-fake';

const page = pages();

/** What came back until the other end closed or went quiet. */
async function hear(socket: Socket, quietMs = 40): Promise<string> {
  let text = '';
  let lastMs = Date.now();
  socket.on('data', (part) => {
    text += part.toString('latin1');
    lastMs = Date.now();
  });
  socket.on('error', () => undefined);
  while (!socket.destroyed && Date.now() - lastMs < quietMs) await pause(5);
  socket.destroy();
  return text;
}

/** Nothing in the log means that nothing was thrown that we had not thought of. */
const faults = () => page.logged.filter(({ message }) => message.includes('could not answer'));
const statusOf = (answer: string) => Number(/^HTTP\/1\.1 (\d{3})/.exec(answer)?.[1] ?? 0);
const token = fc.stringMatching(/^[!#$%&'*+.^_`|~0-9A-Za-z-]{1,20}$/);

describe('page: hostile requests', () => {
  it('random bytes are closed or refused, and the page goes on', async () => {
    const { port } = await page.open();
    await fc.assert(
      fc.asyncProperty(fc.uint8Array({ minLength: 1, maxLength: 300 }), async (bytes) => {
        const status = statusOf(await hear(await speak(port, bytes), 15));
        expect([0, 400, 405, 421, 431]).toContain(status);
      }),
      { numRuns: 60 },
    );
    expect((await ask(port, { path: '/' })).status).toBe(200);
    expect(faults()).toEqual([]);
  });

  it('no path, however written, leads to anything but our files and answers', async () => {
    const { port } = await page.open();
    const piece = fc.oneof(
      fc.constantFrom(
        '..',
        '.',
        '%2e%2e',
        '%2F',
        '%5c',
        '\\',
        'api',
        'stills',
        'runs',
        'orchard',
        'page.js',
        '%00',
        '%ff',
        '%',
        '#',
        '?',
        ';',
        '//',
        '*',
      ),
      fc.stringMatching(/^[\x21-\x7e]{1,12}$/),
    );
    await fc.assert(
      fc.asyncProperty(
        fc.array(piece, { minLength: 1, maxLength: 8 }),
        fc.constantFrom('GET', 'POST', 'HEAD'),
        async (pieces, method) => {
          const { status, body } = await ask(port, {
            method,
            path: `/${pieces.join('/')}`,
            ...(method === 'POST' ? { body: {} } : {}),
          });
          expect([200, 304, 400, 404, 405, 429]).toContain(status);
          expect(body).not.toMatch(/import type|root:x:0|"rootDir"/);
        },
      ),
      { numRuns: 300 },
    );
    expect(faults()).toEqual([]);
  });

  it('no header, however odd, does harm', async () => {
    const { port } = await page.open({ password: 'perry' });
    const name = fc.oneof(
      token,
      fc.constantFrom(
        'Cookie',
        'Origin',
        'Host',
        'Content-Type',
        'Content-Length',
        'Transfer-Encoding',
        'Forwarded',
        'If-None-Match',
        'Accept-Encoding',
        'Sec-Fetch-Site',
        'Expect',
        'Upgrade',
        'Connection',
        'Range',
      ),
    );
    const value = fc.stringMatching(/^[\x20-\x7e]{0,80}$/);
    const line = fc.tuple(name, value).map(([one, other]) => `${one}: ${other}\r\n`);
    await fc.assert(
      fc.asyncProperty(
        fc.array(line, { maxLength: 12 }),
        fc.constantFrom('GET /', 'GET /api/session', 'POST /api/login', 'GET /api/live'),
        async (lines, start) => {
          const answer = await hear(
            await speak(port, `${start} HTTP/1.1\r\nHost: localhost\r\n${lines.join('')}\r\n`),
            25,
          );
          expect(statusOf(answer)).not.toBe(500);
          expect(answer).not.toContain('access-control-allow-origin');
        },
      ),
      { numRuns: 150 },
    );
    expect((await ask(port, { path: '/' })).status).toBe(200);
    expect(faults()).toEqual([]);
  });

  it('no body gets an order through that the schema does not know', async () => {
    const source = fakeSource();
    const { port } = await page.open({ source });
    const known = new Set([
      'hold',
      'resume',
      'stop',
      'abort',
      'reset',
      'cut',
      'decline-cut',
      'undo-cut',
      'spout-moved',
      'attend',
      'next-jar',
      'start',
      'acknowledge',
      'shelve',
      'unshelve',
      'out-of-service',
      'return-to-service',
      'receiver-emptied',
      'note',
    ]);
    const nearly = fc.record(
      {
        order: fc.oneof(fc.constantFrom(...known), fc.string()),
        id: fc.oneof(fc.string(), fc.constant('page-0001'), fc.integer()),
        by: fc.anything(),
        target: fc.anything(),
        text: fc.anything(),
        __proto__: fc.anything(),
        constructor: fc.anything(),
      },
      { requiredKeys: [] },
    );
    const body = fc.oneof(
      fc.json({ maxDepth: 4 }),
      nearly.map((order) => JSON.stringify({ order })),
    );
    await fc.assert(
      fc.asyncProperty(body, async (text) => {
        const { status } = await ask(port, { method: 'POST', path: '/api/stills/orchard/orders', body: text });
        expect([200, 400, 413]).toContain(status);
      }),
      { numRuns: 50 },
    );
    let refused = 0;
    const check = (text: string): void => {
      try {
        const { message } = parseOrderBody(JSON.parse(text));
        expect(known.has(message.order)).toBe(true);
        expect(typeof message.id).toBe('string');
      } catch (error) {
        if (!(error instanceof Refusal)) throw error;
        expect(error.status).toBe(400);
        refused += 1;
      }
    };
    fc.assert(fc.property(body, check), { numRuns: 3000 });
    expect(refused).toBeGreaterThan(1000);
    expect(source.orders.every(([message]) => known.has(message.order))).toBe(true);
    expect(({} as Record<string, unknown>).polluted).toBe(undefined);
    expect(faults()).toEqual([]);
  });

  it('a header that is too large or without an end is cut off', async () => {
    const { port } = await page.open();
    const large = await hear(
      await speak(port, `GET / HTTP/1.1\r\nHost: localhost\r\nX: ${'x'.repeat(20_000)}\r\n\r\n`),
    );
    expect(statusOf(large)).toBe(431);
    const endless = await speak(port, 'GET / HTTP/1.1\r\nHost: localhost\r\n');
    endless.on('error', () => undefined);
    for (let i = 0; i < 2000 && !endless.destroyed; i += 1) {
      endless.write(`X-${i}: ${'y'.repeat(50)}\r\n`);
      if (i % 50 === 0) await pause(1);
    }
    await until('the cut', () => endless.destroyed);
  });

  it('a body that is announced and never comes, or breaks off, holds up nobody', async () => {
    const { port } = await page.open();
    const head = `POST /api/stills/orchard/orders HTTP/1.1\r\nHost: localhost\r\nOrigin: http://localhost\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{"order":`;
    const waiting = await Promise.all(Array.from({ length: 20 }, () => speak(port, head)));
    expect((await ask(port, { path: '/api/runs' })).status).toBe(200);
    for (const socket of waiting) {
      socket.on('error', () => undefined);
      socket.destroy();
    }
    await pause(50);
    expect((await ask(port, { path: '/api/runs' })).status).toBe(200);
    expect(faults()).toEqual([]);
  });

  it('many connections that say nothing leave room for one that does', async () => {
    const { port } = await page.open();
    const idle = await Promise.all(Array.from({ length: 100 }, () => speak(port, '')));
    expect((await ask(port, { path: '/' })).status).toBe(200);
    for (const socket of idle) socket.destroy();
  });

  it('an upgrade or a tunnel is not taken', async () => {
    const { port } = await page.open();
    const upgrade = await hear(
      await speak(port, 'GET / HTTP/1.1\r\nHost: localhost\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\r\n'),
    );
    expect(statusOf(upgrade)).not.toBe(101);
    const tunnel = await hear(await speak(port, 'CONNECT evil.example:443 HTTP/1.1\r\nHost: evil.example:443\r\n\r\n'));
    expect(statusOf(tunnel)).not.toBe(200);
    expect((await ask(port, { path: '/' })).status).toBe(200);
  });

  it('two requests hidden in one are not told apart wrongly', async () => {
    const { port } = await page.open();
    const both =
      'POST /api/login HTTP/1.1\r\nHost: localhost\r\nOrigin: http://localhost\r\nContent-Type: application/json\r\nContent-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nGET /api/runs HTTP/1.1\r\nHost: evil\r\n\r\n';
    const answer = await hear(await speak(port, both));
    expect(statusOf(answer)).toBe(400);
    expect(answer.match(/HTTP\/1\.1/g)?.length).toBe(1);
  });
});
