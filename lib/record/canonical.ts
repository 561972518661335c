import { sha256Hex } from './sha256';

const deepest = 256;

function refuse(path: string, what: string): never {
  throw new TypeError(`${path === '' ? 'the value' : path} ${what} and has no canonical form`);
}

function writeNumber(value: number, path: string): string {
  if (!Number.isFinite(value)) refuse(path, `is ${value}`);
  return JSON.stringify(value);
}

function writeObject(value: object, path: string, depth: number): string {
  const prototype: unknown = Object.getPrototypeOf(value);
  if (prototype !== null && Object.getPrototypeOf(prototype) !== null) refuse(path, 'is not plain data');
  const source = value as Readonly<Record<string, unknown>>;
  const members: string[] = [];
  for (const key of Object.keys(source).sort()) {
    if (source[key] === undefined) continue;
    const here = path === '' ? key : `${path}.${key}`;
    members.push(`${JSON.stringify(key)}:${write(source[key], here, depth + 1)}`);
  }
  return `{${members.join(',')}}`;
}

function write(value: unknown, path: string, depth: number): string {
  if (depth > deepest) refuse(path, 'is nested too deeply or contains itself');
  switch (typeof value) {
    case 'string':
    case 'boolean':
      return JSON.stringify(value);
    case 'number':
      return writeNumber(value, path);
    case 'object':
      if (value === null) return 'null';
      if (!Array.isArray(value)) return writeObject(value, path, depth);
      // Array.from also visits holes, which JSON.stringify would turn into null without a word.
      return `[${Array.from(value, (item: unknown, i) => write(item, `${path}[${i}]`, depth + 1)).join(',')}]`;
    default:
      return refuse(path, `is ${value === undefined ? 'undefined' : `a ${typeof value}`}`);
  }
}

/**
 * The one text of a piece of plain JSON data: no spaces, keys sorted by UTF-16 code units, numbers as ECMAScript prints them.
 *
 * Keys that are undefined are left out, as in JSON. A lone surrogate stays as its escape, where RFC 8785 would refuse it.
 * @param value plain JSON data, at most 256 levels deep
 * @returns canonical JSON
 * Outside: NaN, an infinity, undefined or a hole in an array, functions, big integers, class instances and circles throw a
 * TypeError that names the place.
 * Source: RFC 8785 (JSON Canonicalization Scheme).
 */
export function canonicalJson(value: unknown): string {
  return write(value, '', 0);
}

/**
 * Fingerprint of a document by its content: the same whatever the order of its keys or the spacing of its file.
 * @param value plain JSON data
 * @returns SHA-256 of the canonical JSON, 64 hexadecimal digits
 * Outside: throws as `canonicalJson` does.
 */
export function contentHash(value: unknown): string {
  return sha256Hex(canonicalJson(value));
}
