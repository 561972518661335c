import type { Input, Order, Reading } from '../engine/types';
import { ByteWriter } from './bytes';
import { commonDigits, scale, writeNumbers, writeSparse, writeWholes } from './column';
import { crc32 } from './crc32';
import { writeExactJson } from './exact-json';
import { encodeUtf8 } from './utf8';

/**
 * A chunk, version 1, in this order (whole numbers seven bits a byte, columns as in `column.ts`):
 *   "MCI" and the version; number of scans, number of readings; names as JSON { points, faults }, its length first
 *   per scan: 2 × readings + (1 if it has orders, or readings that were dropped)
 *   per reading: 0 for a point not seen before in this chunk, else 1 + its place among those seen, longest unseen first
 *   readings that are not a plain value: place, 2 × (fault + 1) + (1 if null)
 *   digits of the time grid; arrival times, point by point; scan times against the last arrival or the scan before
 *   values that are not null, point by point
 *   orders as JSON [[scan, orders, dropped?], …], its length first, 0 where there are none; CRC-32 of all before
 * A point that reports in turn at its own pace costs nothing but the jitter of its clock and the noise of its value.
 */
export const signature = Uint8Array.of(0x4d, 0x43, 0x49);
export const version = 1;
/** In place of the digits: times that fit no decimal grid are kept by their bits. */
export const noGrid = 255;

// A field added to the contracts must be carried here too: these stop compiling until it is.
const inputFields: Readonly<Record<keyof Input, true>> = {
  now: true,
  readings: true,
  orders: true,
  dropped: true,
};
const readingFields: Readonly<Record<keyof Reading, true>> = { point: true, value: true, atS: true, fault: true };

interface PointColumn {
  readonly name: string;
  readonly arrivalsS: number[];
  readonly values: number[];
}

/** Scan, its orders, and how many readings were dropped before it. */
export type Said = readonly [scan: number, orders: readonly Order[], dropped?: number];

interface Columns {
  readonly points: readonly PointColumn[];
  readonly faults: readonly string[];
  readonly heads: readonly number[];
  readonly ranks: readonly number[];
  readonly statuses: readonly (readonly [number, number])[];
  readonly orders: readonly Said[];
}

function assertFields(thing: object, known: object, what: string): void {
  for (const key in thing) {
    if (!Object.hasOwn(known, key)) throw new TypeError(`${what} has a field "${key}" that the record cannot keep`);
  }
}

function columnsOf(inputs: readonly Input[]): Columns {
  const points = new Map<string, PointColumn>();
  const faults = new Map<string, number>();
  const unseenLongest: string[] = [];
  const heads: number[] = [];
  const ranks: number[] = [];
  const statuses: [number, number][] = [];
  const orders: Said[] = [];
  inputs.forEach((input, scan) => {
    assertFields(input, inputFields, 'an input');
    const { dropped } = input;
    const says = input.orders.length > 0 || dropped !== undefined;
    heads.push(input.readings.length * 2 + (says ? 1 : 0));
    if (says) orders.push(dropped === undefined ? [scan, input.orders] : [scan, input.orders, dropped]);
    for (const reading of input.readings) {
      assertFields(reading, readingFields, 'a reading');
      let column = points.get(reading.point);
      if (column === undefined) {
        column = { name: reading.point, arrivalsS: [], values: [] };
        points.set(reading.point, column);
        ranks.push(0);
      } else {
        const rank = unseenLongest.indexOf(reading.point);
        unseenLongest.splice(rank, 1);
        ranks.push(rank + 1);
      }
      unseenLongest.push(reading.point);
      if (reading.fault !== undefined && !faults.has(reading.fault)) faults.set(reading.fault, faults.size);
      const fault = reading.fault === undefined ? 0 : (faults.get(reading.fault) ?? 0) + 1;
      if (fault > 0 || reading.value === null)
        statuses.push([ranks.length - 1, fault * 2 + (reading.value === null ? 1 : 0)]);
      column.arrivalsS.push(reading.atS);
      if (reading.value !== null) column.values.push(reading.value);
    }
  });
  return { points: [...points.values()], faults: [...faults.keys()], heads, ranks, statuses, orders };
}

function writeText(to: ByteWriter, text: string): void {
  const bytes = encodeUtf8(text);
  to.whole(bytes.length);
  to.bytes(bytes);
}

/** Scan times on the grid: how long after its last reading a scan ran, or for a tick how long after the scan before. */
function writeScanTimes(to: ByteWriter, inputs: readonly Input[], digits: number): void {
  const lags: number[] = [];
  const ticks: number[] = [];
  let before = scale(inputs[0]?.now ?? 0, digits);
  to.signed(before);
  for (const input of inputs) {
    const now = scale(input.now, digits);
    const last = input.readings.at(-1);
    if (last === undefined) ticks.push(now - before);
    else lags.push(now - scale(last.atS, digits));
    before = now;
  }
  writeWholes(to, lags);
  writeWholes(to, ticks);
}

function writeTimes(to: ByteWriter, inputs: readonly Input[], points: readonly PointColumn[]): void {
  const digits = commonDigits([...inputs.map((input) => input.now), ...points.flatMap((point) => point.arrivalsS)]);
  to.byte(digits ?? noGrid);
  if (digits !== null) {
    for (const point of points)
      writeWholes(
        to,
        point.arrivalsS.map((atS) => scale(atS, digits)),
      );
    writeScanTimes(to, inputs, digits);
    return;
  }
  for (const point of points) writeNumbers(to, point.arrivalsS);
  const apart = inputs.flatMap((input, scan) =>
    Object.is(input.now, input.readings.at(-1)?.atS) ? [] : [[scan, input.now] as const],
  );
  writeSparse(
    to,
    apart.map(([scan]) => [scan, null]),
    () => {},
  );
  writeNumbers(
    to,
    apart.map(([, now]) => now),
  );
}

/**
 * The inputs of a stretch of scans as bytes that give them back exactly; meant to be deflated afterwards.
 * @param inputs scans in order; any times, any values (NaN, minus zero and null included), any point names
 * @returns a chunk, version 1
 * Outside: an input or reading with a field the format does not know throws a TypeError rather than losing it.
 */
export function encodeInputs(inputs: readonly Input[]): Uint8Array {
  const columns = columnsOf(inputs);
  const to = new ByteWriter();
  to.bytes(signature);
  to.byte(version);
  to.whole(inputs.length);
  to.whole(columns.ranks.length);
  writeText(to, JSON.stringify({ points: columns.points.map((point) => point.name), faults: columns.faults }));
  for (const head of columns.heads) to.whole(head);
  for (const rank of columns.ranks) to.whole(rank);
  writeSparse(to, columns.statuses, (status) => to.whole(status));
  writeTimes(to, inputs, columns.points);
  for (const point of columns.points) {
    to.whole(point.values.length);
    writeNumbers(to, point.values);
  }
  writeText(to, columns.orders.length === 0 ? '' : writeExactJson(columns.orders));
  const body = to.finish();
  const check = new DataView(new ArrayBuffer(4));
  check.setUint32(0, crc32(body), true);
  to.bytes(new Uint8Array(check.buffer));
  return to.finish();
}
