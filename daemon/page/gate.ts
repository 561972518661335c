import type { IncomingMessage, ServerResponse } from 'node:http';
import { isLoopback } from '../config/network-checks';
import type { Secret } from '../config/secret';
import type { HostLog } from '../host/host';
import { type Assets, sendAsset } from './assets';
import { bodies, parseBody } from './bodies';
import type { Buckets } from './limits';
import type { Live, LiveOptions } from './live';
import { addressKey, isForeign, isOurHost, isOwnOrigin, placeOf } from './peer';
import { Refusal, readJson, sendJson, sendRefusal } from './reply';
import type { Route } from './routes';
import { cookieHeader, type Sessions } from './sessions';
import type { PageSource } from './source';

export interface PageOptions {
  readonly host: string;
  /** 0 for any that is free. */
  readonly port: number;
  /** Needed for anything but loopback. */
  readonly password: Secret | null;
  readonly source: PageSource;
  readonly log: HostLog;
  /** How the page shows temperatures, and in which language. */
  readonly showing?: { readonly language: string; readonly temperatures: 'C' | 'F' };
  /** Folder of the page's files; the one beside this program if left out. */
  readonly folder?: string;
  /** For tests of slow readers. */
  readonly live?: Partial<Omit<LiveOptions, 'source'>>;
}

/** All that answering needs. */
export interface Desk {
  readonly options: PageOptions;
  readonly closed: boolean;
  readonly assets: Assets;
  readonly sessions: Sessions;
  readonly live: Live;
  readonly routes: readonly Route[];
  readonly logins: Buckets;
  readonly strangers: Buckets;
  readonly calls: Buckets;
}

/** Answers a request, whatever it is; nothing thrown here reaches the engine. */
export async function answer(desk: Desk, request: IncomingMessage, response: ServerResponse): Promise<void> {
  try {
    await serve(desk, request, response);
  } catch (error) {
    if (error instanceof Refusal) sendRefusal(response, error);
    else if (request.destroyed && !request.complete) response.destroy();
    else {
      desk.options.log.error(
        { error: error instanceof Error ? error.stack : String(error) },
        'the page could not answer',
      );
      sendRefusal(response, new Refusal(500, 'something went wrong here; the still runs on'));
    }
  }
}

async function serve(desk: Desk, request: IncomingMessage, response: ServerResponse): Promise<void> {
  if (!isOurHost(request, desk.closed)) throw new Refusal(421, 'this is not the name of this page');
  // Without a password whoever comes through a proxy would be let in, from wherever.
  if (desk.closed && placeOf(request) === 'remote') {
    throw new Refusal(403, 'behind a proxy this page needs a password: set page.passwordFile');
  }
  const url = urlOf(request.url);
  const method = request.method === 'HEAD' ? 'GET' : request.method;
  if (!url.pathname.startsWith('/api/')) {
    if (method !== 'GET') throw new Refusal(405, 'files are only read', { Allow: 'GET, HEAD' });
    if (!sendAsset(desk.assets, url.pathname, request, response)) throw new Refusal(404, 'there is nothing here');
    return;
  }
  if (isForeign(request)) throw new Refusal(403, 'another site has no business here');
  if (method === 'POST' && !isOwnOrigin(request)) throw new Refusal(403, 'orders are given from the page itself');
  if (await session(desk, url.pathname, request, response)) return;
  if (!desk.sessions.knows(request)) throw new Refusal(401, 'log in first');
  const who = addressKey(request.socket.remoteAddress);
  if (!desk.calls.take(who)) throw new Refusal(429, 'too many at once', { 'Retry-After': '1' });
  if (url.pathname === '/api/live' && request.method === 'GET') {
    desk.live.open(response, () => desk.sessions.knows(request));
    return;
  }
  await route(desk, method, url, request, response);
}

/** The path and query of a request; anything that is no plain path of ours is refused. */
function urlOf(target: string | undefined): URL {
  if (target === undefined || !target.startsWith('/') || target.startsWith('//')) {
    throw new Refusal(400, 'this is no path');
  }
  try {
    return new URL(target, 'http://page.invalid');
  } catch {
    throw new Refusal(400, 'this is no path');
  }
}

async function route(
  desk: Desk,
  method: string | undefined,
  url: URL,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const known = desk.routes.filter((one) => one.path.test(url.pathname));
  if (known.length === 0) throw new Refusal(404, 'there is nothing here');
  const fitting = known.find((one) => one.method === method);
  if (fitting === undefined)
    throw new Refusal(405, 'not in this way', { Allow: known.map((one) => one.method).join(', ') });
  const parts = fitting.path.exec(url.pathname)?.slice(1) ?? [];
  await fitting.answer({ request, response, url, parts, from: placeOf(request) });
}

/** Logging in and out, and how things stand with it; true where that was asked. */
async function session(desk: Desk, path: string, request: IncomingMessage, response: ServerResponse): Promise<boolean> {
  const { sessions, options } = desk;
  if (path === '/api/session' && (request.method === 'GET' || request.method === 'HEAD')) {
    const { language = 'en', temperatures = 'C' } = options.showing ?? {};
    const { needsPassword } = sessions;
    sendJson(response, 200, {
      needsPassword,
      isIn: sessions.knows(request),
      from: placeOf(request),
      language,
      temperatures,
    });
    return true;
  }
  if (path === '/api/login' && request.method === 'POST') {
    await login(desk, request, response);
    return true;
  }
  if (path === '/api/logout' && request.method === 'POST') {
    sessions.end(request);
    sendJson(response, 200, {}, { 'Set-Cookie': cookieHeader(null, request) });
    return true;
  }
  return false;
}

async function login(
  { sessions, logins, strangers, options }: Desk,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const isHere = placeOf(request) === 'still';
  const address = addressKey(request.socket.remoteAddress);
  // Those behind a proxy on this machine share its address, but not with who stands at it.
  const who = !isHere && isLoopback(address) ? 'proxy' : address;
  // Guessing from many addresses is slowed down together, without shutting out who stands at the machine.
  if (!logins.take(who) || (!isHere && !strangers.take('all'))) {
    const waitS = Math.ceil(Math.max(logins.waitS(who), isHere ? 0 : strangers.waitS('all'), 1));
    throw new Refusal(429, `too many tries: wait ${waitS} s`, { 'Retry-After': String(waitS) });
  }
  const { password } = parseBody(bodies.login, await readJson(request));
  if (!sessions.isPassword(password)) {
    options.log.warn({ from: who }, 'a wrong password was given at the page');
    throw new Refusal(403, 'this is not the password');
  }
  sendJson(response, 200, {}, { 'Set-Cookie': cookieHeader(sessions.begin(), request) });
}
