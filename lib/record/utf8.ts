/**
 * UTF-8 without the host's encoder, so the record can be read wherever the core runs.
 *
 * A lone surrogate becomes U+FFFD, as in the Encoding standard: callers that must keep it write it as a JSON escape first.
 * @param text any string
 * @returns its bytes
 * Source: RFC 3629.
 */
export function encodeUtf8(text: string): Uint8Array {
  const bytes = new Uint8Array(text.length * 3);
  let at = 0;
  for (const character of text) {
    const code = character.codePointAt(0) ?? 0;
    const scalar = code >= 0xd800 && code <= 0xdfff ? 0xfffd : code;
    if (scalar < 0x80) {
      bytes[at++] = scalar;
    } else if (scalar < 0x800) {
      bytes[at++] = 0xc0 | (scalar >> 6);
      bytes[at++] = 0x80 | (scalar & 63);
    } else if (scalar < 0x10000) {
      bytes[at++] = 0xe0 | (scalar >> 12);
      bytes[at++] = 0x80 | ((scalar >> 6) & 63);
      bytes[at++] = 0x80 | (scalar & 63);
    } else {
      bytes[at++] = 0xf0 | (scalar >> 18);
      bytes[at++] = 0x80 | ((scalar >> 12) & 63);
      bytes[at++] = 0x80 | ((scalar >> 6) & 63);
      bytes[at++] = 0x80 | (scalar & 63);
    }
  }
  return bytes.slice(0, at);
}

/** Length of the sequence a lead byte opens; 0 where it opens none. */
function sequenceLength(lead: number): number {
  if (lead < 0x80) return 1;
  if (lead >= 0xc2 && lead <= 0xdf) return 2;
  if (lead >= 0xe0 && lead <= 0xef) return 3;
  return lead >= 0xf0 && lead <= 0xf4 ? 4 : 0;
}

const smallest = [0, 0, 0x80, 0x800, 0x10000];

/**
 * Strict inverse of `encodeUtf8`.
 * @param bytes UTF-8
 * @returns the text, or null where the bytes are not well-formed UTF-8 (never replacement characters for damage)
 * Source: RFC 3629.
 */
export function decodeUtf8(bytes: Uint8Array): string | null {
  let text = '';
  for (let at = 0; at < bytes.length; ) {
    const lead = bytes[at] ?? 0;
    const length = sequenceLength(lead);
    if (length === 0 || at + length > bytes.length) return null;
    let code = length === 1 ? lead : lead & (0xff >> (length + 1));
    for (let i = 1; i < length; i++) {
      const next = bytes[at + i] ?? 0;
      if ((next & 0xc0) !== 0x80) return null;
      code = (code << 6) | (next & 63);
    }
    if (code < (smallest[length] ?? 0) || code > 0x10ffff || (code >= 0xd800 && code <= 0xdfff)) return null;
    text += String.fromCodePoint(code);
    at += length;
  }
  return text;
}
