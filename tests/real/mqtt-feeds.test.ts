import { spawn, spawnSync } from 'node:child_process';
import fc from 'fast-check';
import mqtt from 'mqtt';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Feed, feedSchema } from '../../daemon/config';
import { openDrives } from '../../daemon/drives';
import { type FeedEvent, type FeedReading, openFeeds } from '../../daemon/feeds';
import { type Link, openLink } from '../../daemon/link';
import type { Command } from '../../lib/engine/types';
import { driveMappingSchema, parseOrder, topicsOf } from '../../lib/wire';
import { startEmbedded, startReal, type TestBroker } from '../tools/brokers';
import { until } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { orchardStill } from '../tools/orchard';

const feeds: Record<string, Feed> = {
  vapour: feedSchema.parse({
    mqtt: { topic: 'tele/probe/SENSOR', path: "DS18B20*[Id='3C01F0962C11'].Temperature", unitPath: 'TempUnit' },
  }),
  boiler: feedSchema.parse({
    mqtt: { topic: 'still/sensor/boiler/state', availability: 'still/status', retained: 'accept' },
  }),
  air: feedSchema.parse({ mqtt: { topic: 'tele/room/SENSOR', path: 'BMP280.Pressure', unitPath: 'PressureUnit' } }),
  heating: feedSchema.parse({ mqtt: { topic: 'stat/box/POWER1' } }),
};
const kinds = [
  { name: 'Mosquitto', start: startReal, present: needs('mosquitto') },
  { name: 'the embedded broker', start: startEmbedded, present: true },
];

for (const kind of kinds) {
  describe.skipIf(!kind.present)(`feeds and drives over ${kind.name}`, () => {
    let broker: TestBroker;
    let link: Link;
    const heard: FeedReading[] = [];
    const events: FeedEvent[] = [];
    const cleanUp: (() => unknown)[] = [];
    beforeEach(async () => {
      broker = await kind.start();
      link = openLink({
        target: broker.target,
        group: 'orchard',
        clientId: 'middlecut-orchard',
        firstRetryMs: 50,
        lastRetryMs: 100,
      });
      heard.length = 0;
      events.length = 0;
      const subscription = openFeeds({
        still: orchardStill(),
        feeds,
        link,
        report: (event) => events.push(event),
        maxPerS: 1e6,
      }).subscribe((reading) => heard.push(reading));
      cleanUp.push(broker.remove, link.close, () => subscription.unsubscribe());
      await until('online', () => link.status() === 'online');
    });
    afterEach(async () => {
      for (const clean of cleanUp.splice(0).reverse()) await clean();
    });
    const last = (point: string) => {
      const reading = heard.filter((one) => one.point === point).at(-1);
      return reading?.fault ?? reading?.value;
    };
    async function client() {
      const made = await mqtt.connectAsync(`mqtt://127.0.0.1:${broker.port}`);
      cleanUp.push(() => made.endAsync(true));
      return made;
    }

    it('turns messages of three kinds of firmware into readings in our units', async () => {
      const devices = await client();
      await devices.publishAsync(
        'tele/probe/SENSOR',
        '{"DS18B20-1":{"Id":"3C01F0961A7B","Temperature":198.1},"DS18B20-2":{"Id":"3C01F0962C11","Temperature":172.4},"TempUnit":"F"}',
        { qos: 1 },
      );
      await devices.publishAsync('still/sensor/boiler/state', '92.25', { qos: 1 });
      await devices.publishAsync(
        'tele/room/SENSOR',
        '{"BMP280":{"Temperature":75.4,"Pressure":754.9,"SeaPressure":762},"PressureUnit":"mmHg","TempUnit":"F"}',
        { qos: 1 },
      );
      await devices.publishAsync('stat/box/POWER1', 'ON', { qos: 1 });
      await until('all four', () => ['vapour', 'boiler', 'air', 'heating'].every((point) => last(point) !== undefined));
      expect(last('vapour')).toBeCloseTo(78, 9);
      expect(last('boiler')).toBe(92.25);
      expect(last('air')).toBeCloseTo(754.9 * 1.33322387415, 6);
      expect(last('heating')).toBe(1);
    });

    it('takes the last will of a device for what it is', async () => {
      const device = await mqtt.connectAsync(`mqtt://127.0.0.1:${broker.port}`, {
        reconnectPeriod: 0,
        will: { topic: 'still/status', payload: Buffer.from('offline'), qos: 1, retain: true },
      });
      await device.publishAsync('still/status', 'online', { qos: 1, retain: true });
      await device.publishAsync('still/sensor/boiler/state', '92.25', { qos: 1, retain: true });
      await until('a reading', () => last('boiler') === 92.25);
      device.stream.destroy();
      await until('offline', () => last('boiler') === 'offline');
    });

    it('reads on after the broker was restarted', async () => {
      await broker.stop();
      await until('offline', () => link.status() === 'offline');
      await broker.start();
      await until('online', () => link.status() === 'online');
      const devices = await client();
      await devices.publishAsync('still/sensor/boiler/state', '93.5', { qos: 1 });
      await until('a reading', () => last('boiler') === 93.5);
    });

    it('is moved by no payload at all, thousands of them on every topic, and hears the next honest one', async () => {
      const devices = await client();
      const topics = [
        'tele/probe/SENSOR',
        'still/sensor/boiler/state',
        'still/status',
        'tele/room/SENSOR',
        'stat/box/POWER1',
        topicsOf('orchard').order,
        topicsOf('orchard').online,
      ];
      let refused = 0;
      link.messages(topicsOf('orchard').order).subscribe(({ payload }) => {
        if (parseOrder(payload ?? new Uint8Array()).kind === 'bad') refused += 1;
      });
      const payload = fc.oneof(
        fc.json({ maxDepth: 5 }),
        fc.string({ unit: 'binary', maxLength: 300 }),
        fc.uint8Array({ maxLength: 500 }),
        fc.double().map(String),
        fc.constantFrom('', 'nan', 'null', '[[[['.repeat(500)),
      );
      const sent = fc.sample(fc.tuple(fc.constantFrom(...topics), payload, fc.boolean()), 6000);
      for (const [topic, text, retain] of sent)
        devices.publish(topic, typeof text === 'string' ? text : Buffer.from(text), { qos: 1, retain });
      await devices.publishAsync('stat/box/POWER1', 'OFF', { qos: 1 });
      await until('the honest one', () => last('heating') === 0, 20_000);
      for (const reading of heard) expect(reading.value === null || Number.isFinite(reading.value)).toBe(true);
      expect(heard.length).toBeGreaterThan(1000);
      expect(refused).toBeGreaterThan(100);
      expect(link.status()).toBe('online');
      expect(events.filter((event) => event.kind === 'trouble')).toEqual([]);
    });

    it('tells drives, and what a device then reports comes back as a reading', async () => {
      const device = await client();
      const got: { topic: string; text: string; retained: boolean }[] = [];
      device.on('message', (topic, payload, packet) => {
        got.push({ topic, text: payload.toString(), retained: packet.retain });
        if (topic === 'cmnd/box/POWER1') device.publish('stat/box/POWER1', payload.toString(), { qos: 1 });
      });
      await device.subscribeAsync('cmnd/#', { qos: 1 });
      const mapping = driveMappingSchema.parse({
        topic: 'cmnd/box/POWER1',
        on: 'ON',
        off: 'OFF',
        setup: [{ topic: 'cmnd/box/PulseTime1', payload: '130' }],
      });
      const drives = openDrives({
        still: orchardStill(),
        drives: { heater: { mqtt: mapping } },
        link,
        nowIso: () => new Date().toISOString(),
        wordsOf: (reason) => reason.code,
      });
      cleanUp.push(drives.close);
      const command: Command = {
        id: 'c1',
        drive: 'heater',
        value: 1,
        issuedAtS: 1,
        ttlS: 10,
        repeat: false,
        safe: false,
        reason: { code: 'phase', numbers: {} },
      };
      expect(drives.send(command)).toBe('sent');
      await until('the report', () => last('heating') === 1);
      expect(got).toEqual([
        { topic: 'cmnd/box/PulseTime1', text: '130', retained: false },
        { topic: 'cmnd/box/POWER1', text: 'ON', retained: false },
      ]);
      await broker.stop();
      await until('offline', () => link.status() === 'offline');
      await broker.start();
      await until('online', () => link.status() === 'online');
      await until('the device again', () => device.connected, 10_000);
      expect(drives.send({ ...command, id: 'c2', value: 0 })).toBe('sent');
      await until('the report', () => last('heating') === 0);
      const late: string[] = [];
      const newcomer = await client();
      newcomer.on('message', (topic) => late.push(topic));
      await newcomer.subscribeAsync('cmnd/#', { qos: 1 });
      await new Promise((resolve) => setTimeout(resolve, 200));
      expect(late).toEqual([]);
    });
  });
}

describe.skipIf(!needs('mosquitto') || !needs('mosquitto-clients'))('the tools an integrator has', () => {
  it('publish readings and see the phase and the valve commands', async () => {
    const broker = await startReal();
    const link = openLink({ target: broker.target, group: 'orchard', clientId: 'middlecut-orchard' });
    const heard: FeedReading[] = [];
    const subscription = openFeeds({ still: orchardStill(), feeds, link, report: () => undefined }).subscribe(
      (reading) => heard.push(reading),
    );
    await until('online', () => link.status() === 'online');
    const at = ['-h', '127.0.0.1', '-p', String(broker.port)];
    const watcher = spawn('mosquitto_sub', [...at, '-t', 'middlecut/#', '-t', 'cmnd/#', '-F', '%r %t %p']);
    let seen = '';
    watcher.stdout.on('data', (text: Buffer) => {
      seen += text.toString();
    });
    spawnSync('mosquitto_pub', [...at, '-t', 'still/sensor/boiler/state', '-m', '92.31']);
    spawnSync('mosquitto_pub', [
      ...at,
      '-t',
      'tele/room/SENSOR',
      '-m',
      '{"BMP280":{"Pressure":1006.4},"PressureUnit":"hPa"}',
    ]);
    await until('two vendor shapes', () => heard.length === 2);
    expect(heard.map(({ point, value }) => [point, value])).toEqual([
      ['boiler', 92.31],
      ['air', 1006.4],
    ]);
    await until('the watcher', () => seen.includes('online'));
    link.retain(topicsOf('orchard').phase, 'hearts');
    link.command('cmnd/valves/POWER2', 'ON', 5000);
    await until(
      'both',
      () => seen.includes('0 middlecut/orchard/phase hearts') && seen.includes('0 cmnd/valves/POWER2 ON'),
    );
    const late = spawnSync(
      'mosquitto_sub',
      [...at, '-t', 'middlecut/orchard/phase', '-t', 'cmnd/#', '-F', '%r %t %p', '-W', '1'],
      { encoding: 'utf8' },
    );
    expect(late.stdout.trim()).toBe('1 middlecut/orchard/phase hearts');
    watcher.kill();
    subscription.unsubscribe();
    await link.close();
    await broker.remove();
  });
});
