import type { IncomingMessage } from 'node:http';
import { isIP } from 'node:net';
import { hostname } from 'node:os';
import { isLoopback } from '../config/network-checks';
import type { Place } from './source';

/** An address as we compare it: IPv4 out of its IPv6 wrapping, the network of an IPv6 address instead of its hosts. */
export function addressKey(address: string | undefined): string {
  const plain = (address ?? '').replace(/^::ffff:/i, '').replace(/%.*$/, '');
  if (isIP(plain) !== 6 || plain === '::1') return plain;
  const [head = '', tail = ''] = plain.split('::');
  const left = head === '' ? [] : head.split(':');
  const right = tail === '' ? [] : tail.split(':');
  const gap = plain.includes('::') ? Array.from({ length: 8 - left.length - right.length }, () => '0') : [];
  return [...left, ...gap, ...right].slice(0, 4).join(':');
}

const forwardedBy = ['forwarded', 'x-forwarded-for', 'x-real-ip', 'via', 'cf-connecting-ip'] as const;

/** Somebody at this machine, or behind a proxy on it or elsewhere: only the first is at the still. */
export function placeOf(request: IncomingMessage): Place {
  const proxied = forwardedBy.some((header) => request.headers[header] !== undefined);
  return !proxied && isLoopback(addressKey(request.socket.remoteAddress)) ? 'still' : 'remote';
}

/** The host a request names, without its port; null where it is no host. */
function hostOf(header: string | undefined): string | null {
  const found = /^(\[[0-9a-f:.]+\]|[a-z0-9._-]{1,253})(?::\d{1,5})?$/i.exec(header ?? '');
  return found?.[1]?.toLowerCase() ?? null;
}

/** Names that no stranger can let point at us: addresses, this machine's own, and those that only the local network knows. */
function isOwnName(host: string): boolean {
  if (isLoopback(host) || isIP(host.replace(/^\[|\]$/g, '')) !== 0) return true;
  if (!host.includes('.') || host === hostname().toLowerCase()) return true;
  return /\.(local|lan|internal|localhost|home\.arpa)$/.test(host);
}

/**
 * Whether the Host header is one of ours: a page of a stranger whose name was made to point here (DNS rebinding) names itself.
 *
 * @param closed bound to loopback and without a password: then only loopback names count
 */
export function isOurHost(request: IncomingMessage, closed: boolean): boolean {
  const host = hostOf(request.headers.host);
  if (host === null) return false;
  return closed ? isLoopback(host) : isOwnName(host);
}

/**
 * Whether a request that changes something comes from our own page: browsers say so by Sec-Fetch-Site where they can, and
 * by Origin always. One that says neither is none of a browser's, and none of ours.
 */
export function isOwnOrigin(request: IncomingMessage): boolean {
  const site = request.headers['sec-fetch-site'];
  if (site !== undefined) return site === 'same-origin';
  const { origin, host } = request.headers;
  if (origin === undefined || host === undefined) return false;
  return (
    origin.toLowerCase() === `http://${host}`.toLowerCase() || origin.toLowerCase() === `https://${host}`.toLowerCase()
  );
}

/** Whether another site's page asks: it could not read the answer, but it shall not keep us busy either. */
export function isForeign(request: IncomingMessage): boolean {
  const site = request.headers['sec-fetch-site'];
  return site === 'cross-site' || site === 'same-site';
}
