import { createWriteStream, openSync, readdirSync, readlinkSync, realpathSync } from 'node:fs';
import { SerialPort } from 'serialport';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Feed, feedSchema } from '../../daemon/config';
import { type FeedEvent, type FeedReading, openFeeds } from '../../daemon/feeds';
import { fakeLink } from '../tools/fake-link';
import { until } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { orchardStill } from '../tools/orchard';
import { joinPtys, type PtyPair } from '../tools/pty-pair';

describe.skipIf(!needs('socat'))('serial feed', () => {
  let pty: PtyPair;
  const cleanUp: (() => unknown)[] = [];
  beforeEach(async () => {
    pty = await joinPtys();
    cleanUp.push(pty.remove);
  });
  afterEach(async () => {
    for (const clean of cleanUp.splice(0).reverse()) await clean();
  });

  function listen(points: Record<string, object>, more: object = {}) {
    const feeds = Object.fromEntries(
      Object.entries(points).map(([point, serial]) => [
        point,
        feedSchema.parse({ serial: { path: pty.port, baud: 115200, ...serial } }),
      ]),
    ) as Record<string, Feed>;
    const heard: FeedReading[] = [];
    const events: FeedEvent[] = [];
    const subscription = openFeeds({
      still: orchardStill(),
      feeds,
      link: fakeLink().link,
      report: (event) => events.push(event),
      backoff: { firstMs: 50, lastMs: 200 },
      ...more,
    }).subscribe((reading) => heard.push(reading));
    cleanUp.push(() => subscription.unsubscribe());
    const of = (point: string) => heard.filter((reading) => reading.point === point);
    const last = (point: string) => of(point).at(-1);
    return { heard, events, of, last, subscription };
  }
  async function device(): Promise<(text: string | Buffer) => void> {
    const port = new SerialPort({ path: pty.device, baudRate: 115200, autoOpen: false });
    port.on('error', () => undefined);
    await new Promise<void>((resolve, reject) => port.open((error) => (error === null ? resolve() : reject(error))));
    cleanUp.push(() => (port.isOpen ? new Promise<void>((resolve) => port.close(() => resolve())) : undefined));
    return (text) => port.write(text);
  }
  const pairs = { vapour: { format: 'key-value', field: 'T2' }, boiler: { format: 'key-value', field: 'T1' } };

  it('reads several points from the lines of one port, opened once', async () => {
    const { heard, last } = listen(pairs);
    const say = await device();
    await new Promise((resolve) => setTimeout(resolve, 100));
    say('T1=9');
    say('2.30;T2=78.38\r\nT1=92.31;T2=78.38\r\nT1=92.31;');
    await until('both points', () => last('vapour') !== undefined && last('boiler') !== undefined);
    expect(last('vapour')?.value).toBe(78.38);
    expect(last('boiler')?.value).toBe(92.31);
    // The first, torn line counts for nothing.
    expect(heard.length).toBe(2);
    const port = realpathSync(pty.port);
    const opened = readdirSync('/proc/self/fd').filter((fd) => {
      try {
        return readlinkSync(`/proc/self/fd/${fd}`) === port;
      } catch {
        return false;
      }
    });
    expect(opened.length).toBe(1);
  });

  it('passes over boot noise and tells the traps of firmware', async () => {
    const { of, last } = listen(pairs);
    const say = await device();
    await new Promise((resolve) => setTimeout(resolve, 100));
    say(
      Buffer.concat([
        Buffer.from('\n ets Jan  8 2013,rst cause:2, boot mode:(3,6)\r\n'),
        Buffer.from([0, 0xff, 0xfe, 0x7b, 0x6c, 0]),
        Buffer.from('\r\n'),
      ]),
    );
    say('T1=-127.00;T2=78.38\r\nT1=nan;T2=78.39\r\nT1=85.00;T2=78.40\r\n');
    await until('the third line', () => last('vapour')?.value === 78.4);
    expect(of('boiler').map(({ value, fault }) => fault ?? value)).toEqual(['sentinel', 'not-a-number', 85]);
  });

  it('believes checksummed lines only when the sum is right', async () => {
    const { last, of } = listen({ vapour: { format: 'checksummed', field: 2 } });
    const say = await device();
    await new Promise((resolve) => setTimeout(resolve, 100));
    say('\r\n$STL,92.31,78.38,31.50*43\r\n$STL,92.31,79.38,31.50*43\r\n');
    await until('both', () => of('vapour').length === 2);
    expect(of('vapour').map(({ value, fault }) => fault ?? value)).toEqual([78.38, 'checksum']);
    expect(last('vapour')?.value).toBeNull();
  });

  it('is offline at once when the plug is pulled, and comes back with it', async () => {
    const { last, events } = listen(pairs);
    const say = await device();
    await new Promise((resolve) => setTimeout(resolve, 100));
    say('\nT1=92.0;T2=78.0\n');
    await until('a reading', () => last('vapour')?.value === 78);
    await pty.unplug();
    await until('offline', () => last('vapour')?.fault === 'offline' && last('boiler')?.fault === 'offline', 3000);
    expect(events.filter((event) => event.kind === 'trouble').length).toBe(1);
    await new Promise((resolve) => setTimeout(resolve, 500));
    await pty.plugIn();
    const again = await device();
    await until(
      'readings again',
      () => {
        again('\nT1=92.1;T2=78.1\n');
        return last('vapour')?.value === 78.1;
      },
      5000,
    );
    expect(events.map((event) => event.kind)).toEqual(['trouble', 'restored']);
  });

  it('opens a port again that has fallen silent', async () => {
    const { last, events } = listen(pairs, { silentMs: 300 });
    const say = await device();
    await new Promise((resolve) => setTimeout(resolve, 100));
    say('\nT1=92.0;T2=78.0\n');
    await until('a reading', () => last('vapour')?.value === 78);
    await until('offline', () => last('vapour')?.fault === 'offline', 3000);
    expect(events[0]).toMatchObject({ kind: 'trouble', source: pty.port });
    await until(
      'readings again',
      () => {
        say('\nT1=92.1;T2=78.1\n');
        return last('vapour')?.value === 78.1;
      },
      5000,
    );
  });

  it('closes the port when nobody listens', async () => {
    const { subscription } = listen(pairs);
    await device();
    await new Promise((resolve) => setTimeout(resolve, 150));
    subscription.unsubscribe();
    await new Promise((resolve) => setTimeout(resolve, 150));
    // A port that is free can be opened exclusively.
    const port = new SerialPort({ path: pty.port, baudRate: 9600, autoOpen: false, lock: true });
    await new Promise<void>((resolve, reject) => port.open((error) => (error === null ? resolve() : reject(error))));
    await new Promise<void>((resolve) => port.close(() => resolve()));
  });

  it('stands a device that pours out rubbish without end', async () => {
    const { heard, events } = listen({ vapour: { format: 'json', field: 'head' } });
    const file = openSync(pty.device, 'w');
    const sink = createWriteStream('', { fd: file });
    await new Promise((resolve) => setTimeout(resolve, 100));
    for (let i = 0; i < 100; i += 1) sink.write(Buffer.alloc(10_000, i % 2 === 0 ? 0x78 : 0x0a));
    await until('an overflow', () => events.some((event) => event.kind === 'overflow'), 5000);
    await new Promise((resolve) => setTimeout(resolve, 200));
    // After the rest of the rubbish, and never waited for here: this thread also reads the other end.
    sink.write('\n{"head":78.5}\n');
    await until('the reading after', () => heard.some((reading) => reading.value === 78.5), 10_000);
    sink.destroy();
  });
});
