import { describe, expect, it } from 'vitest';
import type { StillView } from '../../daemon/page/views';
import { ask, fakeSource, pages, pause, speak, until } from './page-fake';

const page = pages();
const request = 'GET /api/live HTTP/1.1\r\nHost: localhost\r\n\r\n';

async function listen(port: number) {
  const socket = await speak(port, request);
  const heard = { text: '', events: (name: string) => heard.text.split(`event: ${name}\n`).length - 1 };
  socket.on('data', (part) => {
    heard.text += part.toString();
  });
  socket.on('error', () => undefined);
  return { socket, heard };
}

/** Views of growing number, to be told apart. */
function countingSource(size = 100) {
  const counts = { views: 0, noted: 0 };
  const source = fakeSource({
    still: (id) => {
      counts.views += 1;
      return { id, name: 'The orchard still', nowS: counts.views, reason: 'x'.repeat(size) } as unknown as StillView;
    },
    noted: () => {
      counts.noted += 1;
    },
  });
  return { source, counts };
}

describe('page: live views', () => {
  it('give everything at once, then what changes, and a word now and then', async () => {
    const { source } = countingSource();
    const opened = await page.open({ source, live: { beatMs: 50, everyMs: 10 } });
    const { heard } = await listen(opened.port);
    await until('the first view', () => heard.events('still') === 1);
    expect(heard.text).toContain('text/event-stream');
    expect(heard.text).toContain('event: stills\ndata: ["orchard"]');
    opened.changed('orchard');
    await until('the second view', () => heard.events('still') === 2);
    await until('a beat', () => heard.events('beat') >= 2);
    expect(heard.text).toMatch(/event: beat\ndata: \{"quietS":\{"orchard":0\}\}/);
  });

  it('say for how long the engine has been silent', async () => {
    const opened = await page.open({ live: { beatMs: 100 } });
    opened.changed('orchard');
    const { heard } = await listen(opened.port);
    await until('two silent seconds', () => /"orchard":2/.test(heard.text), 4000);
  });

  it('make no more views than anybody can read, and none for nobody', async () => {
    const { source, counts } = countingSource();
    const opened = await page.open({ source, live: { everyMs: 50 } });
    for (let i = 0; i < 1000; i += 1) opened.changed('orchard');
    await pause(100);
    expect(counts).toEqual({ views: 0, noted: 1000 });
    const { heard } = await listen(opened.port);
    await until('the first view', () => heard.events('still') === 1);
    const endMs = Date.now() + 500;
    while (Date.now() < endMs) {
      opened.changed('orchard');
      await pause(1);
    }
    await pause(100);
    expect(heard.events('still')).toBeGreaterThan(4);
    expect(heard.events('still')).toBeLessThan(15);
  });

  it('show at once what was decided, however soon after the last view', async () => {
    let decisions = 0;
    const { source } = countingSource();
    const opened = await page.open({ source: { ...source, decided: () => decisions }, live: { everyMs: 60_000 } });
    const { heard } = await listen(opened.port);
    await until('the first view', () => heard.events('still') === 1);
    opened.changed('orchard');
    await until('the second view', () => heard.events('still') === 2);
    opened.changed('orchard');
    await pause(200);
    expect(heard.events('still')).toBe(2);
    decisions += 1;
    opened.changed('orchard');
    await until('the decision', () => heard.events('still') === 3, 500);
  });

  it('of a still that cannot be shown are left out and told once, and the others go on', async () => {
    const { source } = countingSource();
    const still = (id: string) => {
      if (id === 'broken') throw new Error('no view of this');
      return source.still(id);
    };
    const opened = await page.open({
      source: { ...source, still, stillIds: () => ['broken', 'orchard'] },
      live: { everyMs: 1 },
    });
    const { heard } = await listen(opened.port);
    await until('the first view', () => heard.events('still') === 1);
    for (let i = 0; i < 5; i += 1) {
      opened.changed('broken');
      opened.changed('orchard');
      await pause(20);
    }
    await until('more views', () => heard.events('still') > 3);
    expect(page.logged.filter(({ message }) => message.includes('no view of this')).length).toBe(1);
  });

  it('drop what a slow reader does not take, and give it everything anew when it does', async () => {
    const { source, counts } = countingSource(50_000);
    const opened = await page.open({ source, live: { everyMs: 1, stuckMs: 60_000 } });
    const socket = await speak(opened.port, request);
    socket.pause();
    const endMs = Date.now() + 2000;
    while (Date.now() < endMs || counts.views < 500) {
      opened.changed('orchard');
      await pause(2);
    }
    const made = counts.views * 50_000;
    let bytes = 0;
    let last = '';
    socket.on('data', (part) => {
      bytes += part.byteLength;
      last = (last + part.toString()).slice(-200_000);
    });
    socket.resume();
    const isAnew = () => last.includes('event: stills') && last.includes(`"nowS":${counts.views},`);
    await until('everything anew', isAnew);
    // What lay in the buffers of both sockets, and not the rest.
    expect(bytes).toBeLessThan(made / 2);
    socket.destroy();
  });

  it('let go of a reader that takes nothing at all', async () => {
    const { source } = countingSource(200_000);
    const opened = await page.open({ source, live: { everyMs: 1, beatMs: 20, stuckMs: 200 } });
    const socket = await speak(opened.port, request);
    socket.pause();
    let isOver = false;
    socket.on('close', () => {
      isOver = true;
    });
    socket.on('error', () => undefined);
    const endMs = Date.now() + 1500;
    while (Date.now() < endMs) {
      opened.changed('orchard');
      await pause(5);
    }
    socket.resume();
    await until('the end', () => isOver);
  });

  it('are for so many at once and no more; who leaves makes room', async () => {
    const opened = await page.open({ live: { mostReaders: 3 } });
    const readers = await Promise.all([1, 2, 3].map(() => listen(opened.port)));
    for (const { heard } of readers) await until('a view', () => heard.events('still') === 1);
    const full = await ask(opened.port, { path: '/api/live' });
    expect([full.status, full.headers['retry-after']]).toEqual([503, '10']);
    readers[0]?.socket.destroy();
    await pause(100);
    const { heard } = await listen(opened.port);
    await until('a view', () => heard.events('still') === 1);
  });

  it('are not for the pages of others', async () => {
    const { port } = await page.open();
    for (const site of ['cross-site', 'same-site']) {
      expect((await ask(port, { path: '/api/live', headers: { 'Sec-Fetch-Site': site } })).status).toBe(403);
    }
  });

  it('end with the page', async () => {
    const opened = await page.open();
    const { socket, heard } = await listen(opened.port);
    await until('a view', () => heard.events('still') === 1);
    const over = new Promise((resolve) => socket.on('close', resolve));
    await opened.close();
    await over;
  });
});
