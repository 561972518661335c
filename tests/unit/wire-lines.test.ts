import { describe, expect, it } from 'vitest';
import {
  compileMapping,
  decodeRegisters,
  type LineMapping,
  type Mapped,
  type Mapping,
  nothingYet,
  oneWireCrc,
  readLine,
  readThermometerFile,
  sentenceChecksum,
  takeLines,
  wordOrders,
} from '../../lib/wire';

function compiled(mapping: Mapping = {}) {
  const result = compileMapping(mapping, 'vapour-temp');
  if (result.kind === 'bad') throw new Error(JSON.stringify(result.problems));
  return result.value;
}
function line(text: string, source: LineMapping, mapping: Mapping = {}): Mapped {
  return readLine(text, source, compiled(mapping));
}
const value = (number: number) => ({ kind: 'value', value: number });
const none = { kind: 'none' };
const fault = (kind: string) => ({ kind: 'fault', fault: kind });

describe('lines from a serial stream', () => {
  it('drop what comes before the first line end: 91.3 cut in the middle is no 1.3', () => {
    const first = takeLines(nothingYet, '1.3\r\nT1=91.4\r\nT1=9');
    expect(first.lines).toEqual(['T1=91.4']);
    expect(takeLines(first.rest, '1.5\n').lines).toEqual(['T1=91.5']);
  });

  it('come out whole, however they are cut', () => {
    const text = 'x\r\nT1=91.4;T2=78.1\r\nT1=91.5;T2=78.2\nT1=91.6;T2=78.3\r\n';
    let rest = nothingYet;
    const lines: string[] = [];
    for (const letter of text) {
      const taken = takeLines(rest, letter);
      rest = taken.rest;
      lines.push(...taken.lines);
    }
    expect(lines).toEqual(['T1=91.4;T2=78.1', 'T1=91.5;T2=78.2', 'T1=91.6;T2=78.3']);
  });

  it('have a bound: a line without an end is dropped and said so', () => {
    let rest = { text: '', startSeen: true };
    let overflows = 0;
    for (let i = 0; i < 100; i += 1) {
      const taken = takeLines(rest, 'x'.repeat(1000));
      rest = { ...taken.rest };
      overflows += taken.overflow ? 1 : 0;
      expect(rest.text.length).toBeLessThanOrEqual(4096);
    }
    expect(overflows).toBeGreaterThan(0);
    expect(takeLines(rest, 'tail=1\nT1=90\n').lines).toEqual(['T1=90']);
  });
});

describe('a line', () => {
  const pairs: LineMapping = { format: 'key-value', field: 'T2' };

  it('of names and values gives the field asked for', () => {
    expect(line('T1=92.31;T2=78.38', pairs)).toEqual(value(78.38));
    expect(line('T1: 92.31, T2: 78.38', pairs)).toEqual(none);
    expect(line('T1:92.31 T2:78.38', pairs)).toEqual(value(78.38));
    expect(line('T1=92.31|T2=78.38', { ...pairs, separator: '|' })).toEqual(value(78.38));
    expect(line('T1=92.31', pairs)).toEqual(fault('missing'));
    expect(line('T1=92.31', pairs, { missing: 'ignore' })).toEqual(none);
  });

  it('of boot messages says nothing', () => {
    for (const noise of [
      ' ets Jan  8 2013,rst cause:2, boot mode:(3,6)',
      'load 0x4010f000, len 3460, room 16',
      '~ld',
      '\u0000{l\u0000',
    ]) {
      expect(line(noise, pairs), noise).toEqual(none);
      expect(line(noise, { format: 'json', field: 'head' }), noise).toEqual(none);
      expect(line(noise, { format: 'checksummed', field: '1' }), noise).toEqual(none);
      expect(line(noise, { format: 'csv', field: '1', columns: 5 }), noise).toEqual(none);
    }
  });

  it('with a checksum is believed only if it fits', () => {
    // The worked checksum of the usual GGA sentence of the NMEA 0183 literature is 47 (from memory).
    expect(sentenceChecksum('GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,')).toBe(0x47);
    const source: LineMapping = { format: 'checksummed', field: '2' };
    expect(line('$STL,92.31,78.38,31.50*43', source)).toEqual(value(78.38));
    expect(line('$STL,92.31,78.39,31.50*43', source)).toEqual(fault('checksum'));
    expect(line('$STL,92.31,78.38', source)).toEqual(fault('checksum'));
  });

  it('of columns is counted from nought', () => {
    const source: LineMapping = { format: 'csv', field: '1' };
    expect(line('78.1,78.2', source)).toEqual(value(78.2));
    expect(line('78,1;78,2', source, { decimalComma: true })).toEqual(value(78.2));
    expect(line('78.1', source)).toEqual(fault('missing'));
    expect(line('78.1,', source)).toEqual(fault('empty'));
  });
});

describe('thermometer file', () => {
  const mapping = compiled();

  it('has the CRC of the published example', () => {
    // Maxim application note 27: ROM code 02 1C B8 01 00 00 00 has CRC A2.
    expect(oneWireCrc([0x02, 0x1c, 0xb8, 0x01, 0x00, 0x00, 0x00])).toBe(0xa2);
  });

  it('is refused when its bytes were changed although the kernel says yes', () => {
    const text = 'e6 04 4b 46 7f ff 0b 10 76 : crc=76 YES\ne6 04 4b 46 7f ff 0b 10 76 t=78375\n';
    expect(readThermometerFile(text, mapping)).toEqual(fault('checksum'));
  });

  it('is refused when torn or when it is something else', () => {
    for (const text of ['e6 04 4b 46 7f ff 0a 10 76 : crc=76 YES\n', 't=78375', '78.375', 'x'.repeat(5000)]) {
      expect(readThermometerFile(text, mapping).kind, text.slice(0, 30)).toBe('fault');
    }
  });
});

describe('registers', () => {
  // 78.38 as IEEE 754 single precision is 42 9C C2 8F.
  it('are put together in each of the four orders makers use', () => {
    const laid = { ABCD: [0x429c, 0xc28f], CDAB: [0xc28f, 0x429c], BADC: [0x9c42, 0x8fc2], DCBA: [0x8fc2, 0x9c42] };
    for (const order of wordOrders) expect(decodeRegisters(laid[order], 'float32', order), order).toBeCloseTo(78.38, 5);
  });

  it('hold signed and unsigned whole numbers', () => {
    expect(decodeRegisters([0xffce], 'int16', 'ABCD')).toBe(-50);
    expect(decodeRegisters([0xffce], 'uint16', 'ABCD')).toBe(65486);
    expect(decodeRegisters([0xffff, 0xfffe], 'int32', 'ABCD')).toBe(-2);
    expect(decodeRegisters([0x0001, 0x0000], 'uint32', 'ABCD')).toBe(65536);
    expect(decodeRegisters([0x4053, 0x9851, 0xeb85, 0x1eb8], 'float64', 'ABCD')).toBeCloseTo(78.38, 10);
  });

  it('of the wrong count are no number', () => {
    expect(decodeRegisters([1], 'float32', 'ABCD')).toBeNull();
    expect(decodeRegisters([], 'int16', 'ABCD')).toBeNull();
  });
});
