import type { IServiceVector } from 'modbus-serial/ServerTCP';
import type { Reading } from '../../lib/engine/types';

export interface ModbusStart {
  /** Where it answers: a port of loopback, or a serial line. */
  readonly on: { readonly port: number } | { readonly path: string; readonly baud: number };
  readonly unitId?: number;
  /** Points in the order of their registers. */
  readonly points: readonly string[];
  /** Drives in the order of their coils. */
  readonly drives?: readonly string[];
  readonly latest: ReadonlyMap<string, Reading>;
  readonly command?: (drive: string, value: number) => unknown;
  readonly stateOf?: (drive: string) => number;
}

export interface ModbusDevice {
  stop(): Promise<void>;
}

/** What a module with an open sensor shows in a 16-bit register. */
const brokenSensor = 0x7fff;
/** Tenths begin here; below it each point has two registers of 32-bit floating point, high word first. */
export const tenthsAtAddress = 100;

/** The two registers of a number in floating point (IEEE 754), high word first (ABCD). */
export function floatRegisters(value: number): readonly [number, number] {
  const view = new DataView(new ArrayBuffer(4));
  view.setFloat32(0, value);
  return [view.getUint16(0), view.getUint16(2)];
}

function registerOf(start: ModbusStart, address: number): number {
  const isTenths = address >= tenthsAtAddress;
  const index = isTenths ? address - tenthsAtAddress : address >> 1;
  const point = start.points[index];
  if (point === undefined) throw Object.assign(new Error(`no register ${address}`), { modbusErrorCode: 2 });
  const value = start.latest.get(point)?.value ?? null;
  if (!isTenths) return floatRegisters(value ?? Number.NaN)[address & 1]!;
  if (value === null || Math.abs(value) > 3276) return brokenSensor;
  return Math.round(value * 10) & 0xffff;
}

function driveAt(start: ModbusStart, address: number): string {
  const drive = start.drives?.[address];
  if (drive === undefined) throw Object.assign(new Error(`no coil ${address}`), { modbusErrorCode: 2 });
  return drive;
}

/**
 * A Modbus device with the site's readings in its input and holding registers: floating point from 0, tenths from 100; its coils switch drives.
 *
 * @returns when it answers
 */
export async function startModbusDevice(start: ModbusStart): Promise<ModbusDevice> {
  const { ServerTCP, ServerSerial } = await import('modbus-serial');
  const vector: IServiceVector = {
    getInputRegister: (address: number) => registerOf(start, address),
    getHoldingRegister: (address: number) => registerOf(start, address),
    getCoil: (address: number) => (start.stateOf?.(driveAt(start, address)) ?? 0) > 0.5,
    setCoil: (address: number, isOn: boolean) => {
      start.command?.(driveAt(start, address), isOn ? 1 : 0);
    },
  };
  const unitID = start.unitId ?? 1;
  const { on } = start;
  const server =
    'port' in on
      ? new ServerTCP(vector, { host: '127.0.0.1', port: on.port, unitID })
      : new ServerSerial(vector, { path: on.path, baudRate: on.baud, unitID });
  server.on('error', () => undefined);
  server.on('socketError', () => undefined);
  await new Promise<void>((resolve) => server.on('initialized', () => resolve()));
  return { stop: () => new Promise((resolve) => server.close(() => resolve())) };
}
