import { afterEach, describe, expect, it } from 'vitest';
import { type Feed, feedSchema } from '../../daemon/config';
import { type FeedEvent, type FeedReading, openFeeds } from '../../daemon/feeds';
import { fakeLink } from '../tools/fake-link';
import { makeRegisters, startPythonDevice, startSerialDevice, startTcpDevice } from '../tools/modbus-device';
import { freePort, until } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { orchardStill } from '../tools/orchard';
import { joinPtys } from '../tools/pty-pair';

const cleanUp: (() => unknown)[] = [];
afterEach(async () => {
  for (const clean of cleanUp.splice(0).reverse()) await clean();
});

type Connection = { host: string; port: number } | { path: string };
function listen(connection: Connection, points: Record<string, object>) {
  const feeds = Object.fromEntries(
    Object.entries(points).map(([point, modbus]) => [
      point,
      feedSchema.parse({ modbus: { connection, everyS: 0.1, timeoutS: 0.3, ...modbus } }),
    ]),
  ) as Record<string, Feed>;
  const heard: FeedReading[] = [];
  const events: FeedEvent[] = [];
  const subscription = openFeeds({
    still: orchardStill(),
    feeds,
    link: fakeLink().link,
    report: (event) => events.push(event),
    backoff: { firstMs: 100, lastMs: 300 },
  }).subscribe((reading) => heard.push(reading));
  cleanUp.push(() => subscription.unsubscribe());
  const last = (point: string) => {
    const reading = heard.filter((one) => one.point === point).at(-1);
    return reading?.fault ?? reading?.value;
  };
  return { heard, events, last };
}

describe('Modbus feed over TCP', () => {
  async function device() {
    const registers = makeRegisters();
    const port = await freePort();
    const started = await startTcpDevice(registers, port);
    let stop = started.stop;
    cleanUp.push(() => stop());
    const restart = async () => {
      stop = (await startTcpDevice(registers, port)).stop;
    };
    return { registers, port, stop: () => stop(), restart };
  }

  it('reads holding and input registers and coils of one device over one connection', async () => {
    const { registers, port } = await device();
    registers.holding.set(0, 784).set(10, 0xc28f).set(11, 0x429c);
    registers.input.set(3, 10064);
    registers.coils.set(5, true);
    const { last } = listen(
      { host: '127.0.0.1', port },
      {
        vapour: { address: 0, scale: 0.1 },
        boiler: { address: 10, type: 'float32', order: 'CDAB' },
        air: { table: 'input', address: 3, type: 'uint16', scale: 0.1 },
        heating: { table: 'coil', address: 5 },
      },
    );
    await until('all four', () => ['vapour', 'boiler', 'air', 'heating'].every((point) => last(point) !== undefined));
    expect(last('vapour')).toBeCloseTo(78.4, 9);
    expect(last('boiler')).toBeCloseTo(78.38, 5);
    expect(last('air')).toBeCloseTo(1006.4, 9);
    expect(last('heating')).toBe(1);
    registers.holding.set(0, 32767);
    registers.coils.set(5, false);
    await until('a broken sensor', () => last('vapour') === 'sentinel' && last('heating') === 0);
  });

  it('tells a register that is not there from a device that is not', async () => {
    const { registers, port } = await device();
    registers.holding.set(0, 784);
    const { last } = listen(
      { host: '127.0.0.1', port },
      { vapour: { address: 0, scale: 0.1 }, boiler: { address: 99 } },
    );
    await until('both', () => last('vapour') !== undefined && last('boiler') !== undefined);
    expect(last('vapour')).toBeCloseTo(78.4, 9);
    expect(last('boiler')).toBe('missing');
  });

  it('is offline while the device is silent or away, and comes back', async () => {
    const { registers, port, stop, restart } = await device();
    registers.holding.set(0, 784);
    const { last, events } = listen({ host: '127.0.0.1', port }, { vapour: { address: 0, scale: 0.1 } });
    await until('a reading', () => typeof last('vapour') === 'number');
    registers.isSilent = true;
    await until('offline by silence', () => last('vapour') === 'offline');
    registers.isSilent = false;
    await until('back', () => typeof last('vapour') === 'number');
    await stop();
    await until('offline by absence', () => last('vapour') === 'offline');
    await new Promise((resolve) => setTimeout(resolve, 500));
    await restart();
    await until('back again', () => typeof last('vapour') === 'number', 10_000);
    expect(events.map((event) => event.kind)).toContain('restored');
  });
});

describe.skipIf(!needs('socat'))('Modbus feed over a serial line', () => {
  it('reads the registers of a device', async () => {
    const pty = await joinPtys();
    cleanUp.push(pty.remove);
    const registers = makeRegisters();
    registers.holding.set(0, 784);
    registers.input.set(0, 1006);
    const device = await startSerialDevice(registers, pty.device);
    cleanUp.push(device.stop);
    const { last } = listen(
      { path: pty.port },
      { vapour: { address: 0, scale: 0.1 }, air: { table: 'input', address: 0 } },
    );
    await until('both', () => typeof last('vapour') === 'number' && typeof last('air') === 'number', 10_000);
    expect(last('vapour')).toBeCloseTo(78.4, 9);
    expect(last('air')).toBe(1006);
  });

  it('is offline when the adapter is pulled, and comes back with it', async () => {
    const pty = await joinPtys();
    cleanUp.push(pty.remove);
    const registers = makeRegisters();
    registers.holding.set(0, 784);
    const before = await startSerialDevice(registers, pty.device);
    const { last } = listen({ path: pty.port }, { vapour: { address: 0, scale: 0.1 } });
    await until('a reading', () => typeof last('vapour') === 'number', 10_000);
    await before.stop();
    await pty.unplug();
    await until('offline', () => last('vapour') === 'offline');
    await pty.plugIn();
    const after = await startSerialDevice(registers, pty.device);
    cleanUp.push(after.stop);
    await until('back', () => typeof last('vapour') === 'number', 10_000);
  });
});

describe.skipIf(!needs('python3-pymodbus'))('Modbus feed and an implementation that is not ours', () => {
  const points = {
    vapour: { address: 0, scale: 0.1 },
    boiler: { address: 1, type: 'float32' },
    air: { table: 'input', address: 0 },
    heating: { table: 'discrete', address: 1 },
  };
  function check(last: (point: string) => unknown): void {
    expect(last('vapour')).toBeCloseTo(78.4, 9);
    expect(last('boiler')).toBeCloseTo(78.38, 5);
    expect(last('air')).toBe(1006);
    expect(last('heating')).toBe(1);
  }
  const all = (last: (point: string) => unknown) => () =>
    Object.keys(points).every((point) => typeof last(point) === 'number');

  it('agrees with it over TCP', async () => {
    const port = await freePort();
    const device = await startPythonDevice('tcp', String(port));
    cleanUp.push(device.stop);
    const { last } = listen({ host: '127.0.0.1', port }, points);
    await until('all', all(last), 10_000);
    check(last);
  });

  it.skipIf(!needs('socat'))('agrees with it over a serial line', async () => {
    const pty = await joinPtys();
    cleanUp.push(pty.remove);
    const device = await startPythonDevice('rtu', pty.device);
    cleanUp.push(device.stop);
    const { last } = listen({ path: pty.port }, points);
    await until('all', all(last), 15_000);
    check(last);
  });
});
