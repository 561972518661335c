import { createServer, type Server } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';
import { hostname } from 'node:os';
import { isLoopback } from '../config/network-checks';
import { loadAssets } from './assets';
import { answer, type Desk, type PageOptions } from './gate';
import { createBuckets } from './limits';
import { createLive } from './live';
import { addressKey } from './peer';
import { routesOf } from './routes';
import { createSessions } from './sessions';

export interface Page {
  readonly port: number;
  readonly url: string;
  /** After a turn of a still: its view has changed. */
  changed(still: string): void;
  close(): Promise<void>;
}

/** Connections at the most, and of those from other machines, so that they cannot shut out who stands at the still. */
const mostConnections = 160;
const mostRemote = 128;
const mostRemoteEach = 24;

/**
 * Opens the page for the stillroom: plain HTTP, files read once, live views by server-sent events.
 *
 * @returns once it listens; rejects where it cannot, or where it would be open to the network without a password
 */
export async function openPage(options: PageOptions): Promise<Page> {
  const { host, password, source } = options;
  if (!isLoopback(host) && password === null) {
    throw new Error(
      `the page is not opened at ${host}: it needs a password there. Set page.passwordFile, or keep to 127.0.0.1.`,
    );
  }
  const desk: Desk = {
    options,
    closed: isLoopback(host) && password === null,
    assets: loadAssets(options.folder),
    sessions: createSessions(password),
    live: createLive({ source, complain: complainTo(options.log), ...options.live }),
    routes: routesOf(source),
    // Five tries at once, then one in fifteen seconds; strangers all together one a second.
    logins: createBuckets(5, 15_000),
    strangers: createBuckets(60, 1000),
    calls: createBuckets(60, 50),
  };
  const server = createServer(
    {
      maxHeaderSize: 8192,
      headersTimeout: 10_000,
      requestTimeout: 15_000,
      keepAliveTimeout: 10_000,
      connectionsCheckingInterval: 5000,
    },
    (request, response) => void answer(desk, request, response),
  );
  guardConnections(server);
  await listen(server, options);
  const { port } = server.address() as AddressInfo;
  const shown = /^(0\.0\.0\.0|::)$/.test(host)
    ? hostname()
    : host.includes(':') && !host.startsWith('[')
      ? `[${host}]`
      : host;
  return {
    port,
    url: `http://${shown}:${port}/`,
    changed: (still) => desk.live.changed(still),
    close() {
      desk.live.close();
      const over = new Promise<void>((resolve) => server.close(() => resolve()));
      server.closeAllConnections();
      return over;
    },
  };
}

/** One fault of the same words a minute: a view is made every second. */
function complainTo(log: PageOptions['log']): (error: unknown) => void {
  const faults = createBuckets(1, 60_000);
  return (error) => {
    const what = error instanceof Error ? error.message : String(error);
    if (faults.take(what)) log.error({ stack: error instanceof Error ? error.stack : null }, `the page: ${what}`);
  };
}

function listen(server: Server, { host, port }: PageOptions): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      const why = error.code === 'EADDRINUSE' ? 'another program listens there' : (error.code ?? error.message);
      reject(
        new Error(`the page cannot listen at ${host}, port ${port}: ${why}. Change page.host or page.port.`, {
          cause: error,
        }),
      );
    });
    server.listen(port, host.replace(/^\[|\]$/g, ''), resolve);
  });
}

/** Bounds what connections may cost: how many, from whom, and what they say before they are understood. */
function guardConnections(server: Server): void {
  server.maxConnections = mostConnections;
  const byAddress = new Map<string, number>();
  let remote = 0;
  server.on('connection', (socket: Socket) => {
    socket.on('error', () => socket.destroy());
    const key = addressKey(socket.remoteAddress);
    if (isLoopback(key)) return;
    const count = byAddress.get(key) ?? 0;
    if (remote >= mostRemote || count >= mostRemoteEach) {
      socket.destroy();
      return;
    }
    remote += 1;
    byAddress.set(key, count + 1);
    socket.on('close', () => {
      remote -= 1;
      const left = (byAddress.get(key) ?? 1) - 1;
      if (left > 0) byAddress.set(key, left);
      else byAddress.delete(key);
    });
  });
  server.on('clientError', (error: NodeJS.ErrnoException, socket) => {
    if (error.code !== 'ECONNRESET' && socket.writable) {
      const status = error.code === 'HPE_HEADER_OVERFLOW' ? '431 Request Header Fields Too Large' : '400 Bad Request';
      socket.write(`HTTP/1.1 ${status}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n`);
    }
    socket.destroy();
  });
}
