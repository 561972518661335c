import { type ChildProcess, spawn } from 'node:child_process';
import { ServerSerial, ServerTCP } from 'modbus-serial';

/** Registers of a device of a test. */
export interface Registers {
  readonly holding: Map<number, number>;
  readonly input: Map<number, number>;
  readonly coils: Map<number, boolean>;
  /** Answers nothing while true. */
  isSilent: boolean;
}

export function makeRegisters(): Registers {
  return { holding: new Map(), input: new Map(), coils: new Map(), isSilent: false };
}

function vectorOf(registers: Registers) {
  const read =
    <T>(map: Map<number, T>) =>
    (address: number, _unit: number, done: (error: unknown, value: T) => void) => {
      if (registers.isSilent) return;
      const value = map.get(address);
      // Modbus exception 2, illegal data address.
      if (value === undefined) done({ modbusErrorCode: 2, msg: 'no such register' }, 0 as T);
      else done(null, value);
    };
  return {
    getHoldingRegister: read(registers.holding),
    getInputRegister: read(registers.input),
    getCoil: read(registers.coils),
    getDiscreteInput: read(registers.coils),
  };
}

/** A Modbus TCP device on loopback. */
export async function startTcpDevice(registers: Registers, port: number): Promise<{ stop: () => Promise<void> }> {
  const server = new ServerTCP(vectorOf(registers) as never, { host: '127.0.0.1', port, debug: false, unitID: 1 });
  server.on('socketError', () => undefined);
  await new Promise<void>((resolve) => server.on('initialized', () => resolve()));
  return { stop: () => new Promise<void>((resolve) => server.close(() => resolve())) };
}

/** A Modbus RTU device at the end of a serial line. */
export async function startSerialDevice(registers: Registers, path: string): Promise<{ stop: () => Promise<void> }> {
  const server = new ServerSerial(
    vectorOf(registers) as never,
    { path, port: path, baudRate: 9600, debug: false, unitID: 1, interval: 10 } as never,
  );
  server.on('error', () => undefined);
  await new Promise<void>((resolve) => server.on('initialized', () => resolve()));
  return {
    stop: () =>
      new Promise<void>((resolve) =>
        (server as unknown as { close: (done: () => void) => void }).close(() => resolve()),
      ),
  };
}

const pythonDevice = `
import asyncio, sys
from pymodbus.datastore import ModbusSequentialDataBlock, ModbusSlaveContext, ModbusServerContext
from pymodbus.server.async_io import ModbusTcpServer, ModbusSerialServer

def block(values):
    return ModbusSequentialDataBlock(0, values + [0] * 20)

slave = ModbusSlaveContext(hr=block([784, 0x429c, 0xc28f, 65486, 32767]), ir=block([1006]), co=block([1]), di=block([0, 1]), zero_mode=True)
context = ModbusServerContext(slaves=slave, single=True)

async def main():
    if sys.argv[1] == 'tcp':
        server = ModbusTcpServer(context, address=('127.0.0.1', int(sys.argv[2])), allow_reuse_address=True)
        asyncio.get_running_loop().call_later(0.3, lambda: print('ready', flush=True))
    else:
        server = ModbusSerialServer(context, port=sys.argv[2], baudrate=9600, timeout=1)
        await server.start()
        print('ready', flush=True)
    await server.serve_forever()

asyncio.run(main())
`;

/**
 * A Modbus device by an implementation that shares nothing with ours. Needs python3-pymodbus. Holding registers from 0: 784, 78.38 as
 * float (ABCD), −50, the sentinel 32767; input register 0: 1006; coil 0 on; discrete inputs off, on.
 */
export async function startPythonDevice(how: 'tcp' | 'rtu', where: string): Promise<{ stop: () => Promise<void> }> {
  const child: ChildProcess = spawn('/usr/bin/python3', ['-c', pythonDevice, how, where], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  await new Promise<void>((resolve, reject) => {
    child.stdout?.on('data', (text: Buffer) => {
      said += text.toString();
      if (said.includes('ready')) resolve();
    });
    child.stderr?.on('data', (text: Buffer) => {
      said += text.toString();
    });
    child.once('exit', () => reject(new Error(`the device ended: ${said}`)));
  });
  return {
    stop: async () => {
      const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
      child.kill('SIGKILL');
      await gone;
    },
  };
}
