const mark = '$exact';

function pack(_key: string, value: unknown): unknown {
  if (typeof value === 'number' && (!Number.isFinite(value) || Object.is(value, -0))) {
    return { [mark]: Object.is(value, -0) ? '-0' : String(value) };
  }
  if (value !== null && typeof value === 'object' && Object.hasOwn(value, mark)) {
    return { [mark]: 'object', entries: Object.entries(value) };
  }
  return value;
}

function unpack(_key: string, value: unknown): unknown {
  if (value === null || typeof value !== 'object' || !Object.hasOwn(value, mark)) return value;
  const packed = value as { readonly [mark]: string; readonly entries?: readonly (readonly [string, unknown])[] };
  return packed.entries === undefined ? Number(packed[mark]) : Object.fromEntries(packed.entries);
}

/**
 * JSON that loses no number: NaN, the infinities and minus zero are written as `{"$exact":"NaN"}` and so on.
 *
 * For what must be kept as it was said, however odd; documents that are hashed by content use `canonicalJson`.
 * @param value plain data
 * @returns JSON text
 * Outside: undefined and functions go the way of JSON; a circle throws a TypeError.
 */
export function writeExactJson(value: unknown): string {
  return JSON.stringify(value, pack) ?? 'null';
}

/** Inverse of `writeExactJson`; throws a SyntaxError where the text is not JSON. */
export function readExactJson(text: string): unknown {
  return JSON.parse(text, unpack);
}
