import { describe, expect, it } from 'vitest';
import type { PointKind } from '../../lib/still/schema';
import {
  compileMapping,
  type Mapped,
  type Mapping,
  parsePath,
  readPayload,
  textOfUtf8,
  valueAtPath,
} from '../../lib/wire';

function read(
  payload: string | Uint8Array,
  mapping: Mapping = {},
  kind: PointKind = 'vapour-temp',
  retained = false,
): Mapped {
  const compiled = compileMapping(mapping, kind);
  if (compiled.kind === 'bad') throw new Error(JSON.stringify(compiled.problems));
  return readPayload(payload, compiled.value, { retained });
}
const value = (number: number) => ({ kind: 'value', value: number });
const fault = (kind: string) => ({ kind: 'fault', fault: kind });

describe('payload: plain numbers', () => {
  it('reads a number as it stands', () => {
    expect(read('78.38')).toEqual(value(78.38));
    expect(read(' +7.838e1\r\n')).toEqual(value(78.38));
    expect(read('-.5')).toEqual(value(-0.5));
    expect(read('"78.38"')).toEqual(value(78.38));
  });

  it('refuses what JavaScript would quietly take for a number', () => {
    for (const text of [
      '0x4e',
      '0b1',
      '1_000',
      '78.4 ok',
      '7 8',
      '1e',
      '--1',
      '1,234.5',
      'true',
      '[78]',
      '{}',
      '78.3.8',
    ]) {
      expect(read(text).kind, text).toBe('fault');
    }
    expect(read('')).toEqual(fault('empty'));
    expect(read('\uFEFF \t')).toEqual(fault('empty'));
    expect(read('""')).toEqual(fault('empty'));
  });

  it('tells infinity, no number and no value apart', () => {
    expect(read('Infinity')).toEqual(fault('infinite'));
    expect(read('-inf')).toEqual(fault('infinite'));
    expect(read('1e999')).toEqual(fault('infinite'));
    expect(read('NaN')).toEqual(fault('not-a-number'));
    expect(read('unavailable')).toEqual(fault('null'));
    expect(read('warm')).toEqual(fault('text'));
  });

  it('reads a decimal comma only where it is configured', () => {
    expect(read('78,38')).toEqual(fault('text'));
    expect(read('78,38', { decimalComma: true })).toEqual(value(78.38));
    expect(read('1.006,4', { decimalComma: true })).toEqual(fault('text'));
    // 1.006 may be a thousand and six where commas are decimal: not guessed.
    expect(read('1.006', { decimalComma: true })).toEqual(fault('text'));
  });
});

describe('payload: 85 °C and sentinels', () => {
  it('takes 85.000 for the honest temperature it is in a still', () => {
    expect(read('85.000')).toEqual(value(85));
    expect(read('{"Temperature":85.0}', { path: 'Temperature' })).toEqual(value(85));
  });

  it('does not let anybody blacklist 85', () => {
    const compiled = compileMapping({ sentinels: [-127, 85] }, 'vapour-temp');
    expect(compiled).toMatchObject({ kind: 'bad', problems: [{ path: 'sentinels' }] });
  });

  it('knows -127 of temperatures, and 127.9375 where configured, cut or not', () => {
    expect(read('-127.00')).toEqual(fault('sentinel'));
    expect(read('-127', {}, 'boiler-pressure')).toEqual(value(-127));
    expect(read('127.937')).toEqual(value(127.937));
    expect(read('127.937', { sentinels: [-127, 127.9375] })).toEqual(fault('sentinel'));
  });

  it('compares sentinels with the raw value, before scale and unit', () => {
    expect(read('32767', { scale: 0.1, sentinels: [32767] })).toEqual(fault('sentinel'));
    expect(read('784', { scale: 0.1, sentinels: [32767] })).toEqual(value(expect.closeTo(78.4, 9)));
  });
});

describe('payload: units', () => {
  it('converts to the unit of the kind of point', () => {
    expect(read('172.4', { unit: '°F' })).toEqual(value(expect.closeTo(78, 9)));
    expect(read('351.15', { unit: 'K' })).toEqual(value(expect.closeTo(78, 9)));
    expect(read('760', { unit: 'mm Hg' }, 'air-pressure')).toEqual(value(expect.closeTo(1013.25, 2)));
    expect(read('42.5', { unit: '% vol' }, 'parrot-strength')).toEqual(value(expect.closeTo(0.425, 9)));
    expect(read('2.5', { unit: 'L/min' }, 'coolant-flow')).toEqual(value(150));
  });

  it('scales and shifts in the unit of the source, then converts', () => {
    expect(read('1724', { unit: 'F', scale: 0.1 })).toEqual(value(expect.closeTo(78, 9)));
    expect(read('4', { unit: 'kPa', scale: 10, offset: 60 }, 'air-pressure')).toEqual(value(1000));
  });

  it('goes by what the payload itself says, and refuses nonsense', () => {
    const mapping = { path: 'T', unitPath: 'TempUnit' };
    expect(read('{"T":172.4,"TempUnit":"F"}', mapping)).toEqual(value(expect.closeTo(78, 9)));
    expect(read('{"T":78,"TempUnit":"hPa"}', mapping)).toEqual(fault('unit'));
    expect(read('{"T":78,"TempUnit":"smoots"}', mapping)).toEqual(fault('unit'));
    expect(read('{"T":78,"TempUnit":7}', mapping)).toEqual(fault('unit'));
    expect(read('{"T":78}', mapping)).toEqual(fault('unit'));
    expect(read('{"T":78}', { ...mapping, unit: 'C' })).toEqual(value(78));
  });

  it('wants the unit of a strength stated: 42 is not 4200 per cent', () => {
    expect(compileMapping({}, 'parrot-strength')).toMatchObject({ kind: 'bad', problems: [{ path: 'unit' }] });
  });

  it('refuses a unit that measures something else', () => {
    expect(compileMapping({ unit: 'hPa' }, 'vapour-temp')).toMatchObject({
      kind: 'bad',
      problems: [{ path: 'unit', value: '"hPa"' }],
    });
    expect(compileMapping({ unit: 'C' }, 'drive-state')).toMatchObject({ kind: 'bad', problems: [{ path: 'unit' }] });
  });
});

describe('payload: words', () => {
  it('knows the usual words of states, in any case', () => {
    for (const word of ['ON', 'on', 'Open', 'true']) expect(read(word, {}, 'drive-state')).toEqual(value(1));
    for (const word of ['OFF', 'closed', 'FALSE', 'shut']) expect(read(word, {}, 'drive-state')).toEqual(value(0));
    expect(read('{"output":false}', { path: 'output' }, 'drive-state')).toEqual(value(0));
    expect(read('3', {}, 'drive-state')).toEqual(value(3));
  });

  it('takes configured words exactly, and only those', () => {
    const tokens = { AN: 1, AUS: 0 };
    expect(read('AN', { tokens }, 'drive-state')).toEqual(value(1));
    expect(read('an', { tokens }, 'drive-state')).toEqual(fault('unknown-token'));
    expect(read('ON', { tokens }, 'drive-state')).toEqual(fault('unknown-token'));
  });

  it('lets a relay that works backwards be turned round', () => {
    expect(read('{"output":true}', { path: 'output', tokens: { true: 0, false: 1 } }, 'drive-state')).toEqual(value(0));
    expect(read('1', { tokens: { '1': 0, '0': 1 } }, 'drive-state')).toEqual(value(0));
  });

  it('is not fooled by words every object inherits', () => {
    for (const word of ['constructor', '__proto__', 'toString', 'hasOwnProperty']) {
      expect(read(word, {}, 'drive-state')).toEqual(fault('unknown-token'));
      expect(read(word, { tokens: { AN: 1 } }, 'vapour-temp')).toEqual(fault('unknown-token'));
    }
  });

  it('takes no boolean for a temperature', () => {
    expect(read('{"t":true}', { path: 't' })).toEqual(fault('not-a-number'));
  });
});

describe('payload: retained, partial, large, binary', () => {
  it('refuses what the broker had kept, unless told to accept it', () => {
    expect(read('78.4', {}, 'vapour-temp', true)).toEqual(fault('retained'));
    expect(read('78.4', { retained: 'accept' }, 'vapour-temp', true)).toEqual(value(78.4));
  });

  it('passes over a partial message that says nothing of this point', () => {
    const partial = '{"params":{"switch:1":{"output":true}}}';
    const path = "params['switch:0'].output";
    expect(read(partial, { path }, 'drive-state')).toEqual(fault('missing'));
    expect(read(partial, { path, missing: 'ignore' }, 'drive-state')).toEqual({ kind: 'none' });
  });

  it('refuses a payload past the limit, unread', () => {
    expect(read('7'.repeat(65537))).toEqual(fault('too-large'));
    expect(read(new Uint8Array(70000))).toEqual(fault('too-large'));
    expect(read('78.4', { maxBytes: 3 })).toEqual(fault('too-large'));
  });

  it('answers a long run of digits at once', () => {
    expect(read(`${'1'.repeat(65000)}x`)).toEqual(fault('text'));
    expect(read(`{"t":"${'1'.repeat(65000)}x"}`, { path: 't' })).toEqual(fault('text'));
  });

  it('refuses binary and torn UTF-8', () => {
    expect(read(new Uint8Array([0xff, 0xfe, 0x00, 0x80]))).toEqual(fault('text'));
    expect(read(new Uint8Array([0x37, 0xc3]))).toEqual(fault('text'));
    expect(read(new Uint8Array([0x37, 0x38]))).toEqual(value(78));
  });

  it('stands payloads nested as deep as they fit', () => {
    expect(read('['.repeat(65000), { path: 'a' })).toEqual(fault('text'));
    expect(read(`${'['.repeat(30000)}${']'.repeat(30000)}`, { path: '[0]' })).toEqual(fault('text'));
  });
});

describe('payload: UTF-8', () => {
  it('agrees with the platform on valid text', () => {
    const text = 'Obstler – 78,4 °C 🍐 \u0800\uFFFD';
    expect(textOfUtf8(new TextEncoder().encode(text))).toBe(text);
  });

  it('refuses overlong forms, surrogates and what lies past the last character', () => {
    // RFC 3629, section 10: overlong slash; section 3: surrogates; section 4: leads above F4.
    for (const bytes of [
      [0xc0, 0xaf],
      [0xe0, 0x80, 0xaf],
      [0xed, 0xa0, 0x80],
      [0xf4, 0x90, 0x80, 0x80],
      [0xf5, 0x80, 0x80, 0x80],
      [0x80],
    ]) {
      expect(textOfUtf8(new Uint8Array(bytes)), bytes.join()).toBeNull();
    }
  });
});

describe('path', () => {
  function at(text: string, document: unknown): unknown {
    const parsed = parsePath(text);
    if (parsed.kind === 'error') throw new Error(parsed.problem);
    return valueAtPath(document, parsed.path);
  }
  const probes = {
    'DS18B20-1': { Id: '3C01F0961A7B', Temperature: 92.3 },
    'DS18B20-2': { Id: '3C01F0962C11', Temperature: 78.3 },
    list: [
      { id: 1, v: 5 },
      { id: 2, v: 6 },
    ],
    'a.b': { c: 7 },
  };

  it('finds names, quoted names and members of lists', () => {
    expect(at('DS18B20-1.Temperature', probes)).toBe(92.3);
    expect(at("['a.b'].c", probes)).toBe(7);
    expect(at('$["a.b"]["c"]', probes)).toBe(7);
    expect(at('list[1].v', probes)).toBe(6);
    expect(at('[0]', [4])).toBe(4);
  });

  it('finds a probe by its own id, under whatever name it comes today', () => {
    const path = "DS18B20*[Id='3C01F0962C11'].Temperature";
    expect(at(path, probes)).toBe(78.3);
    expect(at(path, { DS18B20: { Id: '3C01F0962C11', Temperature: 77 } })).toBe(77);
    expect(at(path, { DS18B20: { Id: '3C01F0961A7B', Temperature: 77 } })).toBeUndefined();
    expect(at('list[id=2].v', probes)).toBe(6);
    expect(at("*[Id='3C01F0961A7B'].Temperature", probes)).toBe(92.3);
  });

  it('reaches nothing that was not sent', () => {
    for (const path of [
      '__proto__',
      'constructor',
      'toString',
      '__proto__.polluted',
      'list.length',
      'constructor.prototype',
    ]) {
      expect(at(path, { list: 'x' }), path).toBeUndefined();
    }
    expect(at('__proto__.t', JSON.parse('{"__proto__":{"t":1}}'))).toBe(1);
  });

  it('is not thrown by members that pose as methods', () => {
    expect(at("p*[Id='x'].v", JSON.parse('{"p1":{"Id":{"toString":1,"valueOf":2},"v":1},"p2":{"Id":"x","v":2}}'))).toBe(
      2,
    );
  });

  it('says where it cannot be read', () => {
    for (const text of [
      '',
      '.',
      'a..b',
      'a[',
      'a]',
      "a['b",
      'a[b',
      '[]',
      'a[-1]',
      'a.',
      'x'.repeat(3).concat('.y'.repeat(40)),
    ]) {
      const parsed = parsePath(text);
      expect(parsed.kind, text).toBe('error');
      if (parsed.kind === 'error') expect(parsed.remedy).toContain('DS18B20');
    }
  });
});
