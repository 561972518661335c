import type { Input, Order, Reading, ReadingFault } from '../engine/types';
import { ByteReader, Damage } from './bytes';
import { noGrid, type Said, signature, version } from './chunk';
import { mostDigits, readNumbers, readSparse, readWholes, scale, unscale } from './column';
import { crc32 } from './crc32';
import { readExactJson } from './exact-json';
import { decodeUtf8 } from './utf8';

function readText(from: ByteReader): string {
  const text = decodeUtf8(from.bytes(from.whole()));
  if (text === null) throw new Damage('holds text that is not UTF-8');
  return text;
}

function readJson(text: string): unknown {
  try {
    return readExactJson(text);
  } catch {
    throw new Damage('holds text that is not JSON');
  }
}

interface Names {
  readonly points: readonly string[];
  readonly faults: readonly ReadingFault[];
}

function readNames(from: ByteReader): Names {
  const names = readJson(readText(from)) as Partial<Names> | null;
  const isTexts = (list: unknown): boolean => Array.isArray(list) && list.every((name) => typeof name === 'string');
  if (names === null || !isTexts(names.points) || !isTexts(names.faults)) throw new Damage('has no list of its points');
  return names as Names;
}

/** Which point each reading is of, from the places among those seen. */
function pointsOf(ranks: readonly number[], names: readonly string[]): number[] {
  const unseenLongest: number[] = [];
  let known = 0;
  return ranks.map((rank) => {
    const point = rank === 0 ? known++ : unseenLongest.splice(rank - 1, 1)[0];
    if (point === undefined || point >= names.length) throw new Damage('names a point that is not in its list');
    unseenLongest.push(point);
    return point;
  });
}

/** Hands out the entries of a column one after the other. */
function cursor(column: readonly number[]): () => number {
  let at = 0;
  return () => {
    const value = column[at++];
    if (value === undefined) throw new Damage('has a column that is too short');
    return value;
  };
}

interface Times {
  readonly arrivalS: readonly (() => number)[];
  readonly scanS: (scan: number, lastArrivalS: number | null) => number;
}

function readTimes(from: ByteReader, counts: readonly number[], heads: readonly number[]): Times {
  const digits = from.byte();
  const scans = heads.length;
  if (digits === noGrid) {
    const arrivalS = counts.map((count) => cursor(readNumbers(from, count)));
    const apart = readSparse(from, scans, () => null);
    const next = cursor(readNumbers(from, apart.size));
    return {
      arrivalS,
      scanS: (scan, lastArrivalS) => {
        if (apart.has(scan)) return next();
        if (lastArrivalS === null) throw new Damage('has a scan without a time');
        return lastArrivalS;
      },
    };
  }
  if (digits > mostDigits) throw new Damage(`has a time grid of ${digits} digits`);
  const arrivalS = counts.map((count) => cursor(readWholes(from, count).map((whole) => unscale(whole, digits))));
  let before = from.signed();
  const ticks = heads.filter((head) => head < 2).length;
  const lag = cursor(readWholes(from, scans - ticks));
  const tick = cursor(readWholes(from, ticks));
  return {
    arrivalS,
    scanS: (_scan, lastArrivalS) => {
      before = lastArrivalS === null ? before + tick() : scale(lastArrivalS, digits) + lag();
      return unscale(before, digits);
    },
  };
}

interface Saying {
  readonly orders: readonly Order[];
  readonly dropped?: number;
}

function readOrders(from: ByteReader): Map<number, Saying> {
  const text = readText(from);
  if (text === '') return new Map();
  const entries = readJson(text);
  if (!Array.isArray(entries)) throw new Damage('has orders that are no list');
  return new Map(
    (entries as readonly Said[]).map(([scan, orders, dropped]) => [
      scan,
      dropped === undefined ? { orders } : { orders, dropped },
    ]),
  );
}

function readBody(from: ByteReader): Input[] {
  const scans = from.count();
  const readings = from.count();
  const names = readNames(from);
  const heads = Array.from({ length: scans }, () => from.whole());
  const points = pointsOf(
    Array.from({ length: readings }, () => from.whole()),
    names.points,
  );
  const statuses = readSparse(from, readings, () => from.whole());
  const counts = new Array<number>(names.points.length).fill(0);
  for (const point of points) counts[point] = (counts[point] ?? 0) + 1;
  const times = readTimes(from, counts, heads);
  const values = names.points.map(() => cursor(readNumbers(from, from.count())));
  const orders = readOrders(from);
  let place = 0;
  const readReading = (): Reading => {
    const point = points[place];
    if (point === undefined) throw new Damage('has fewer readings than its scans say');
    const status = statuses.get(place++) ?? 0;
    const fault = status < 2 ? undefined : names.faults[Math.floor(status / 2) - 1];
    if (status >= 2 && fault === undefined) throw new Damage('names a fault that is not in its list');
    const atS = times.arrivalS[point]?.() ?? Number.NaN;
    const value = status % 2 === 1 ? null : (values[point]?.() ?? null);
    const name = names.points[point] ?? '';
    return fault === undefined ? { point: name, value, atS } : { point: name, value, atS, fault };
  };
  const inputs = heads.map((head, scan): Input => {
    if ((head % 2 === 1) !== orders.has(scan)) throw new Damage('has orders that belong to no scan');
    const read = Array.from({ length: Math.floor(head / 2) }, readReading);
    return {
      now: times.scanS(scan, read.at(-1)?.atS ?? null),
      readings: read,
      ...(orders.get(scan) ?? { orders: [] }),
    };
  });
  if (place !== readings || from.left !== 0) throw new Damage('has more than its scans say');
  return inputs;
}

export type ReadChunk =
  | { readonly kind: 'ok'; readonly inputs: readonly Input[] }
  | { readonly kind: 'damaged'; readonly message: string };

/**
 * Gives back what `encodeInputs` took, or says what is wrong with the bytes: never something else.
 * @param bytes a chunk
 */
export function readChunk(bytes: Uint8Array): ReadChunk {
  const damaged = (message: string): ReadChunk => ({ kind: 'damaged', message: `the chunk ${message}` });
  if (bytes.length < 8 || signature.some((byte, i) => bytes[i] !== byte)) return damaged('is not one of ours');
  const end = bytes.length - 4;
  const expected = new DataView(bytes.buffer, bytes.byteOffset + end, 4).getUint32(0, true);
  if (crc32(bytes.subarray(0, end)) !== expected) return damaged('does not agree with its checksum');
  if (bytes[3] !== version) return damaged(`has version ${bytes[3]}, and this program reads version ${version}`);
  try {
    return { kind: 'ok', inputs: readBody(new ByteReader(bytes.subarray(4, end))) };
  } catch (error) {
    if (error instanceof Damage) return damaged(error.message);
    throw error;
  }
}

/** As `readChunk`, for bytes known to be whole; throws an Error that says what is wrong otherwise. */
export function decodeInputs(bytes: Uint8Array): readonly Input[] {
  const read = readChunk(bytes);
  if (read.kind === 'damaged') throw new Error(read.message);
  return read.inputs;
}
