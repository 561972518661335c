import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { secretOf } from '../../daemon/config/secret';
import { openPage } from '../../daemon/page';
import { ask, fakeSource, pages } from './page-fake';

const page = pages();
const hold = { order: { order: 'hold', id: 'page-0001', by: 'Ada' } };

describe('page server: files', () => {
  it('serves every file of the page with its type, and the start at /', async () => {
    const { port } = await page.open();
    const files = readdirSync(join(__dirname, '../../daemon/page/assets')).filter((name) => !name.endsWith('.json'));
    for (const name of ['', ...files]) {
      const answer = await ask(port, { path: `/${name}` });
      expect([name, answer.status]).toEqual([name, 200]);
      expect(answer.headers['content-type']).not.toBe(undefined);
    }
    expect((await ask(port, { path: '/' })).headers['content-type']).toBe('text/html; charset=utf-8');
  });

  it('has nothing but the files of the page, whatever a path says', async () => {
    const { port } = await page.open();
    const paths = [
      '/../server.ts',
      '/..%2fserver.ts',
      '/%2e%2e/%2e%2e/package.json',
      '/assets/../../gate.ts',
      '/....//....//etc/passwd',
      '/page.js/../../sessions.ts',
      '/index.html%00.js',
      '/tsconfig.json',
      '/package.json',
      '/\\..\\server.ts',
      '/page.js/',
      '/./././server.ts',
    ];
    for (const path of paths) expect([path, (await ask(port, { path })).status]).toEqual([path, 404]);
    for (const path of ['//etc/passwd', 'http://evil.example/', '*', '//']) {
      expect([path, (await ask(port, { path })).status]).toEqual([path, 400]);
    }
  });

  it('sends strict headers with everything, refusals too', async () => {
    const { port } = await page.open();
    for (const path of ['/', '/page.js', '/nothing', '/api/session', '/api/nothing']) {
      const { headers } = await ask(port, { path });
      expect(headers['content-security-policy']).toContain("default-src 'none'");
      expect(headers['content-security-policy']).toContain("frame-ancestors 'none'");
      expect(headers['content-security-policy']).not.toContain('unsafe');
      expect(headers['x-content-type-options']).toBe('nosniff');
      expect(headers['x-frame-options']).toBe('DENY');
      expect(headers['referrer-policy']).toBe('no-referrer');
      expect(headers['cross-origin-resource-policy']).toBe('same-origin');
    }
  });

  it('says not modified to what the browser has already, and packs what it sends', async () => {
    const { port } = await page.open();
    const first = await ask(port, { path: '/page.css' });
    const again = await ask(port, { path: '/page.css', headers: { 'If-None-Match': String(first.headers.etag) } });
    expect([again.status, again.body]).toEqual([304, '']);
    const packed = await ask(port, { path: '/page.css', headers: { 'Accept-Encoding': 'gzip' } });
    expect(packed.headers['content-encoding']).toBe('gzip');
    expect(Number(packed.headers['content-length'])).toBeLessThan(first.body.length);
  });

  it('gives a report without any right to run scripts', async () => {
    const { port } = await page.open();
    const { status, headers } = await ask(port, { path: '/api/runs/orchard-1/report' });
    expect(status).toBe(200);
    expect(headers['content-security-policy']).toContain('sandbox');
    expect(headers['content-security-policy']).toContain("default-src 'none'");
  });
});

describe('page server: where requests come from', () => {
  it('answers only to loopback names while it is closed to the network (DNS rebinding)', async () => {
    const { port } = await page.open();
    for (const host of [
      'evil.example',
      `evil.example:${port}`,
      '192.168.1.5',
      'stillroom.local',
      '127.0.0.1.evil.example',
      'x y',
    ]) {
      expect([host, (await ask(port, { path: '/', headers: { Host: host } })).status]).toEqual([host, 421]);
    }
    for (const host of ['localhost', `localhost:${port}`, '127.0.0.1', `[::1]:${port}`]) {
      expect([host, (await ask(port, { path: '/', headers: { Host: host } })).status]).toEqual([host, 200]);
    }
  });

  it('answers to addresses and local names when it is open with a password, not to names of strangers', async () => {
    const { port } = await page.open({ host: '0.0.0.0', password: 'perry' });
    for (const host of ['192.168.1.5:8480', 'stillroom', 'stillroom.local', 'pi.home.arpa', '[fe80::1]']) {
      expect([host, (await ask(port, { path: '/', headers: { Host: host } })).status]).toEqual([host, 200]);
    }
    for (const host of ['evil.example', 'local', 'stillroom.local.evil.example'].filter((one) => one.includes('.'))) {
      expect([host, (await ask(port, { path: '/', headers: { Host: host } })).status]).toEqual([host, 421]);
    }
  });

  it('takes orders from its own page only (cross-site requests)', async () => {
    const source = fakeSource();
    const { port } = await page.open({ source });
    const path = '/api/stills/orchard/orders';
    const strange: Record<string, string>[] = [
      { Origin: 'http://evil.example' },
      { Origin: 'null' },
      { Origin: `http://127.0.0.1:${port + 1}` },
      { Origin: `http://localhost:${port}` },
      { 'Sec-Fetch-Site': 'cross-site' },
      { 'Sec-Fetch-Site': 'same-site' },
      { 'Sec-Fetch-Site': 'none' },
    ];
    for (const headers of strange) {
      const { status } = await ask(port, { method: 'POST', path, body: hold, headers });
      expect([headers, status]).toEqual([headers, 403]);
    }
    expect(source.orders).toEqual([]);
    expect((await ask(port, { method: 'POST', path, body: hold })).status).toBe(200);
    expect(
      (await ask(port, { method: 'POST', path, body: hold, headers: { 'Sec-Fetch-Site': 'same-origin' } })).status,
    ).toBe(200);
  });

  it('refuses what a form of another site could send', async () => {
    const { port } = await page.open();
    for (const type of ['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data; boundary=x', '']) {
      const headers = { 'Content-Type': type };
      const { status } = await ask(port, { method: 'POST', path: '/api/stills/orchard/orders', body: hold, headers });
      expect([type, status]).toEqual([type, 415]);
    }
  });

  it('counts an order as given at the still from loopback, and as remote from behind a proxy', async () => {
    const source = fakeSource();
    const { port } = await page.open({ source, password: 'quince' });
    const path = '/api/stills/orchard/orders';
    const login = await ask(port, { method: 'POST', path: '/api/login', body: { password: 'quince' } });
    const Cookie = String(login.headers['set-cookie']).split(';')[0] ?? '';
    await ask(port, { method: 'POST', path, body: hold, headers: { Cookie } });
    for (const header of ['X-Forwarded-For', 'Forwarded', 'X-Real-IP', 'Via']) {
      await ask(port, { method: 'POST', path, body: hold, headers: { Cookie, [header]: '10.0.0.7' } });
    }
    expect(source.orders.map(([, from]) => from)).toEqual(['still', 'remote', 'remote', 'remote', 'remote']);
    const session = await ask(port, { path: '/api/session', headers: { Cookie } });
    expect(JSON.parse(session.body)).toMatchObject({ from: 'still', isIn: true });
  });

  it('lets nobody in through a proxy while there is no password', async () => {
    const source = fakeSource();
    const { port } = await page.open({ source });
    for (const path of ['/', '/api/session', '/api/live']) {
      const answer = await ask(port, { path, headers: { 'X-Forwarded-For': '10.0.0.7' } });
      expect([path, answer.status, answer.body]).toEqual([path, 403, expect.stringContaining('page.passwordFile')]);
    }
  });
});

describe('page server: bodies and methods', () => {
  it('refuses a body beyond 16 KiB, announced or not', async () => {
    const { port } = await page.open();
    const path = '/api/stills/orchard/orders';
    const long = JSON.stringify({ order: { order: 'note', id: 'page-0001', text: 'x'.repeat(17 * 1024) } });
    expect((await ask(port, { method: 'POST', path, body: long })).status).toBe(413);
    expect(
      (await ask(port, { method: 'POST', path, body: long, headers: { 'Transfer-Encoding': 'chunked' } })).status,
    ).toBe(413);
  });

  it('lists what is wrong with an order, field by field', async () => {
    const source = fakeSource();
    const { port } = await page.open({ source });
    const wrong: unknown[] = [
      {},
      { order: {} },
      { order: { order: 'hold' }, extra: 1 },
      { order: { order: 'dance', id: 'page-0001' } },
      { order: { order: 'start', id: 'page-0001', chargeL: 'much' } },
      { order: { order: 'acknowledge', id: 'page-0001', target: '../x' } },
      { order: { order: 'shelve', id: 'page-0001', target: 'dry-boil:boiler', forS: -1 } },
      { order: { order: 'hold', id: 'page-0001' }, seen: { phase: 7 } },
      [],
      null,
      7,
      'hold',
    ];
    for (const body of wrong) {
      const text = JSON.stringify(body);
      const answer = await ask(port, { method: 'POST', path: '/api/stills/orchard/orders', body: text });
      expect([text, answer.status]).toEqual([text, 400]);
      expect(JSON.parse(answer.body).why[0].length).toBeGreaterThan(5);
    }
    for (const text of ['', '{', '{"order":', '\u0000', '[1,2']) {
      const answer = await ask(port, { method: 'POST', path: '/api/stills/orchard/orders', body: text });
      expect([text, answer.status]).toEqual([text, 400]);
    }
    expect(source.orders).toEqual([]);
  });

  it('takes an alarm by its full name, the rule and what it stands for', async () => {
    const source = fakeSource();
    const { port } = await page.open({ source });
    const order = { order: 'acknowledge', id: 'page-0001', target: 'probe-lost:vapour-temp' };
    expect((await ask(port, { method: 'POST', path: '/api/stills/orchard/orders', body: { order } })).status).toBe(200);
    expect(source.orders[0]?.[0]).toEqual(order);
  });

  it('says which methods a place takes', async () => {
    const { port } = await page.open();
    const strange = ['PUT', 'DELETE', 'PATCH', 'OPTIONS', 'TRACE', 'PROPFIND'];
    for (const method of strange) {
      expect([method, (await ask(port, { method, path: '/' })).status]).toEqual([method, 405]);
      const answer = await ask(port, { method, path: '/api/runs' });
      expect([method, answer.status, answer.headers.allow]).toEqual([method, 405, 'GET']);
      expect(answer.headers['access-control-allow-origin']).toBe(undefined);
    }
    expect((await ask(port, { method: 'GET', path: '/api/stills/orchard/orders' })).status).toBe(405);
    expect((await ask(port, { method: 'HEAD', path: '/api/runs' })).body).toBe('');
    expect((await ask(port, { path: '/api/stills/nowhere/recipes' })).status).toBe(404);
  });

  it('says that something went wrong without saying what, writes it down, and goes on', async () => {
    const source = fakeSource({
      runs: () => {
        throw new Error('secret detail');
      },
    });
    const { port } = await page.open({ source });
    const answer = await ask(port, { path: '/api/runs' });
    expect(answer.status).toBe(500);
    expect(answer.body).not.toContain('secret detail');
    expect(JSON.stringify(page.logged)).toContain('secret detail');
    expect((await ask(port, { path: '/api/sheets' })).status).toBe(200);
  });

  it('lets one address ask only so often', async () => {
    const { port } = await page.open();
    const answers = await Promise.all(Array.from({ length: 120 }, () => ask(port, { path: '/api/runs' })));
    const refused = answers.filter(({ status }) => status === 429);
    expect(refused.length).toBeGreaterThan(20);
    expect(refused[0]?.headers['retry-after']).toBe('1');
    expect(answers.filter(({ status }) => status === 200).length).toBeGreaterThanOrEqual(60);
  });
});

describe('page server: opening', () => {
  const log = { info: () => undefined, warn: () => undefined, error: () => undefined };

  it('is never open to the network without a password', async () => {
    for (const host of ['0.0.0.0', '::', '192.168.1.5', 'stillroom']) {
      const opening = openPage({ host, port: 0, password: null, source: fakeSource(), log });
      await expect(opening).rejects.toThrow(/needs a password.*page\.passwordFile/);
    }
  });

  it('says so when the port is taken', async () => {
    const { port } = await page.open();
    const opening = openPage({ host: '127.0.0.1', port, password: null, source: fakeSource(), log });
    await expect(opening).rejects.toThrow(/cannot listen at 127\.0\.0\.1.*another program.*page\.port/);
  });

  it('tells its address', async () => {
    const { port, url } = await page.open();
    expect(url).toBe(`http://127.0.0.1:${port}/`);
    const six = await openPage({ host: '::1', port: 0, password: secretOf('perry'), source: fakeSource(), log });
    expect(six.url).toBe(`http://[::1]:${six.port}/`);
    await six.close();
  });
});
