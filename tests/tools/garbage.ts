import { orderKinds } from '../../lib/wire';

/** Chance for one run of garbage: the same seed gives the same garbage. */
export interface Chance {
  readonly uniform: () => number;
}

const pick = <T>(chance: Chance, from: readonly T[]): T => from[Math.floor(chance.uniform() * from.length)] as T;

/** Payloads that firmware, people and attackers really send where a number belongs; none is a believable temperature. */
const oddReadings: readonly string[] = [
  '',
  ' ',
  'NaN',
  'nan',
  'Infinity',
  '-Infinity',
  '1e400',
  '-127',
  '-127.00',
  '85.1.2',
  '0x1F',
  '1_000',
  '12,5,7',
  'null',
  'undefined',
  'unavailable',
  'true',
  '{}',
  '[]',
  '{"value":',
  '{"value":"NaN"}',
  '{"DS18B20":{"Temperature":null}}',
  '"\\ud800"',
  '﻿80',
  '8'.repeat(400),
  '-0',
  '1e-400',
  '999999999999',
  '-273.16',
  '__proto__',
  '{"__proto__":{"value":80}}',
  '{"constructor":{"prototype":{}}}',
  '\u0000\u0001\u0002',
  '80\u000080',
  '<temp>80</temp>',
  "80'; DROP TABLE runs; --",
  '../../etc/passwd',
  '%n%n%n%s',
  '💥',
];

function bytes(chance: Chance, longest: number): Buffer {
  const all = Buffer.alloc(Math.floor(chance.uniform() ** 3 * longest));
  for (let at = 0; at < all.length; at += 1) all[at] = Math.floor(chance.uniform() * 256);
  return all;
}

function nested(depth: number, open: string, close: string): string {
  return open.repeat(depth) + close.repeat(depth);
}

/** Something where a reading belongs that is none: text, bytes, sentinels, deep or huge documents. */
export function garbageReading(chance: Chance): Buffer {
  const kind = chance.uniform();
  if (kind < 0.6) return Buffer.from(pick(chance, oddReadings));
  if (kind < 0.9) return bytes(chance, 200);
  if (kind < 0.98) return Buffer.from(nested(1 + Math.floor(chance.uniform() * 3000), '[', ']'));
  return bytes(chance, 80_000);
}

const oddValues: readonly unknown[] = [
  null,
  true,
  -1,
  0,
  1e308,
  -1e308,
  '',
  'x'.repeat(3000),
  [],
  {},
  [[[]]],
  { order: 'start' },
  '__proto__',
  '../../x',
  'heads\u0000',
  '💥',
  1e21,
];

const fields = [
  'order',
  'id',
  'by',
  'text',
  'target',
  'forS',
  'recipe',
  'variant',
  'chargeL',
  'chargeVolPercent',
  '__proto__',
  'x',
];

/**
 * An order that is wrong, or that a stranger from elsewhere may not give: never one that a still has to obey by moving something. What
 * makes things safer is left out, for that is rightly obeyed.
 */
export function garbageOrder(chance: Chance): Buffer {
  const kind = chance.uniform();
  if (kind < 0.15) return bytes(chance, 400);
  if (kind < 0.25) return Buffer.from(nested(1 + Math.floor(chance.uniform() * 3000), '{"order":', '}'));
  const harmless = orderKinds.filter(
    (order) => !['hold', 'stop', 'abort', 'cut', 'undo-cut', 'decline-cut', 'next-jar'].includes(order),
  );
  const order: Record<string, unknown> = { order: pick(chance, harmless) };
  const changes = 1 + Math.floor(chance.uniform() * 3);
  for (let change = 0; change < changes; change += 1) order[pick(chance, fields)] = pick(chance, oddValues);
  const text = JSON.stringify(order);
  if (kind < 0.45) return Buffer.from(text.slice(0, Math.floor(chance.uniform() * text.length)));
  if (kind < 0.55) {
    const broken = Buffer.from(text);
    for (let at = 0; at < 3; at += 1)
      broken[Math.floor(chance.uniform() * broken.length)] = Math.floor(chance.uniform() * 256);
    return broken;
  }
  if (kind < 0.57) return bytes(chance, 90_000);
  return Buffer.from(text);
}
