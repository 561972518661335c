import type { IncomingMessage } from 'node:http';
import { describe, expect, it } from 'vitest';
import { secretOf } from '../../daemon/config/secret';
import { createBuckets } from '../../daemon/page/limits';
import { addressKey } from '../../daemon/page/peer';
import { cookieName, createSessions } from '../../daemon/page/sessions';
import { type Answered, ask, fakeSource, pages, speak, until } from './page-fake';

const page = pages();
const password = 'quince & perry';
const login = (port: number, given: unknown, headers: Record<string, string> = {}) =>
  ask(port, { method: 'POST', path: '/api/login', body: { password: given }, headers });
const cookieOf = ({ headers }: Answered) => String(headers['set-cookie']).split(';')[0] ?? '';

describe('page: logging in', () => {
  it('gives nothing of the still to who has not logged in, and the empty page to everybody', async () => {
    const source = fakeSource();
    const { port } = await page.open({ password, source });
    expect((await ask(port, { path: '/' })).status).toBe(200);
    expect(JSON.parse((await ask(port, { path: '/api/session' })).body)).toMatchObject({
      needsPassword: true,
      isIn: false,
    });
    for (const path of ['/api/live', '/api/runs', '/api/runs/a', '/api/sheets', '/api/stills/orchard/trend']) {
      expect([path, (await ask(port, { path })).status]).toEqual([path, 401]);
    }
    const body = { order: { order: 'hold', id: 'page-0001' } };
    expect((await ask(port, { method: 'POST', path: '/api/stills/orchard/orders', body })).status).toBe(401);
    expect(source.orders).toEqual([]);
  });

  it('lets in with the password, until the logout', async () => {
    const { port } = await page.open({ password });
    const answer = await login(port, password);
    expect(answer.status).toBe(200);
    const set = String(answer.headers['set-cookie']);
    for (const part of ['HttpOnly', 'SameSite=Strict', 'Path=/']) expect(set).toContain(part);
    expect(set).not.toContain('Secure');
    const Cookie = cookieOf(answer);
    expect((await ask(port, { path: '/api/runs', headers: { Cookie } })).status).toBe(200);
    expect((await ask(port, { path: '/api/runs', headers: { Cookie: `a=b; ${Cookie}; c=d` } })).status).toBe(200);
    await ask(port, { method: 'POST', path: '/api/logout', body: {}, headers: { Cookie } });
    expect((await ask(port, { path: '/api/runs', headers: { Cookie } })).status).toBe(401);
  });

  it('marks the cookie for TLS where a proxy brought it', async () => {
    const { port } = await page.open({ password });
    const answer = await login(port, password, { 'X-Forwarded-Proto': 'https', 'X-Forwarded-For': '10.0.0.7' });
    expect(String(answer.headers['set-cookie'])).toContain('; Secure');
  });

  it('refuses wrong passwords and anything that is none', async () => {
    const { port } = await page.open({ password });
    for (const given of ['', 'quince', `${password} `, password.toUpperCase()]) {
      expect([given, (await login(port, given)).status]).toEqual([given, 403]);
    }
    const other = await page.open({ password });
    for (const given of [undefined, null, 7, ['quince'], { reveal: true }]) {
      expect([given, (await login(other.port, given)).status]).toEqual([given, 400]);
    }
    expect(JSON.stringify(page.logged)).not.toContain('quince');
  });

  it('slows guessing down, the right password too, and says for how long', async () => {
    const { port } = await page.open({ password });
    const tries = [];
    for (let i = 0; i < 8; i += 1) tries.push(await login(port, `guess ${i}`));
    expect(tries.map(({ status }) => status)).toEqual([403, 403, 403, 403, 403, 429, 429, 429]);
    const late = await login(port, password);
    expect(late.status).toBe(429);
    expect(Number(late.headers['retry-after'])).toBeGreaterThan(5);
    expect(late.body).toMatch(/wait \d+ s/);
  });

  it('slows those behind a proxy down without shutting out who is at the machine', async () => {
    const { port } = await page.open({ password });
    const far = { 'X-Forwarded-For': '10.0.0.7' };
    for (let i = 0; i < 6; i += 1) await login(port, `guess ${i}`, far);
    expect((await login(port, password, far)).status).toBe(429);
    expect((await login(port, password)).status).toBe(200);
  });

  it('makes up no session from a cookie that was never given', async () => {
    const { port } = await page.open({ password });
    const made = ['x', '', 'a'.repeat(43), `${'A'.repeat(42)}=`, '../../etc', '%00', 'a'.repeat(5000)];
    for (const value of made) {
      const { status } = await ask(port, { path: '/api/runs', headers: { Cookie: `${cookieName}=${value}` } });
      expect([value.slice(0, 10), status]).toEqual([value.slice(0, 10), 401]);
    }
  });

  it('ends the live view of a session that was logged out', async () => {
    const { port } = await page.open({ password, live: { beatMs: 30 } });
    const Cookie = cookieOf(await login(port, password));
    const socket = await speak(port, `GET /api/live HTTP/1.1\r\nHost: localhost\r\nCookie: ${Cookie}\r\n\r\n`);
    let heard = '';
    socket.on('data', (part) => {
      heard += part.toString();
    });
    await until('the first view', () => heard.includes('The orchard still'));
    await ask(port, { method: 'POST', path: '/api/logout', body: {}, headers: { Cookie } });
    await until('the end', () => socket.destroyed);
  });
});

const requestWith = (cookie: string) => ({ headers: { cookie: `${cookieName}=${cookie}` } }) as IncomingMessage;

describe('page: sessions', () => {
  it('end after twelve idle hours, and after a week in any case', () => {
    let nowMs = 0;
    const hourMs = 3600 * 1000;
    const sessions = createSessions(secretOf(password), () => nowMs);
    const idle = requestWith(sessions.begin());
    const used = requestWith(sessions.begin());
    for (let hour = 0; hour < 24 * 7; hour += 6) {
      nowMs = hour * hourMs;
      expect(sessions.knows(used)).toBe(true);
    }
    expect(sessions.knows(idle)).toBe(false);
    nowMs = (24 * 7 + 1) * hourMs;
    expect(sessions.knows(used)).toBe(false);
  });

  it('are bounded: the oldest goes', () => {
    const sessions = createSessions(secretOf(password));
    const first = requestWith(sessions.begin());
    const others = Array.from({ length: 64 }, () => requestWith(sessions.begin()));
    expect(sessions.knows(first)).toBe(false);
    expect(others.every((one) => sessions.knows(one))).toBe(true);
  });
});

describe('page: limits', () => {
  it('fill up again with time', () => {
    let nowMs = 0;
    const buckets = createBuckets(2, 1000, () => nowMs);
    expect([buckets.take('a'), buckets.take('a'), buckets.take('a')]).toEqual([true, true, false]);
    expect(buckets.waitS('a')).toBeCloseTo(1);
    expect(buckets.take('b')).toBe(true);
    nowMs = 999;
    expect(buckets.take('a')).toBe(false);
    nowMs = 1001;
    expect(buckets.take('a')).toBe(true);
    nowMs = 1e9;
    expect([buckets.take('a'), buckets.take('a'), buckets.take('a')]).toEqual([true, true, false]);
  });

  it('remember no more addresses than they have room for, the latest first', () => {
    const buckets = createBuckets(1, 1e9, () => 0);
    buckets.take('first');
    for (let i = 0; i < 998; i += 1) buckets.take(`stranger ${i}`);
    expect(buckets.take('first')).toBe(false);
    for (let i = 0; i < 1000; i += 1) buckets.take(`more ${i}`);
    expect(buckets.take('first')).toBe(true);
  });

  it('count an IPv6 network as one address, and IPv4 in IPv6 as itself', () => {
    expect(addressKey('::ffff:192.168.1.5')).toBe('192.168.1.5');
    expect(addressKey('::1')).toBe('::1');
    expect(addressKey('fe80::1%eth0')).toBe(addressKey('fe80::abcd:2'));
    expect(addressKey('2001:db8:1:2:3:4:5:6')).toBe(addressKey('2001:db8:1:2::9'));
    expect(addressKey('2001:db8:1:2::9')).not.toBe(addressKey('2001:db8:1:3::9'));
    expect(addressKey(undefined)).toBe('');
  });
});
