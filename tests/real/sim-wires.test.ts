import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import ModbusRTU from 'modbus-serial';
import { SerialPort } from 'serialport';
import { afterEach, describe, expect, it } from 'vitest';
import type { Reading } from '../../lib/engine/types';
import { startModbusDevice, startSerialLines, tenthsAtAddress } from '../../simulators/devices';
import { freePort, until } from '../tools/mosquitto';
import { needs } from '../tools/need';

const folder = mkdtempSync(join(tmpdir(), 'middlecut-wires-'));
const open: (() => Promise<unknown>)[] = [];

afterEach(async () => {
  for (const end of open.splice(0).reverse()) await end();
});

function latestOf(values: Readonly<Record<string, number | null>>): ReadonlyMap<string, Reading> {
  return new Map(Object.entries(values).map(([point, value]) => [point, { point, value, atS: 1 }]));
}

const latest = latestOf({ 'vapour-temp': 78.38, 'boiler-temp': 92.31, 'product-temp': null, 'room-temp': -5 });
const points = ['vapour-temp', 'boiler-temp', 'product-temp', 'room-temp'];

describe.skipIf(!needs('socat'))('simulated serial board', () => {
  it('prints lines that a serial port reads, and is gone when unplugged', async () => {
    const link = join(folder, 'board');
    const board = await startSerialLines({ link, form: 'key-value', points, latest, everyMs: 20 });
    open.push(() => board.stop());
    const port = new SerialPort({ path: link, baudRate: 9600 });
    let text = '';
    let isClosed = false;
    port.on('data', (data: Buffer) => {
      text += data.toString();
    });
    port.on('close', () => {
      isClosed = true;
    });
    port.on('error', () => undefined);
    await until('three lines', () => text.split('\r\n').length > 4);
    expect(text.split('\r\n')[1]).toBe('vapour-temp=78.38;boiler-temp=92.31;product-temp=-127.00;room-temp=-5.00');
    board.send(' ets Jan  8 2013,rst cause:2\r\n');
    await until('noise', () => text.includes('rst cause'));
    await board.unplug();
    await until('closed', () => isClosed);
    expect(existsSync(link)).toBe(false);
  });
});

describe('simulated Modbus device', () => {
  const states: Record<string, number> = { heat: 0 };
  const parts = {
    points,
    drives: ['heat'],
    latest,
    stateOf: (drive: string) => states[drive] ?? 0,
    command: (drive: string, value: number) => {
      states[drive] = value;
    },
  };

  async function expectAnswers(client: ModbusRTU): Promise<void> {
    client.setID(1);
    client.setTimeout(1000);
    const floats = await client.readInputRegisters(0, 8);
    const view = Buffer.from(floats.buffer);
    expect(view.readFloatBE(0)).toBeCloseTo(78.38, 4);
    expect(view.readFloatBE(4)).toBeCloseTo(92.31, 4);
    expect(view.readFloatBE(8)).toBeNaN();
    const tenths = await client.readHoldingRegisters(tenthsAtAddress, 4);
    expect(tenths.data).toEqual([784, 923, 32767, 65486]);
    await client.writeCoil(0, true);
    expect((await client.readCoils(0, 1)).data[0]).toBe(true);
    expect(states.heat).toBe(1);
    await expect(client.readHoldingRegisters(5000, 1)).rejects.toThrow();
    await client.writeCoil(0, false);
  }

  it('answers over TCP: floating point, tenths, a broken sensor, coils, and no for what it has not', async () => {
    const port = await freePort();
    const device = await startModbusDevice({ on: { port }, ...parts });
    open.push(() => device.stop());
    const client = new ModbusRTU();
    await client.connectTCP('127.0.0.1', { port });
    open.push(() => new Promise<void>((resolve) => client.close(() => resolve())));
    await expectAnswers(client);
  });

  it.skipIf(!needs('socat'))('answers on a serial bus', async () => {
    const [near, far] = [join(folder, 'near'), join(folder, 'far')];
    const wire = spawn('socat', [`pty,raw,echo=0,link=${near}`, `pty,raw,echo=0,link=${far}`], { stdio: 'ignore' });
    open.push(
      () =>
        new Promise<void>((resolve) => {
          wire.once('exit', () => resolve());
          wire.kill('SIGTERM');
        }),
    );
    await until('the wire', () => existsSync(near) && existsSync(far));
    const device = await startModbusDevice({ on: { path: far, baud: 19200 }, ...parts });
    open.push(() => device.stop());
    const client = new ModbusRTU();
    await client.connectRTUBuffered(near, { baudRate: 19200 });
    open.push(() => new Promise<void>((resolve) => client.close(() => resolve())));
    await expectAnswers(client);
  });
});

process.on('exit', () => rmSync(folder, { recursive: true, force: true }));
