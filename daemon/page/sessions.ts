import { createHmac, randomBytes, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';
import type { Secret } from '../config/secret';

export const cookieName = 'middlecut-session';

const mostSessions = 64;
/** Without a request a session ends after this, and after a week in any case [ms]. */
const idleMs = 12 * 3600 * 1000;
const longestMs = 7 * 24 * 3600 * 1000;

interface Session {
  readonly bornMs: number;
  usedMs: number;
}

/** Who is logged in; without a password everybody is. */
export interface Sessions {
  readonly needsPassword: boolean;
  isPassword(given: string): boolean;
  /** The token for the cookie. */
  begin(): string;
  knows(request: IncomingMessage): boolean;
  end(request: IncomingMessage): void;
}

export function createSessions(password: Secret | null, clockMs: () => number = () => performance.now()): Sessions {
  // Digests under a key of this process: of equal length for any password, and of no use to anybody who reads the memory.
  const key = randomBytes(32);
  const digest = (text: string) => createHmac('sha256', key).update(text).digest();
  const right = password === null ? null : digest(password.reveal());
  const sessions = new Map<string, Session>();
  const idOf = (token: string) => digest(token).toString('base64url');

  const find = (request: IncomingMessage): string | null => {
    const token = cookieOf(request);
    if (token === null) return null;
    const id = idOf(token);
    const session = sessions.get(id);
    if (session === undefined) return null;
    const nowMs = clockMs();
    if (nowMs - session.usedMs <= idleMs && nowMs - session.bornMs <= longestMs) return id;
    sessions.delete(id);
    return null;
  };

  return {
    needsPassword: right !== null,
    isPassword: (given) => right !== null && timingSafeEqual(digest(given), right),
    begin() {
      const token = randomBytes(32).toString('base64url');
      const nowMs = clockMs();
      sessions.set(idOf(token), { bornMs: nowMs, usedMs: nowMs });
      for (const oldest of sessions.keys()) if (sessions.size > mostSessions) sessions.delete(oldest);
      return token;
    },
    knows(request) {
      if (right === null) return true;
      const id = find(request);
      const session = id === null ? undefined : sessions.get(id);
      if (session === undefined) return false;
      session.usedMs = clockMs();
      return true;
    },
    end(request) {
      const id = find(request);
      if (id !== null) sessions.delete(id);
    },
  };
}

function cookieOf(request: IncomingMessage): string | null {
  for (const part of (request.headers.cookie ?? '').split(';')) {
    const [name, value] = part.trim().split('=', 2);
    if (name === cookieName && value !== undefined && /^[\w-]{43}$/.test(value)) return value;
  }
  return null;
}

/** The cookie as a header: for this page alone, and out of the reach of scripts. */
export function cookieHeader(token: string | null, request: IncomingMessage): string {
  const secure = request.headers['x-forwarded-proto'] === 'https' ? '; Secure' : '';
  const rest = `Path=/; HttpOnly; SameSite=Strict${secure}`;
  return token === null
    ? `${cookieName}=; ${rest}; Max-Age=0`
    : `${cookieName}=${token}; ${rest}; Max-Age=${longestMs / 1000}`;
}
