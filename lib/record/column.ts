import { type ByteReader, type ByteWriter, Damage } from './bytes';

/** Small enough that differences of differences of differences, doubled for their sign, stay exact whole numbers. */
const largestWhole = 2 ** 46;
export const mostDigits = 12;
const powers = Array.from({ length: mostDigits + 1 }, (_, digits) => 10 ** digits);
const noDigits = mostDigits + 1;
const float32Column = 32;
const float64Column = 33;

/**
 * Decimal digits after the point that give a number back exactly: the least d with round(v·10^d)/10^d = v.
 * @returns 0..12, or 13 where there are none (minus zero and what is not finite included)
 */
export function digitsOf(value: number): number {
  if (!Number.isFinite(value) || Object.is(value, -0)) return noDigits;
  for (let digits = 0; digits <= mostDigits; digits++) {
    const power = powers[digits] ?? 1;
    const whole = Math.round(value * power);
    if (Math.abs(whole) >= largestWhole) return noDigits;
    if (whole / power === value) return digits;
  }
  return noDigits;
}

/** The digits that all of these numbers need; null where one has none. */
export function commonDigits(values: readonly number[]): number | null {
  let most = 0;
  for (const value of values) {
    const digits = digitsOf(value);
    if (digits === noDigits) return null;
    if (digits > most) most = digits;
  }
  // A large number that needs few digits may not bear the many of another.
  const limit = largestWhole / (powers[most] ?? 1);
  return values.every((value) => Math.abs(value) < limit) ? most : null;
}

export const scale = (value: number, digits: number): number => Math.round(value * (powers[digits] ?? 1));
export const unscale = (whole: number, digits: number): number => whole / (powers[digits] ?? 1);

function greatestDivisor(a: number, b: number): number {
  let [x, y] = [Math.abs(a), Math.abs(b)];
  while (y > 0) [x, y] = [y, x % y];
  return x;
}

const sizeOf = (value: number): number => 32 - Math.clz32(Math.min(Math.abs(value), 0x7fffffff));

const median = (values: readonly number[]): number => values.toSorted((a, b) => a - b)[values.length >> 1] ?? 0;

const totalSize = (values: readonly number[]): number => values.reduce((sum, value) => sum + sizeOf(value), 0);

/**
 * Whole numbers as differences in their common step. Of first order, less the usual difference, for what is noisy or comes at
 * a steady pace; of second order for what grows; whichever is smaller.
 */
export function writeWholes(to: ByteWriter, values: readonly number[]): void {
  if (values.length === 0) return;
  const differences = values.slice(1).map((value, i) => value - (values[i] ?? 0));
  const step = differences.reduce(
    (divisor, difference) => (divisor === 1 ? 1 : greatestDivisor(divisor, difference)),
    0,
  );
  const steps = step === 0 ? differences : differences.map((difference) => difference / step);
  const usual = median(steps);
  const first = steps.map((difference) => difference - usual);
  const second = steps.map((difference, i) => difference - (i === 0 ? 0 : (steps[i - 1] ?? 0)));
  const order = totalSize(second) < totalSize(first) ? 2 : 1;
  to.byte(order);
  to.whole(step);
  to.signed(values[0] ?? 0);
  if (order === 1) to.signed(usual);
  for (const residual of order === 2 ? second : first) to.signed(residual);
}

export function readWholes(from: ByteReader, count: number): number[] {
  if (count === 0) return [];
  const order = from.byte();
  if (order !== 1 && order !== 2) throw new Damage(`has a column of order ${order}`);
  const step = from.whole();
  const values = [from.signed()];
  const usual = order === 1 ? from.signed() : 0;
  let difference = 0;
  for (let i = 1; i < count; i++) {
    difference = from.signed() + (order === 1 ? usual : difference);
    values.push((values[i - 1] ?? 0) + difference * step);
  }
  return values;
}

/** Few entries among many: their places as gaps, each followed by what `entry` writes. */
export function writeSparse<T>(
  to: ByteWriter,
  entries: readonly (readonly [number, T])[],
  entry: (value: T) => void,
): void {
  to.whole(entries.length);
  let next = 0;
  for (const [place, value] of entries) {
    to.whole(place - next);
    entry(value);
    next = place + 1;
  }
}

export function readSparse<T>(from: ByteReader, length: number, entry: () => T): Map<number, T> {
  const entries = new Map<number, T>();
  const count = from.count();
  let place = -1;
  for (let i = 0; i < count; i++) {
    place += 1 + from.whole();
    if (place >= length) throw new Damage(`names entry ${place} of ${length}`);
    entries.set(place, entry());
  }
  return entries;
}

/** Numbers by their bits, each against the one before, byte by byte across all: the bytes that stay are zeros side by side. */
function writeBits(to: ByteWriter, values: readonly number[], width: 4 | 8): void {
  const view = new DataView(new ArrayBuffer(width * (values.length + 1)));
  values.forEach((value, i) => {
    if (width === 8) view.setFloat64((i + 1) * 8, value, true);
    else view.setFloat32((i + 1) * 4, value, true);
  });
  for (let plane = 0; plane < width; plane++) {
    for (let i = 1; i <= values.length; i++) {
      to.byte(view.getUint8(i * width + plane) ^ view.getUint8((i - 1) * width + plane));
    }
  }
}

function readBits(from: ByteReader, count: number, width: 4 | 8): number[] {
  const planes = from.bytes(count * width);
  const view = new DataView(new ArrayBuffer(width * (count + 1)));
  for (let plane = 0; plane < width; plane++) {
    for (let i = 1; i <= count; i++) {
      view.setUint8(i * width + plane, (planes[plane * count + i - 1] ?? 0) ^ view.getUint8((i - 1) * width + plane));
    }
  }
  return Array.from({ length: count }, (_, i) =>
    width === 8 ? view.getFloat64((i + 1) * 8, true) : view.getFloat32((i + 1) * 4, true),
  );
}

/** The digits that leave at most one number in sixteen as an exception; null where none do. */
function chooseDigits(values: readonly number[]): number | null {
  const need = new Array<number>(noDigits + 1).fill(0);
  for (const value of values) {
    const digits = digitsOf(value);
    need[digits] = (need[digits] ?? 0) + 1;
  }
  let beyond = values.length;
  for (let digits = 0; digits <= mostDigits; digits++) {
    beyond -= need[digits] ?? 0;
    if (beyond <= values.length / 16) return digits;
  }
  return null;
}

/**
 * Any numbers, bit for bit: as decimals of few digits where nearly all are (exceptions apart), by their bits otherwise.
 * @param values numbers, NaN, the infinities and minus zero included
 */
export function writeNumbers(to: ByteWriter, values: readonly number[]): void {
  if (values.length === 0) return;
  const digits = chooseDigits(values);
  if (digits === null) {
    const single = values.every((value) => Object.is(Math.fround(value), value));
    to.byte(single ? float32Column : float64Column);
    writeBits(to, values, single ? 4 : 8);
    return;
  }
  const power = powers[digits] ?? 1;
  const exceptions: [number, number][] = [];
  let last = 0;
  const wholes = values.map((value, i) => {
    const whole = Math.round(value * power);
    if (Math.abs(whole) < largestWhole && whole / power === value && !Object.is(value, -0)) last = whole;
    else exceptions.push([i, value]);
    return last;
  });
  to.byte(digits);
  writeSparse(to, exceptions, (value) => to.double(value));
  writeWholes(to, wholes);
}

export function readNumbers(from: ByteReader, count: number): number[] {
  if (count === 0) return [];
  const form = from.byte();
  if (form === float32Column || form === float64Column) return readBits(from, count, form === float64Column ? 8 : 4);
  const power = powers[form];
  if (power === undefined) throw new Damage(`has a column of form ${form}`);
  const exceptions = readSparse(from, count, () => from.double());
  return readWholes(from, count).map((whole, i) => exceptions.get(i) ?? whole / power);
}
