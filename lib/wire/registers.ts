import type { CompiledMapping } from './mapping';
import { fault, type Mapped, readValue } from './payload';

export const registerTypes = ['int16', 'uint16', 'int32', 'uint32', 'float32', 'float64'] as const;
export type RegisterType = (typeof registerTypes)[number];

/**
 * How a device lays a number over registers: A is the most significant byte. Registers themselves are big-endian
 * (Modbus application protocol V1.1b3, 4.2); the order of registers is left to the maker.
 */
export const wordOrders = ['ABCD', 'CDAB', 'BADC', 'DCBA'] as const;
export type WordOrder = (typeof wordOrders)[number];

export const registersOf: Readonly<Record<RegisterType, number>> = {
  int16: 1,
  uint16: 1,
  int32: 2,
  uint32: 2,
  float32: 2,
  float64: 4,
};

/** Ends of the scale by which analogue modules commonly report a broken sensor. */
export const registerSentinels: Readonly<Record<RegisterType, readonly number[]>> = {
  int16: [32767, -32768],
  uint16: [65535, 32768],
  int32: [2147483647, -2147483648],
  uint32: [4294967295],
  float32: [],
  float64: [],
};

function bytesInOrder(registers: readonly number[], order: WordOrder): DataView {
  const words = order === 'CDAB' || order === 'DCBA' ? [...registers].reverse() : registers;
  const view = new DataView(new ArrayBuffer(words.length * 2));
  const littleEndian = order === 'BADC' || order === 'DCBA';
  words.forEach((word, at) => {
    view.setUint16(at * 2, word & 0xffff, littleEndian);
  });
  return view;
}

/**
 * The number that registers hold.
 *
 * @param registers as read, each 0..65535; as many as registersOf says
 * @returns the number (may be NaN or infinite for floats), or null where the count is wrong
 */
export function decodeRegisters(registers: readonly number[], type: RegisterType, order: WordOrder): number | null {
  if (registers.length !== registersOf[type]) return null;
  const view = bytesInOrder(registers, order);
  switch (type) {
    case 'int16':
      return view.getInt16(0);
    case 'uint16':
      return view.getUint16(0);
    case 'int32':
      return view.getInt32(0);
    case 'uint32':
      return view.getUint32(0);
    case 'float32':
      return view.getFloat32(0);
    case 'float64':
      return view.getFloat64(0);
  }
}

/** What registers say about a point; the mapping's sentinels apply to the raw number. */
export function readRegisters(
  registers: readonly number[],
  type: RegisterType,
  order: WordOrder,
  mapping: CompiledMapping,
): Mapped {
  const raw = decodeRegisters(registers, type, order);
  return raw === null ? fault('missing') : readValue(raw, mapping);
}
