import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { EventEmitter } from 'node:events';
import { type AddressInfo, createServer as createTcpServer, type Server, type Socket } from 'node:net';
import { createServer as createTlsServer } from 'node:tls';
import type { Aedes, AedesOptions, AuthenticateError, Client } from 'aedes';
import { type Observable, Subject } from 'rxjs';
import type { LoadedEmbeddedBroker, LoadedUser } from '../config/broker-secrets';
import { secretOf } from '../config/secret';
import { guardedStream } from '../link/guarded-stream';
import type { LinkTarget } from '../link/session';
import { mayPublish, mayRetain, maySubscribe } from './permissions';
import { createRetainedBound } from './retained-store';

export type BrokerEvent =
  | { readonly kind: 'refused-login'; readonly client: string }
  | { readonly kind: 'refused-publish' | 'refused-subscription'; readonly client: string; readonly topic: string }
  | { readonly kind: 'too-much-retained'; readonly topic: string }
  | { readonly kind: 'client-trouble'; readonly client: string; readonly message: string };

/** The broker inside the daemon. */
export interface RunningBroker {
  readonly host: string;
  readonly port: number;
  /** How the daemon itself reaches it. */
  readonly target: LinkTarget;
  readonly events: Observable<BrokerEvent>;
  readonly close: () => Promise<void>;
}

export interface BrokerLimits {
  readonly maxPayloadBytes: number;
  readonly maxClients: number;
  readonly maxRetainedTopics: number;
  readonly maxRetainedBytes: number;
  readonly maxSubscriptionsAClient: number;
}

const usualLimits: BrokerLimits = {
  maxPayloadBytes: 65536,
  maxClients: 100,
  maxRetainedTopics: 5000,
  maxRetainedBytes: 32 << 20,
  maxSubscriptionsAClient: 1000,
};

/** The daemon's own name at its broker; a user cannot have it, since names of users have no capitals. */
const ownName = 'Middlecut';
const refusalDelayMs = 300;

async function loadAedes(): Promise<typeof Aedes> {
  try {
    return (await import('aedes')).Aedes;
  } catch (error) {
    throw new Error(
      'The embedded broker needs the optional package aedes: run npm install aedes, or set broker.url to a broker that is there already.',
      { cause: error },
    );
  }
}

function digest(text: string | Buffer): Buffer {
  return createHash('sha256').update(text).digest();
}

/** Who is at the other end: the daemon, a user, or anybody where no users are set up. */
type Visitor =
  | { readonly kind: 'own' }
  | { readonly kind: 'user'; readonly user: LoadedUser }
  | { readonly kind: 'anybody' };

interface Doorkeeper {
  readonly let: (username: string | undefined, password: Buffer | undefined) => Visitor | null;
}

function createDoorkeeper(users: readonly LoadedUser[], ownPassword: string): Doorkeeper {
  const own = digest(ownPassword);
  const known = new Map(users.map((user) => [user.name, { user, password: digest(user.password.reveal()) }]));
  return {
    let: (username, password) => {
      const given = digest(password ?? '');
      if (username === ownName) return timingSafeEqual(given, own) ? { kind: 'own' } : null;
      if (known.size === 0) return { kind: 'anybody' };
      const entry = known.get(username ?? '');
      return entry !== undefined && timingSafeEqual(given, entry.password) ? { kind: 'user', user: entry.user } : null;
    },
  };
}

function refusal(): AuthenticateError {
  return Object.assign(new Error('bad user name or password'), { returnCode: 4 as AuthenticateError['returnCode'] });
}

function rulesFor(
  config: LoadedEmbeddedBroker,
  limits: BrokerLimits,
  ownPassword: string,
  report: (event: BrokerEvent) => void,
): AedesOptions {
  const door = createDoorkeeper(config.users, ownPassword);
  const visitors = new WeakMap<Client, Visitor>();
  const subscriptions = new WeakMap<Client, number>();
  const retained = createRetainedBound(limits.maxRetainedTopics, limits.maxRetainedBytes);
  return {
    // Without a limit nothing queues inside: the queue is emptied by recursion, and a burst of some thousand would end the process.
    concurrency: 0,
    connectTimeout: 5000,
    drainTimeout: 10_000,
    maxInflightInbound: 20,
    preConnect: (_client, packet, done) => {
      // No session outlives its connection: what waits for an absent device would reach it too late, and without bound.
      packet.clean = true;
      done(null, true);
    },
    authenticate: (client, username, password, done) => {
      const visitor = door.let(username, password);
      if (visitor !== null) {
        visitors.set(client, visitor);
        done(null, true);
        return;
      }
      report({ kind: 'refused-login', client: client.id });
      setTimeout(() => done(refusal(), false), refusalDelayMs);
    },
    authorizePublish: (client, packet, done) => {
      const visitor = client === null ? undefined : visitors.get(client);
      const isAllowed =
        client === null ||
        visitor?.kind === 'own' ||
        (visitor?.kind === 'anybody'
          ? !packet.topic.startsWith('$')
          : visitor !== undefined && mayPublish(visitor.user, packet.topic));
      if (!isAllowed) {
        report({ kind: 'refused-publish', client: client?.id ?? '', topic: packet.topic });
        done(new Error('not allowed to publish there'));
        return;
      }
      if (packet.retain && !mayRetain(packet.topic)) packet.retain = false;
      if (packet.retain && !retained.admit(packet.topic, packet.payload.length)) {
        packet.retain = false;
        report({ kind: 'too-much-retained', topic: packet.topic });
      }
      done(null);
    },
    authorizeSubscribe: (client, subscription, done) => {
      const visitor = visitors.get(client);
      const count = (subscriptions.get(client) ?? 0) + 1;
      subscriptions.set(client, count);
      const isAllowed =
        visitor?.kind === 'own' ||
        (visitor?.kind === 'anybody'
          ? !subscription.topic.startsWith('$')
          : visitor !== undefined && maySubscribe(visitor.user, subscription.topic));
      if (isAllowed && count <= limits.maxSubscriptionsAClient) {
        done(null, subscription);
        return;
      }
      report({ kind: 'refused-subscription', client: client.id, topic: subscription.topic });
      done(null, null);
    },
  };
}

function listen(server: Server, host: string, port: number): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      const why = error.code === 'EADDRINUSE' ? 'something else listens there already' : error.message;
      reject(new Error(`The embedded broker cannot listen on ${host}, port ${port}: ${why}.`, { cause: error }));
    });
    server.listen(port, host, () => resolve((server.address() as AddressInfo).port));
  });
}

function closeServer(server: Server): Promise<void> {
  return new Promise((resolve) => server.close(() => resolve()));
}

/** Where the daemon finds a broker that listens on all addresses. */
function reachable(host: string): string {
  if (host === '0.0.0.0') return '127.0.0.1';
  return host === '::' ? '::1' : host;
}

/**
 * Starts the embedded broker.
 *
 * On loopback anybody on this machine may use it unless users are set up; everywhere else the configuration demands users. Payloads, kept
 * messages, clients and subscriptions are bounded; no session outlives its connection.
 *
 * @throws Error in words for people where the package is missing or the port is taken
 */
export async function startBroker(
  config: LoadedEmbeddedBroker,
  limits: BrokerLimits = usualLimits,
): Promise<RunningBroker> {
  const AedesBroker = await loadAedes();
  const events = new Subject<BrokerEvent>();
  const report = (event: BrokerEvent) => events.next(event);
  const ownPassword = randomBytes(24).toString('base64url');
  const broker = await AedesBroker.createBroker(rulesFor(config, limits, ownPassword, report));
  const trouble = (client: Client, error: Error) =>
    report({ kind: 'client-trouble', client: client.id ?? '', message: error.message });
  broker.on('clientError', trouble);
  broker.on('connectionError', trouble);
  // Unheard, an error of the broker itself would end the process.
  (broker as EventEmitter).on('error', (error: Error) =>
    report({ kind: 'client-trouble', client: '', message: error.message }),
  );
  const sockets = new Set<Socket>();
  const receive = (socket: Socket) => {
    sockets.add(socket);
    socket.once('close', () => sockets.delete(socket));
    socket.on('error', () => undefined);
    broker.handle(
      guardedStream(socket, {
        maxFrameBytes: limits.maxPayloadBytes + 2048,
        oversize: 'close',
        onSkipped: () => undefined,
      }),
    );
  };
  const open =
    config.tls === null ? createTcpServer(receive) : createTlsServer({ ...config.tls, minVersion: 'TLSv1.2' }, receive);
  // Behind TLS the daemon comes in by a door of its own, on loopback.
  const servers: Server[] = config.tls === null ? [open] : [open, createTcpServer(receive)];
  for (const server of servers) server.maxConnections = limits.maxClients;
  const close = async () => {
    const closed = servers.filter((server) => server.listening).map(closeServer);
    await new Promise<void>((resolve) => broker.close(() => resolve()));
    for (const socket of sockets) socket.destroy();
    await Promise.all(closed);
    events.complete();
  };
  try {
    const port = await listen(open, config.host, config.port);
    const ownDoor = servers[1];
    const own =
      ownDoor === undefined
        ? { host: reachable(config.host), port }
        : { host: '127.0.0.1', port: await listen(ownDoor, '127.0.0.1', 0) };
    const target: LinkTarget = { ...own, tls: null, username: ownName, password: secretOf(ownPassword) };
    return { host: config.host, port, target, events, close };
  } catch (error) {
    await close();
    throw error;
  }
}
