import type { ModbusRTU } from 'modbus-serial/ModbusRTU';
import { type Backoff, messageOf, pauseMs } from './retry';
import type { BusConnection, FeedEvent, ModbusBus, RegisterRequest } from './types';

export interface BusOptions {
  readonly nowMs: () => number;
  readonly report: (event: FeedEvent) => void;
  readonly backoff: Backoff;
  /** Requests that may wait for their turn. */
  readonly maxWaiting: number;
}

/** The device answered, but has no such register: an answer all the same. */
export class RegisterRefused extends Error {}

async function loadModbus(): Promise<typeof ModbusRTU> {
  try {
    // The package is CommonJS: what it exports is the default, whatever its types say.
    const loaded = (await import('modbus-serial')) as unknown as { readonly default: typeof ModbusRTU };
    return loaded.default;
  } catch (error) {
    throw new Error('Modbus feeds need the optional package modbus-serial: run npm install modbus-serial', {
      cause: error,
    });
  }
}

export function nameOfBus(connection: BusConnection): string {
  return 'host' in connection ? `${connection.host}:${connection.port}` : connection.path;
}

async function openClient(connection: BusConnection): Promise<ModbusRTU> {
  const Client = await loadModbus();
  const client = new Client();
  // Without a listener an error of the connection would end the process.
  client.on('error', () => undefined);
  if ('host' in connection) await client.connectTCP(connection.host, { port: connection.port, timeout: 5000 });
  else
    await client.connectRTUBuffered(connection.path, {
      baudRate: connection.baud,
      parity: connection.parity,
      stopBits: connection.stopBits,
    });
  return client;
}

async function ask(client: ModbusRTU, request: RegisterRequest): Promise<readonly number[]> {
  client.setID(request.unitId);
  client.setTimeout(request.timeoutMs);
  switch (request.table) {
    case 'holding':
      return (await client.readHoldingRegisters(request.address, request.count)).data;
    case 'input':
      return (await client.readInputRegisters(request.address, request.count)).data;
    case 'coil':
      return (await client.readCoils(request.address, request.count)).data.slice(0, request.count).map(Number);
    case 'discrete':
      return (await client.readDiscreteInputs(request.address, request.count)).data.slice(0, request.count).map(Number);
  }
}

/** A Modbus exception response is an answer of the device, not a fault of the line. */
function isRefusal(error: unknown): boolean {
  return error !== null && typeof error === 'object' && 'modbusCode' in error && error.modbusCode !== undefined;
}

/** A bus that is opened when first asked, asked one thing at a time, and opened again with growing pauses after a fault. */
export function createBus(connection: BusConnection, options: BusOptions): ModbusBus & { readonly close: () => void } {
  const source = nameOfBus(connection);
  let client: ModbusRTU | null = null;
  let failures = 0;
  let retryAtMs = 0;
  let waiting = 0;
  let turn: Promise<unknown> = Promise.resolve();
  let isClosed = false;

  function drop(error: unknown): void {
    client?.close(() => undefined);
    client = null;
    failures += 1;
    retryAtMs = options.nowMs() + pauseMs(failures, options.backoff);
    if (failures === 1) options.report({ kind: 'trouble', source, message: messageOf(error) });
  }

  async function connected(): Promise<ModbusRTU> {
    if (isClosed) throw new Error('closed');
    if (client?.isOpen === true) return client;
    if (options.nowMs() < retryAtMs) throw new Error(`${source} is away`);
    try {
      client = await openClient(connection);
      return client;
    } catch (error) {
      drop(error);
      throw error;
    }
  }

  async function answer(request: RegisterRequest): Promise<readonly number[]> {
    const open = await connected();
    // Noise on a long cable spoils a frame now and then: one more try before it counts.
    const data = await ask(open, request).catch((error: unknown) => {
      if (isRefusal(error) || !open.isOpen) throw error;
      return ask(open, request);
    });
    if (failures > 0) options.report({ kind: 'restored', source });
    failures = 0;
    return data;
  }

  async function read(request: RegisterRequest): Promise<readonly number[]> {
    if (waiting >= options.maxWaiting) {
      options.report({ kind: 'overflow', source });
      throw new Error(`${source} has too much to answer`);
    }
    waiting += 1;
    const mine = turn.then(() => answer(request));
    turn = mine.catch(() => undefined);
    try {
      return await mine;
    } catch (error) {
      if (isRefusal(error)) throw new RegisterRefused(messageOf(error));
      // One silent device among several is no reason to close the line for the others; a closed line is.
      if (client !== null && !client.isOpen) drop(error);
      throw error;
    } finally {
      waiting -= 1;
    }
  }

  return {
    read,
    close: () => {
      isClosed = true;
      client?.close(() => undefined);
    },
  };
}
