/**
 * Text of UTF-8 bytes, or null where they are none (a binary payload, cut characters, overlong forms).
 *
 * The core has no TextDecoder. Source: RFC 3629, section 4.
 */
export function textOfUtf8(bytes: Uint8Array): string | null {
  const parts: string[] = [];
  let units: number[] = [];
  for (let at = 0; at < bytes.length; ) {
    const lead = bytes[at] ?? 0;
    const length =
      lead < 0x80
        ? 1
        : lead >= 0xc2 && lead < 0xe0
          ? 2
          : lead >= 0xe0 && lead < 0xf0
            ? 3
            : lead >= 0xf0 && lead < 0xf5
              ? 4
              : 0;
    if (length === 0 || at + length > bytes.length) return null;
    let code = length === 1 ? lead : lead & (0xff >> (length + 1));
    for (let next = 1; next < length; next += 1) {
      const byte = bytes[at + next] ?? 0;
      if ((byte & 0xc0) !== 0x80) return null;
      code = (code << 6) | (byte & 0x3f);
    }
    const overlong = (length === 3 && code < 0x800) || (length === 4 && (code < 0x10000 || code > 0x10ffff));
    if (overlong || (code >= 0xd800 && code <= 0xdfff)) return null;
    units.push(code);
    at += length;
    if (units.length === 4096) {
      parts.push(String.fromCodePoint(...units));
      units = [];
    }
  }
  parts.push(String.fromCodePoint(...units));
  return parts.join('');
}
