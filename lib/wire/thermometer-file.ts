import type { CompiledMapping } from './mapping';
import { fault, type Mapped, readValue, textOfPayload } from './payload';

// Layout and power-on rule: Linux kernel, Documentation/w1/slaves/w1_therm.rst.
const fileLayout = /^((?:[0-9a-f]{2} ){9}): crc=[0-9a-f]{2} (YES|NO)\s+((?:[0-9a-f]{2} ){9})t=(-?\d{1,7})$/;
const powerOnRaw = 0x0550;
const noPowerRaw = 0x07ff;
const neverConverted = 0x0c;

/**
 * CRC-8 of the 1-Wire bus, x⁸ + x⁵ + x⁴ + 1, least significant bit first.
 *
 * Source: Maxim application note 27.
 */
export function oneWireCrc(bytes: readonly number[]): number {
  let crc = 0;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = crc & 1 ? (crc >> 1) ^ 0x8c : crc >> 1;
  }
  return crc;
}

/** What is wrong with a scratchpad although the kernel may have passed it. */
function scratchpadFault(bytes: readonly number[], kernelSays: string): Mapped | null {
  // Nine zeros have a valid CRC: a shorted bus reads as 0 °C.
  if (bytes.every((byte) => byte === 0)) return fault('sentinel');
  if (kernelSays === 'NO' || oneWireCrc(bytes.slice(0, 8)) !== bytes[8]) return fault('checksum');
  const raw = (bytes[0] ?? 0) | ((bytes[1] ?? 0) << 8);
  // 85.000 °C is an honest temperature of a still; only with byte 6 as after power-on it is none.
  const isPowerOn = (raw === powerOnRaw || raw === noPowerRaw) && bytes[6] === neverConverted;
  return isPowerOn ? fault('sentinel') : null;
}

/**
 * What a 1-Wire thermometer's file says: the two lines of `w1_slave`, or the lone number of `temperature` (thousandths of a degree).
 *
 * The first form is the better one: the lone number cannot be told from a power-on value or a shorted bus.
 *
 * @param text whole content of the file
 * @returns the temperature through the mapping [°C], or the fault; never throws
 */
export function readThermometerFile(text: string | Uint8Array, mapping: CompiledMapping): Mapped {
  const found = textOfPayload(text, 4096);
  if (typeof found === 'string') return fault(found);
  if (/^-?\d{1,7}$/.test(found.text)) return readValue(Number(found.text) / 1000, mapping);
  const parts = fileLayout.exec(found.text);
  if (parts === null) return fault('text');
  const bytes = (parts[1] ?? '')
    .trim()
    .split(' ')
    .map((pair) => Number.parseInt(pair, 16));
  const wrong = scratchpadFault(bytes, parts[2] ?? 'NO');
  return wrong ?? readValue(Number(parts[4]) / 1000, mapping);
}
