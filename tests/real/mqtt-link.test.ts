import { spawnSync } from 'node:child_process';
import { performance } from 'node:perf_hooks';
import mqtt from 'mqtt';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Link, type LinkEvent, type Message, openLink } from '../../daemon/link';
import { plainTarget, startEmbedded, startReal, type TestBroker } from '../tools/brokers';
import { until } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { startTcpProxy } from '../tools/tcp-proxy';

const kinds = [
  { name: 'Mosquitto', start: startReal, present: needs('mosquitto') },
  { name: 'the embedded broker', start: startEmbedded, present: true },
];

for (const kind of kinds) {
  describe.skipIf(!kind.present)(`link to ${kind.name}`, () => {
    let broker: TestBroker;
    const cleanUp: (() => Promise<unknown> | undefined)[] = [];
    beforeEach(async () => {
      broker = await kind.start();
      cleanUp.push(broker.remove);
    });
    afterEach(async () => {
      for (const clean of cleanUp.splice(0).reverse()) await clean();
    });

    function open(group = 'orchard', port = broker.port): { link: Link; events: LinkEvent[] } {
      const link = openLink({
        target: plainTarget(port),
        group,
        clientId: `middlecut-${group}`,
        firstRetryMs: 50,
        lastRetryMs: 200,
      });
      const events: LinkEvent[] = [];
      link.events.subscribe((event) => events.push(event));
      cleanUp.push(link.close);
      return { link, events };
    }
    async function watch(topic: string) {
      const client = mqtt.connect(`mqtt://127.0.0.1:${broker.port}`, { reconnectPeriod: 100 });
      cleanUp.push(() => client.endAsync(true));
      const heard: { topic: string; text: string; retained: boolean; qos: number }[] = [];
      client.on('message', (where, payload, packet) =>
        heard.push({ topic: where, text: payload.toString(), retained: packet.retain, qos: packet.qos }),
      );
      await client.subscribeAsync(topic, { qos: 1 });
      return { client, heard };
    }
    const online = (link: Link) => until('online', () => link.status() === 'online');
    const wordOf = (heard: { text: string }[]) =>
      JSON.parse(heard.at(-1)?.text ?? '{}') as { state?: string; owner?: string };

    it('says that it is there, and that it has gone', async () => {
      const { link } = open();
      await online(link);
      const { heard } = await watch('middlecut/orchard/online');
      await until('the retained word', () => heard.length > 0);
      expect(heard[0]?.retained).toBe(true);
      expect(wordOf(heard)).toEqual({ state: 'online', owner: link.owner });
      await link.close();
      await until('offline', () => wordOf(heard).state === 'offline');
    });

    it('leaves a last will when its process dies', async () => {
      const proxy = await startTcpProxy(broker.port);
      cleanUp.push(proxy.close);
      const { link } = open('orchard', proxy.port);
      await online(link);
      const { heard } = await watch('middlecut/orchard/online');
      proxy.sever();
      await until('the last will', () => wordOf(heard).state === 'offline');
      proxy.mend();
      await until('back again', () => wordOf(heard).state === 'online');
      await online(link);
    });

    it('hears each topic once for all who listen, and the kept word is known as kept', async () => {
      const publisher = await watch('none');
      await publisher.client.publishAsync('probes/head', '78.1', { retain: true, qos: 1 });
      const { link } = open();
      const heard: [string, Message][] = [];
      link.messages('probes/head').subscribe((message) => heard.push(['a', message]));
      link.messages('probes/head').subscribe((message) => heard.push(['b', message]));
      await online(link);
      await until('the kept word', () => heard.length === 2);
      expect(heard.every(([, message]) => message.retained)).toBe(true);
      await publisher.client.publishAsync('probes/head', '78.2', { qos: 1 });
      await until('the fresh word', () => heard.length === 4);
      expect(
        heard.slice(2).map(([who, message]) => [who, Buffer.from(message.payload ?? []).toString(), message.retained]),
      ).toEqual([
        ['a', '78.2', false],
        ['b', '78.2', false],
      ]);
    });

    it('comes back after the broker was away: subscribed, its words standing again, its events sent', async () => {
      const { link, events } = open();
      const heard: string[] = [];
      link.messages('probes/head').subscribe((message) => heard.push(Buffer.from(message.payload ?? []).toString()));
      await online(link);
      link.retain('middlecut/orchard/phase', 'hearts');
      await broker.stop();
      await until('offline', () => link.status() === 'offline');
      link.event('middlecut/orchard/event', 'while away');
      await broker.start();
      const witness = await watch('middlecut/orchard/#');
      await online(link);
      await until(
        'words and events',
        () => ['hearts', 'while away'].every((text) => witness.heard.some((one) => one.text === text)),
        10_000,
      );
      const publisher = await watch('none');
      await publisher.client.publishAsync('probes/head', '78.3', { qos: 1 });
      await until('a reading', () => heard.includes('78.3'));
      expect(events.filter((event) => event.kind === 'displaced')).toEqual([]);
    });

    it('delivers a command at QoS 1, not retained, and never one that was due while away', async () => {
      const { link, events } = open();
      await online(link);
      const { heard } = await watch('cmnd/#');
      expect(link.command('cmnd/box/POWER1', 'ON', 10_000)).toBe('sent');
      await until('the command', () => heard.length === 1);
      expect(heard[0]).toMatchObject({ text: 'ON', retained: false, qos: 1 });
      const late = await watch('cmnd/#');
      await broker.stop();
      await until('offline', () => link.status() === 'offline');
      expect(link.command('cmnd/box/POWER1', 'ON', 60_000)).toBe('offline');
      await broker.start();
      await online(link);
      await until('the witness is back', () => heard.length >= 1 && late.client.connected, 10_000);
      link.command('cmnd/box/POWER1', 'OFF', 10_000);
      await until('the next command', () => late.heard.length > 0, 10_000);
      expect(late.heard.map((one) => one.text)).toEqual(['OFF']);
      expect(events).toContainEqual({ kind: 'command-lost', topic: 'cmnd/box/POWER1', why: 'offline' });
    });

    it('gives way to a newer daemon of the same group, and does not fight it', async () => {
      const first = open();
      await online(first.link);
      const second = open();
      await online(second.link);
      await until('the first gives way', () => first.link.status() === 'displaced');
      expect(first.events).toContainEqual({ kind: 'displaced', owner: second.link.owner });
      await new Promise((resolve) => setTimeout(resolve, 1500));
      expect(second.link.status()).toBe('online');
      expect(second.events.filter((event) => event.kind === 'status' && event.status === 'offline')).toEqual([]);
      const { heard } = await watch('middlecut/orchard/online');
      await until('the word', () => heard.length > 0);
      expect(wordOf(heard)).toEqual({ state: 'online', owner: second.link.owner });
      expect(first.link.command('cmnd/x', 'ON', 1000)).toBe('offline');
    });

    it('answers at once, not after a delayed acknowledgement', async () => {
      const { link } = open();
      let heardAt = 0;
      link.messages('echo').subscribe(() => {
        heardAt = performance.now();
      });
      await online(link);
      const took: number[] = [];
      for (let i = 0; i < 41; i += 1) {
        heardAt = 0;
        const from = performance.now();
        link.command('echo', 'x', 1000);
        while (heardAt === 0) await new Promise((resolve) => setImmediate(resolve));
        took.push(heardAt - from);
        await link.drain(1000);
      }
      took.sort((a, b) => a - b);
      // With Nagle's algorithm on one side the median is 20 ms or more.
      expect(took[20]).toBeLessThan(15);
    });

    it('stands ten thousand messages in a burst', async () => {
      const { link } = open();
      let count = 0;
      link.messages('burst', 0).subscribe(() => {
        count += 1;
      });
      await online(link);
      const publisher = await watch('none');
      for (let i = 0; i < 100; i += 1) {
        for (let j = 0; j < 100; j += 1) publisher.client.publish('burst', '78.38');
        await new Promise((resolve) => setImmediate(resolve));
      }
      await publisher.client.publishAsync('burst', 'end', { qos: 1 });
      await until('the burst', () => count > 5000, 20_000);
      expect(link.status()).toBe('online');
    });
  });
}

describe.skipIf(!needs('mosquitto') || !needs('mosquitto-clients'))(
  'link to Mosquitto and messages that are too large',
  () => {
    it('passes over them in the stream, tells, and hears the next reading', async () => {
      const broker = await startReal();
      const link = openLink({
        target: broker.target,
        group: 'orchard',
        clientId: 'middlecut-orchard',
        firstRetryMs: 50,
      });
      const events: LinkEvent[] = [];
      const heard: (string | null)[] = [];
      link.events.subscribe((event) => events.push(event));
      link
        .messages('probes/head')
        .subscribe((message) => heard.push(message.payload === null ? null : Buffer.from(message.payload).toString()));
      await until('online', () => link.status() === 'online');
      const huge = Buffer.alloc(3_000_000, 0x37);
      for (const [qos, input] of [
        ['0', huge],
        ['1', huge],
        ['1', Buffer.from('78.4')],
      ] as const) {
        expect(
          spawnSync(
            'mosquitto_pub',
            ['-h', '127.0.0.1', '-p', String(broker.port), '-t', 'probes/head', '-q', qos, '-s'],
            { input },
          ).status,
        ).toBe(0);
      }
      await until('the reading after', () => heard.includes('78.4'));
      expect(heard).toEqual([null, null, '78.4']);
      expect(events).toContainEqual({ kind: 'too-large', topic: 'probes/head', bytes: 3_000_000 });
      expect(events.filter((event) => event.kind === 'trouble')).toEqual([]);
      expect(link.status()).toBe('online');
      await link.close();
      await broker.remove();
    });
  },
);
