import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { canonicalJson, contentHash, decodeUtf8, encodeUtf8, sha256, sha256Hex, toHex } from '../../lib/record';

describe('SHA-256', () => {
  // NIST, "Descriptions of SHA-256": example values published for FIPS 180-4 (one block, two blocks, a million a's; memory).
  it.each([
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
    ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
  ])('gives the published digest of %j', (message, digest) => {
    expect(sha256Hex(message)).toBe(digest);
  });

  it('gives the published digest of a million a', () => {
    expect(sha256Hex('a'.repeat(1_000_000))).toBe('cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0');
  });

  it("agrees with the host's own at every length around the block edges", () => {
    for (let length = 0; length <= 300; length++) {
      const message = Uint8Array.from({ length }, (_, i) => (i * 131 + length * 17) & 255);
      expect(toHex(sha256(message))).toBe(createHash('sha256').update(message).digest('hex'));
    }
  });

  it('reads only its own part of a shared buffer', () => {
    const whole = Uint8Array.from({ length: 100 }, (_, i) => i);
    const part = whole.subarray(10, 30);
    expect(toHex(sha256(part))).toBe(createHash('sha256').update(part).digest('hex'));
  });
});

describe('UTF-8', () => {
  it.each(['', 'pear', 'Obstbränd', '梨', '🍐 perry', '\u{10ffff}', 'a\u0000b', 'ÿĀ߿ࠀ\uffff\u{10000}'])(
    'carries %j both ways as the host does',
    (text) => {
      expect(Buffer.from(encodeUtf8(text)).equals(Buffer.from(text, 'utf8'))).toBe(true);
      expect(decodeUtf8(encodeUtf8(text))).toBe(text);
    },
  );

  it('writes a lone surrogate as the replacement character', () => {
    expect(Array.from(encodeUtf8('\ud800'))).toEqual([0xef, 0xbf, 0xbd]);
  });

  it.each([
    ['a stray continuation', [0x80]],
    ['an overlong slash', [0xc0, 0xaf]],
    ['an overlong three-byte form', [0xe0, 0x80, 0x80]],
    ['a surrogate', [0xed, 0xa0, 0x80]],
    ['a cut-off sequence', [0xe2, 0x82]],
    ['a point beyond Unicode', [0xf4, 0x90, 0x80, 0x80]],
    ['a missing continuation', [0xc3, 0x28]],
  ])('refuses %s', (_what, bytes) => {
    expect(decodeUtf8(Uint8Array.from(bytes))).toBeNull();
  });
});

describe('canonical JSON', () => {
  // RFC 8785 section 3.2.2 and 3.2.3 (worked example of number and string forms and of key order).
  it('prints the worked example of RFC 8785', () => {
    const example = {
      numbers: [Number('333333333.33333329'), 1e30, 4.5, 2e-3, 0.000000000000000000000000001],
      string: '\u20ac$\u000F\u000aA\'\u0042\u0022\u005c\\"/',
      literals: [null, true, false],
    };
    expect(canonicalJson(example)).toBe(
      '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
    );
  });

  it('sorts keys by UTF-16 code units, as RFC 8785 section 3.2.3 shows', () => {
    const keys = {
      '\u20ac': 'Euro',
      '\r': 'CR',
      '\ufb33': 'Dalet',
      '1': 'One',
      '\u{1f600}': 'Smile',
      '\u0080': 'Ctl',
      '\u00f6': 'o',
    };
    expect(Object.values(JSON.parse(canonicalJson(keys)) as object).sort()).toEqual(Object.values(keys).sort());
    expect(canonicalJson(keys)).toBe(
      '{"\\r":"CR","1":"One","\u0080":"Ctl","\u00f6":"o","\u20ac":"Euro","\u{1f600}":"Smile","\ufb33":"Dalet"}',
    );
  });

  it('is the same whatever the order of keys, and leaves undefined keys out', () => {
    expect(canonicalJson({ b: 1, a: { d: undefined, c: 2 } })).toBe('{"a":{"c":2},"b":1}');
    expect(contentHash({ b: 1, a: 2 })).toBe(contentHash({ a: 2, b: 1, c: undefined }));
    expect(contentHash({ a: 2 })).not.toBe(contentHash({ a: 3 }));
  });

  it('prints minus zero as zero, as RFC 8785 does', () => {
    expect(canonicalJson([-0])).toBe('[0]');
  });

  it.each([
    ['NaN', { a: [{ heatShare: Number.NaN }] }, 'a[0].heatShare is NaN'],
    ['an infinity', { a: -Infinity }, 'a is -Infinity'],
    ['undefined in an array', [1, undefined], '[1] is undefined'],
    // biome-ignore lint/suspicious/noSparseArray: the hole is the case under test
    ['a hole in an array', [1, , 2], '[1] is undefined'],
    ['a function', { f: () => 1 }, 'f is a function'],
    ['a big integer', { n: 1n }, 'n is a bigint'],
    ['a class instance', { when: new Map() }, 'when is not plain data'],
    ['nothing at all', undefined, 'the value is undefined'],
  ])('refuses %s and names the place', (_what, value, message) => {
    expect(() => canonicalJson(value)).toThrow(message);
  });

  it('refuses data that contains itself', () => {
    const ring: { self?: unknown } = {};
    ring.self = ring;
    expect(() => canonicalJson(ring)).toThrow('contains itself');
  });
});
