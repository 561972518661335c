import { connect, type IClientOptions, type MqttClient } from 'mqtt';
import type { Device, Outgoing, Surroundings } from './types';

export interface BrokerAccess {
  readonly brokerUrl: string;
  readonly username?: string;
  readonly password?: string;
}

/** A device's own connection to the broker: each has one, for each has its own last will. */
export interface DeviceClient {
  readonly isConnected: boolean;
  send(messages: readonly Outgoing[]): void;
  /** Drops the connection without a word, as a power cut or a pulled cable does. */
  drop(): void;
  /** Comes back after `drop`. */
  comeBack(): Promise<void>;
  /** Says goodbye and ends. */
  end(): Promise<void>;
}

function optionsOf(device: Device, access: BrokerAccess, clientId: string): IClientOptions {
  const { will } = device;
  return {
    clientId,
    clean: true,
    keepalive: 20,
    reconnectPeriod: 500,
    connectTimeout: 5000,
    // What was said while nobody could hear is stale when they can.
    queueQoSZero: false,
    ...(access.username === undefined ? {} : { username: access.username }),
    ...(access.password === undefined ? {} : { password: access.password }),
    ...(will === null
      ? {}
      : { will: { topic: will.topic, payload: Buffer.from(will.payload), qos: 1, retain: will.retain === true } }),
  };
}

/** Small packets at once: Nagle's algorithm and delayed acknowledgement together cost tens of milliseconds. */
function sendAtOnce(client: MqttClient): void {
  const stream = client.stream as unknown as { setNoDelay?: (isOn: boolean) => void };
  stream.setNoDelay?.(true);
}

export async function connectDevice(
  device: Device,
  access: BrokerAccess,
  around: () => Surroundings,
  hear: (topic: string, payload: string) => void,
): Promise<DeviceClient> {
  const clientId = `${device.name}-${Math.floor(Math.random() * 1e9).toString(36)}`;
  let client: MqttClient | null = null;

  const send = (messages: readonly Outgoing[]): void => {
    if (client?.connected !== true) return;
    for (const { topic, payload, retain } of messages) {
      client.publish(topic, payload, { qos: 0, retain: retain === true });
    }
  };

  const start = (): Promise<void> =>
    new Promise((resolve, reject) => {
      const made = connect(access.brokerUrl, optionsOf(device, access, clientId));
      client = made;
      const giveUp = setTimeout(() => {
        made.end(true);
        reject(new Error(`The simulated device ${device.name} can't reach the broker at ${access.brokerUrl}`));
      }, 10_000);
      made.on('connect', () => {
        sendAtOnce(made);
        const arrived = (): void => {
          clearTimeout(giveUp);
          send(device.birth(around()));
          resolve();
        };
        if (device.hears.length === 0) arrived();
        else made.subscribe([...device.hears], { qos: 1 }, arrived);
      });
      made.on('message', (topic, payload, packet) => {
        // A command that was kept is an old one: no device acts on it.
        if (!packet.retain) hear(topic, payload.toString('utf8'));
      });
      made.on('error', () => {
        // A refused or lost connection is tried again; `giveUp` ends the first attempts.
      });
    });

  await start();
  return {
    get isConnected() {
      return client?.connected === true;
    },
    send,
    drop() {
      const gone = client;
      client = null;
      gone?.stream.destroy();
      gone?.end(true);
    },
    comeBack: start,
    async end() {
      const leaving = client;
      if (device.will !== null) send([device.will]);
      client = null;
      await leaving?.endAsync();
    },
  };
}
