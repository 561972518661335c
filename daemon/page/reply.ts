import type { IncomingMessage, ServerResponse } from 'node:http';
import { type Problem, showProblem } from '../../lib/problems';

/** A request we do not carry out, with what the page shows people. */
export class Refusal extends Error {
  readonly status: number;
  readonly headers: Readonly<Record<string, string>>;

  constructor(status: number, message: string, headers: Readonly<Record<string, string>> = {}) {
    super(message);
    this.name = 'Refusal';
    this.status = status;
    this.headers = headers;
  }
}

/** Everything on the page comes from here, nothing runs inline, nobody may frame it. */
const pagePolicy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self'",
  "connect-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'self'",
  "frame-ancestors 'none'",
  "require-trusted-types-for 'script'",
].join('; ');

/** A report brings its styles and plots inside it, and nothing that runs. */
export const reportPolicy = [
  "default-src 'none'",
  "style-src 'unsafe-inline'",
  'img-src data:',
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
  'sandbox',
].join('; ');

export function securityHeaders(policy: string = pagePolicy): Record<string, string> {
  return {
    'Content-Security-Policy': policy,
    'Cross-Origin-Opener-Policy': 'same-origin',
    'Cross-Origin-Resource-Policy': 'same-origin',
    'Permissions-Policy': 'camera=(), geolocation=(), microphone=(), payment=(), usb=()',
    'Referrer-Policy': 'no-referrer',
    'X-Content-Type-Options': 'nosniff',
    'X-Frame-Options': 'DENY',
  };
}

export function send(
  response: ServerResponse,
  status: number,
  type: string,
  body: string | Uint8Array,
  headers: Readonly<Record<string, string>> = {},
): void {
  if (response.headersSent || response.destroyed) return;
  const bytes = typeof body === 'string' ? Buffer.from(body) : body;
  response.writeHead(status, {
    ...securityHeaders(),
    'Cache-Control': 'no-store',
    'Content-Type': type,
    'Content-Length': bytes.byteLength,
    ...headers,
  });
  response.end(response.req.method === 'HEAD' ? undefined : bytes);
}

export function sendJson(
  response: ServerResponse,
  status: number,
  body: unknown,
  headers: Readonly<Record<string, string>> = {},
): void {
  send(response, status, 'application/json; charset=utf-8', JSON.stringify(body), headers);
}

export function sendRefusal(response: ServerResponse, { status, message, headers }: Refusal): void {
  sendJson(response, status, { why: [message] }, headers);
}

export function refuseProblems(problems: readonly Problem[]): never {
  throw new Refusal(400, problems.slice(0, 20).map(showProblem).join('\n'));
}

export const mostBodyBytes = 16 * 1024;

/** Reads the JSON body of a request, within its bound; anything else is refused before it is kept. */
export async function readJson(request: IncomingMessage): Promise<unknown> {
  if (!/^application\/json(;\s*charset=utf-8)?$/i.test(request.headers['content-type'] ?? '')) {
    throw new Refusal(415, 'send application/json');
  }
  if (Number(request.headers['content-length'] ?? 0) > mostBodyBytes) throw tooLarge;
  const parts: Buffer[] = [];
  let bytes = 0;
  for await (const part of request as AsyncIterable<Buffer>) {
    bytes += part.byteLength;
    if (bytes > mostBodyBytes) throw tooLarge;
    parts.push(part);
  }
  try {
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(Buffer.concat(parts))) as unknown;
  } catch {
    throw new Refusal(400, 'this is no valid JSON');
  }
}

// The rest of such a body is not read: the connection ends with the answer.
const tooLarge = new Refusal(413, `a body is at most ${mostBodyBytes} bytes`, { Connection: 'close' });
