import { connect as connectTcp, isIP, type Socket } from 'node:net';
import { connect as connectTls } from 'node:tls';
import { MqttClient } from 'mqtt';
import type { Secret } from '../config/secret';
import type { Oversize } from './frame-guard';
import { guardedStream } from './guarded-stream';

/** Where the broker is and how it is spoken to. */
export interface LinkTarget {
  readonly host: string;
  readonly port: number;
  readonly tls: { readonly ca: string | null; readonly cert: string | null; readonly key: string | null } | null;
  readonly username: string | null;
  readonly password: Secret | null;
}

export interface SessionOptions {
  readonly target: LinkTarget;
  readonly clientId: string;
  readonly will: { readonly topic: string; readonly payload: string } | null;
  readonly maxFrameBytes: number;
  readonly onMessage: (topic: string, payload: Buffer, retained: boolean) => void;
  readonly onSkipped: (message: Oversize) => void;
  /** Called once, after the session ended for whatever reason but our own end(). */
  readonly onEnd: (why: string) => void;
  /** Called with every packet of the broker, whatever it is. */
  readonly onHeard?: () => void;
  readonly connectTimeoutMs?: number;
}

export interface Session {
  /** Resolves when the broker has accepted us, rejects when it has not. */
  readonly accepted: Promise<void>;
  /** Subscribes; resolves with the topics that were refused, rejects when the connection ends meanwhile. */
  readonly subscribe: (
    topics: readonly { readonly topic: string; readonly qos: 0 | 1 }[],
  ) => Promise<readonly string[]>;
  readonly unsubscribe: (topic: string) => void;
  readonly publish: (
    topic: string,
    payload: string,
    qos: 0 | 1,
    retain: boolean,
    done: (error?: Error | null) => void,
  ) => void;
  /** Breaks the connection; nothing that has not left by now will. */
  readonly breakOff: (why: string) => void;
  /** Says goodbye: no last will. */
  readonly end: () => Promise<void>;
}

/**
 * Gives up a socket with all that the system still holds of it. Closed in the usual way it would go on trying to deliver what was
 * written, and a command could arrive a minute late over a link that has come back.
 */
function discard(socket: Socket): void {
  if (!socket.destroyed) socket.resetAndDestroy();
}

/** The socket, and the plain one below it where it is encrypted. */
function openSocket(target: LinkTarget): { readonly socket: Socket; readonly plain: Socket } {
  const { host, port, tls } = target;
  const plain = connectTcp({ host, port });
  if (tls === null) return { socket: plain, plain };
  const socket = connectTls({
    socket: plain,
    rejectUnauthorized: true,
    ...(isIP(host) === 0 ? { servername: host } : {}),
    ...(tls.ca === null ? {} : { ca: tls.ca }),
    ...(tls.cert === null ? {} : { cert: tls.cert }),
    ...(tls.key === null ? {} : { key: tls.key }),
  });
  return { socket, plain };
}

/** Seconds after which a broker takes a silent client for dead is half as much again. */
const keepAliveS = 10;

function clientFor(options: SessionOptions): { readonly client: MqttClient; readonly giveUp: () => void } {
  const { target, will } = options;
  let plain: Socket | null = null;
  const build = () => {
    const opened = openSocket(target);
    plain = opened.plain;
    return guardedStream(opened.socket, {
      maxFrameBytes: options.maxFrameBytes,
      oversize: 'skip',
      onSkipped: options.onSkipped,
    });
  };
  const giveUp = () => {
    if (plain !== null) discard(plain);
  };
  const client = new MqttClient(build as never, {
    protocolId: 'MQTT',
    protocolVersion: 4,
    clientId: options.clientId,
    clean: true,
    keepalive: keepAliveS,
    // A session is used once: nothing unacknowledged is carried over to a later one.
    reconnectPeriod: 0,
    resubscribe: false,
    queueQoSZero: false,
    connectTimeout: options.connectTimeoutMs ?? 5000,
    ...(target.username === null ? {} : { username: target.username }),
    ...(target.password === null ? {} : { password: target.password.reveal() }),
    ...(will === null ? {} : { will: { topic: will.topic, payload: Buffer.from(will.payload), qos: 1, retain: true } }),
  });
  return { client, giveUp };
}

/** Resolves with the topics the broker refused: return code 0x80 (MQTT 3.1.1, section 3.9.3). */
function subscribeAll(client: MqttClient, topics: readonly string[], qos: 0 | 1): Promise<readonly string[]> {
  if (topics.length === 0) return Promise.resolve([]);
  return new Promise((resolve, reject) => {
    client.subscribe([...topics], { qos }, (error) => {
      const granted = (error as { readonly packet?: { readonly granted?: readonly number[] } } | null)?.packet?.granted;
      if (error === null) resolve([]);
      else if (granted === undefined) reject(error);
      else resolve(topics.filter((_, at) => ((granted[at] ?? 0) & 0x80) !== 0));
    });
  });
}

/** One connection to the broker, from CONNECT to its end. */
export function openSession(options: SessionOptions): Session {
  const { client, giveUp } = clientFor(options);
  let why = 'the broker closed the connection';
  let isEnded = false;
  const finish = () => {
    if (isEnded) return;
    isEnded = true;
    giveUp();
    client.end(true);
    options.onEnd(why);
  };
  const accepted = new Promise<void>((resolve, reject) => {
    client.once('connect', () => resolve());
    client.once('close', () => reject(new Error(why)));
  });
  accepted.catch(() => undefined);
  client.on('error', (error) => {
    why = error.message === '' ? String((error as NodeJS.ErrnoException).code ?? 'no connection') : error.message;
    giveUp();
    client.stream.destroy();
  });
  client.on('close', () => {
    giveUp();
    finish();
  });
  client.on('packetreceive', () => options.onHeard?.());
  client.on('message', (topic, payload, packet) => options.onMessage(topic, payload, packet.retain));
  return {
    accepted,
    subscribe: async (topics) => {
      // First those of QoS 1, absences among them: a kept reading is judged by them.
      const byQos = ([1, 0] as const).map((qos) => ({
        qos,
        names: topics.filter((one) => one.qos === qos).map(({ topic }) => topic),
      }));
      const refused = await Promise.all(byQos.map(({ qos, names }) => subscribeAll(client, names, qos)));
      return refused.flat();
    },
    unsubscribe: (topic) => client.unsubscribe(topic, () => undefined),
    publish: (topic, payload, qos, retain, done) =>
      client.publish(topic, payload, { qos, retain }, (error) => done(error ?? null)),
    breakOff: (reason) => {
      why = reason;
      giveUp();
      client.stream.destroy();
    },
    end: async () => {
      isEnded = true;
      await Promise.race([client.endAsync(), new Promise((resolve) => setTimeout(resolve, 2000).unref())]);
      client.end(true);
    },
  };
}
