import { encodeUtf8 } from './utf8';

const isPrime = (n: number): boolean => {
  for (let d = 2; d * d <= n; d++) if (n % d === 0) return false;
  return true;
};

/** First 32 bits of the fractional part of a root, as FIPS 180-4 sections 4.2.2 and 5.3.3 define the constants. */
const fractionBits = (root: number): number => Math.floor((root - Math.floor(root)) * 0x100000000) | 0;

function firstPrimes(count: number): number[] {
  const primes: number[] = [];
  for (let n = 2; primes.length < count; n++) if (isPrime(n)) primes.push(n);
  return primes;
}

const roundConstants = Int32Array.from(firstPrimes(64), (p) => fractionBits(Math.cbrt(p)));
const startState = Int32Array.from(firstPrimes(8), (p) => fractionBits(Math.sqrt(p)));

const turn = (word: number, by: number): number => (word >>> by) | (word << (32 - by));

/** Message, a one bit, zeros, and the length in bits: a whole number of 64-byte blocks. */
function pad(message: Uint8Array): DataView {
  const blocks = Math.ceil((message.length + 9) / 64);
  const padded = new Uint8Array(blocks * 64);
  padded.set(message);
  padded[message.length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(padded.length - 8, Math.floor(message.length / 0x20000000));
  view.setUint32(padded.length - 4, (message.length << 3) >>> 0);
  return view;
}

function schedule(words: Int32Array, view: DataView, at: number): void {
  for (let i = 0; i < 16; i++) words[i] = view.getInt32(at + i * 4);
  for (let i = 16; i < 64; i++) {
    const w15 = words[i - 15] ?? 0;
    const w2 = words[i - 2] ?? 0;
    const s0 = turn(w15, 7) ^ turn(w15, 18) ^ (w15 >>> 3);
    const s1 = turn(w2, 17) ^ turn(w2, 19) ^ (w2 >>> 10);
    words[i] = ((words[i - 16] ?? 0) + s0 + (words[i - 7] ?? 0) + s1) | 0;
  }
}

function compress(state: Int32Array, words: Int32Array): void {
  let [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0] = state;
  for (let i = 0; i < 64; i++) {
    const sum1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25);
    const choice = (e & f) ^ (~e & g);
    const t1 = (h + sum1 + choice + (roundConstants[i] ?? 0) + (words[i] ?? 0)) | 0;
    const sum0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22);
    const majority = (a & b) ^ (a & c) ^ (b & c);
    h = g;
    g = f;
    f = e;
    e = (d + t1) | 0;
    d = c;
    c = b;
    b = a;
    a = (t1 + sum0 + majority) | 0;
  }
  [a, b, c, d, e, f, g, h].forEach((word, i) => {
    state[i] = (state[i] ?? 0) + word;
  });
}

/**
 * SHA-256 of a message.
 * @param message bytes, any length below 2^53
 * @returns the digest, 32 bytes
 * Source: FIPS 180-4 (2015), sections 4.1.2, 4.2.2, 5.1.1, 5.3.3 and 6.2.
 */
export function sha256(message: Uint8Array): Uint8Array {
  const view = pad(message);
  const state = Int32Array.from(startState);
  const words = new Int32Array(64);
  for (let at = 0; at < view.byteLength; at += 64) {
    schedule(words, view, at);
    compress(state, words);
  }
  const digest = new DataView(new ArrayBuffer(32));
  state.forEach((word, i) => {
    digest.setInt32(i * 4, word);
  });
  return new Uint8Array(digest.buffer);
}

/** Bytes as lower-case hexadecimal. */
export function toHex(bytes: Uint8Array): string {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/**
 * SHA-256 in hexadecimal.
 * @param message bytes, or text taken as UTF-8
 * @returns 64 lower-case hexadecimal digits
 * Source: FIPS 180-4 (2015).
 */
export function sha256Hex(message: Uint8Array | string): string {
  return toHex(sha256(typeof message === 'string' ? encodeUtf8(message) : message));
}
