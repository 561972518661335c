import { mkdtempSync, rmSync } from 'node:fs';
import { connect, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt';
import { afterEach, describe, expect, it } from 'vitest';
import { type BrokerEvent, type RunningBroker, startBroker } from '../../daemon/broker';
import { secretOf } from '../../daemon/config';
import { openLink } from '../../daemon/link';
import { embeddedConfig, testUser } from '../tools/brokers';
import { makeCertificates } from '../tools/certificates';
import { freePort, until } from '../tools/mosquitto';
import { needs } from '../tools/need';

const users = [
  testUser('ada', 'operator', 'pear'),
  testUser('box', 'device', 'plum'),
  testUser('wall', 'reader', 'quince'),
];

/** First byte a listener answers to a CONNECT without TLS; 0x20 would be its acknowledgement. */
function answerToPlainConnect(port: number): Promise<number | null> {
  return new Promise((resolve) => {
    const socket = connect({ host: '127.0.0.1', port });
    socket.on('error', () => resolve(null));
    socket.once('data', (bytes) => resolve(bytes[0] ?? null));
    socket.once('close', () => resolve(null));
    socket.write(Buffer.from('101000044d5154540402003c000474657374', 'hex'));
  });
}

describe('embedded broker', () => {
  const cleanUp: (() => unknown)[] = [];
  afterEach(async () => {
    for (const clean of cleanUp.splice(0).reverse()) await clean();
  });
  async function start(
    ...args: Parameters<typeof startBroker>
  ): Promise<{ broker: RunningBroker; events: BrokerEvent[] }> {
    const broker = await startBroker(...args);
    cleanUp.push(broker.close);
    const events: BrokerEvent[] = [];
    broker.events.subscribe((event) => events.push(event));
    return { broker, events };
  }
  async function join_(port: number, options: IClientOptions = {}): Promise<MqttClient> {
    const client = await mqtt.connectAsync(`mqtt://127.0.0.1:${port}`, { reconnectPeriod: 0, ...options });
    client.on('error', () => undefined);
    cleanUp.push(() => client.endAsync(true));
    return client;
  }
  const as = (username: string, password: string): IClientOptions => ({ username, password });

  it('lets anybody on this machine in where no users are set up', async () => {
    const { broker } = await start(embeddedConfig(0));
    const client = await join_(broker.port);
    await client.publishAsync('probes/head', '78', { qos: 1 });
  });

  it('wants the password once there are users', async () => {
    const { broker, events } = await start(embeddedConfig(0, { users }));
    for (const options of [{}, as('ada', 'apple'), as('eve', 'pear'), as('ada', ''), as('Middlecut', 'pear')]) {
      await expect(join_(broker.port, options), JSON.stringify(options)).rejects.toThrow(/not authorized|Bad user/i);
    }
    expect(events.filter((event) => event.kind === 'refused-login').length).toBe(5);
    await join_(broker.port, as('ada', 'pear'));
  });

  it('keeps an operator from drives and a device from orders', async () => {
    const { broker, events } = await start(embeddedConfig(0, { users }));
    const heard: string[] = [];
    const witness = await join_(broker.port, as('wall', 'quince'));
    witness.on('message', (topic) => heard.push(topic));
    await witness.subscribeAsync('#');
    const tries = [
      ['ada', 'pear', 'middlecut/orchard/drive/heater/set'],
      ['box', 'plum', 'middlecut/orchard/order'],
      ['wall', 'quince', 'probes/head'],
    ] as const;
    for (const [name, password, topic] of tries) {
      const client = await join_(broker.port, as(name, password));
      const closed = new Promise<void>((resolve) => client.once('close', () => resolve()));
      client.publish(topic, 'x', { qos: 1 });
      await closed;
    }
    const ada = await join_(broker.port, as('ada', 'pear'));
    await ada.publishAsync('middlecut/orchard/order', 'hold', { qos: 1 });
    await until('the order', () => heard.includes('middlecut/orchard/order'));
    expect(heard).toEqual(['middlecut/orchard/order']);
    expect(
      events.filter((event) => event.kind === 'refused-publish').map((event) => 'topic' in event && event.topic),
    ).toEqual(tries.map(([, , topic]) => topic));
  });

  it('lets the daemon itself in, whatever the users', async () => {
    const { broker } = await start(embeddedConfig(0, { users }));
    const link = openLink({ target: broker.target, group: 'orchard', clientId: 'middlecut-orchard' });
    cleanUp.push(link.close);
    await until('online', () => link.status() === 'online');
    const device = await join_(broker.port, as('box', 'plum'));
    const heard: string[] = [];
    device.on('message', (_topic, payload) => heard.push(payload.toString()));
    await device.subscribeAsync('middlecut/orchard/drive/heater/set');
    link.command('middlecut/orchard/drive/heater/set', 'off', 1000);
    await until('the command', () => heard.length > 0);
  });

  it('keeps no command and no order, even if the sender asks for it', async () => {
    const { broker } = await start(embeddedConfig(0));
    const client = await join_(broker.port);
    await client.publishAsync('middlecut/orchard/drive/heater/set', 'on', { qos: 1, retain: true });
    await client.publishAsync('middlecut/orchard/order', 'start', { qos: 1, retain: true });
    await client.publishAsync('middlecut/orchard/phase', 'idle', { qos: 1, retain: true });
    const heard: string[] = [];
    const late = await join_(broker.port);
    late.on('message', (topic) => heard.push(topic));
    await late.subscribeAsync('middlecut/#');
    await until('what is kept', () => heard.length > 0);
    await new Promise((resolve) => setTimeout(resolve, 100));
    expect(heard).toEqual(['middlecut/orchard/phase']);
  });

  it('delivers nothing late to a device that was away, though it asked for a lasting session', async () => {
    const { broker } = await start(embeddedConfig(0));
    const lasting: IClientOptions = { clientId: 'box', clean: false };
    const before = await join_(broker.port, lasting);
    await before.subscribeAsync('cmnd/box/POWER1', { qos: 1 });
    await before.endAsync();
    const client = await join_(broker.port);
    await client.publishAsync('cmnd/box/POWER1', 'ON', { qos: 1 });
    const heard: string[] = [];
    const after = mqtt.connect(`mqtt://127.0.0.1:${broker.port}`, { ...lasting, reconnectPeriod: 0 });
    cleanUp.push(() => after.endAsync(true));
    after.on('message', (topic) => heard.push(topic));
    await new Promise((resolve) => after.once('connect', resolve));
    await new Promise((resolve) => setTimeout(resolve, 200));
    expect(heard).toEqual([]);
  });

  it('closes on a message past the limit, and bounds what it keeps', async () => {
    const limits = {
      maxPayloadBytes: 1000,
      maxClients: 10,
      maxRetainedTopics: 3,
      maxRetainedBytes: 10_000,
      maxSubscriptionsAClient: 5,
    };
    const { broker, events } = await start(embeddedConfig(0), limits);
    const large = await join_(broker.port);
    const closed = new Promise<void>((resolve) => large.once('close', () => resolve()));
    large.publish('probes/head', Buffer.alloc(1_000_000), { qos: 1 });
    await closed;
    const client = await join_(broker.port);
    for (let i = 0; i < 6; i += 1) await client.publishAsync(`kept/${i}`, 'x', { qos: 1, retain: true });
    expect(events.filter((event) => event.kind === 'too-much-retained').length).toBe(3);
    const granted = await Promise.all(
      Array.from({ length: 8 }, (_, i) =>
        client.subscribeAsync(`s/${i}`).then(
          () => true,
          () => false,
        ),
      ),
    );
    expect(granted.filter((one) => one).length).toBe(5);
  });

  it('survives strangers that speak no MQTT', async () => {
    const { broker } = await start(embeddedConfig(0));
    const sockets: Socket[] = [];
    for (const bytes of [
      Buffer.from('GET / HTTP/1.1\r\n\r\n'),
      Buffer.alloc(4000, 0xff),
      Buffer.from([0x10, 0x02, 0, 0]),
      Buffer.alloc(0),
      Buffer.from([0x30, 0x05, 0, 1]),
    ]) {
      const socket = connect({ host: '127.0.0.1', port: broker.port });
      socket.on('error', () => undefined);
      socket.write(bytes);
      sockets.push(socket);
    }
    await new Promise((resolve) => setTimeout(resolve, 200));
    const client = await join_(broker.port);
    await client.publishAsync('probes/head', '78', { qos: 1 });
    for (const socket of sockets) socket.destroy();
  });

  it('stands a burst whose only listener leaves in the middle of it', async () => {
    const { broker } = await start(embeddedConfig(0));
    const sender = await join_(broker.port);
    for (let round = 0; round < 5; round += 1) {
      const listener = await join_(broker.port);
      const first = new Promise<void>((resolve) => listener.once('message', () => resolve()));
      await listener.subscribeAsync('burst');
      // Small messages: thousands of them are read at once and wait inside the broker.
      for (let i = 0; i < 100; i += 1) {
        for (let j = 0; j < 100; j += 1) sender.publish('burst', '7');
        await new Promise((resolve) => setImmediate(resolve));
      }
      await first;
      listener.stream.destroy();
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
    const client = await join_(broker.port);
    await client.publishAsync('probes/head', '78', { qos: 1 });
  });

  it('says in words that its port is taken', async () => {
    const { broker } = await start(embeddedConfig(0));
    await expect(startBroker(embeddedConfig(broker.port))).rejects.toThrow(/something else listens there/);
  });

  it('ends at once although clients are connected', async () => {
    const port = await freePort();
    const broker = await startBroker(embeddedConfig(port));
    await join_(port);
    const from = Date.now();
    await broker.close();
    expect(Date.now() - from).toBeLessThan(2000);
    await expect(
      mqtt.connectAsync(`mqtt://127.0.0.1:${port}`, { reconnectPeriod: 0, connectTimeout: 500 }),
    ).rejects.toThrow();
  });

  describe.skipIf(!needs('openssl'))('with TLS', () => {
    it('speaks TLS to the network and lets the daemon in by its own door', async () => {
      const folder = mkdtempSync(join(tmpdir(), 'middlecut-tls-'));
      cleanUp.push(() => rmSync(folder, { recursive: true }));
      const { ca, cert, key } = makeCertificates(folder);
      const { broker } = await start(embeddedConfig(0, { users, tls: { cert, key } }));
      const client = await mqtt.connectAsync(`mqtts://localhost:${broker.port}`, {
        reconnectPeriod: 0,
        ca,
        username: 'ada',
        password: 'pear',
      });
      cleanUp.push(() => client.endAsync(true));
      const link = openLink({ target: broker.target, group: 'orchard', clientId: 'middlecut-orchard' });
      cleanUp.push(link.close);
      await until('the daemon', () => link.status() === 'online');
      expect(await answerToPlainConnect(broker.port)).not.toBe(0x20);
      const outside = openLink({
        target: {
          ...broker.target,
          port: broker.port,
          username: 'ada',
          password: secretOf('pear'),
          host: '127.0.0.1',
          tls: { ca, cert: null, key: null },
        },
        group: 'other',
        clientId: 'x',
      });
      cleanUp.push(outside.close);
      await new Promise((resolve) => setTimeout(resolve, 300));
      // An operator's account is no daemon's: it may not say that it is online.
      expect(outside.status()).not.toBe('online');
    });
  });
});
