const table = Uint32Array.from({ length: 256 }, (_, n) => {
  let value = n;
  for (let bit = 0; bit < 8; bit++) value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
  return value;
});

/**
 * Cyclic redundancy check of 32 bits, reflected, as Ethernet and PNG use it.
 * @param bytes message
 * @returns check value [0..2^32 − 1]
 * Source: ISO/IEC 8802-3 polynomial 0x04C11DB7; PNG (ISO/IEC 15948) annex D.
 */
export function crc32(bytes: Uint8Array): number {
  let value = 0xffffffff;
  for (const byte of bytes) value = (table[(value ^ byte) & 255] ?? 0) ^ (value >>> 8);
  return (value ^ 0xffffffff) >>> 0;
}
