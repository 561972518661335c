import { type JsonPath, valueAtPath } from './json-path';
import { textOfPayload } from './payload';

/** Words by which firmware and conventions say that a device is there, or is not (its last will). */
const onlineWords = new Set(['online', 'ready', 'connected', 'alive', 'alert', 'true', '1']);
const offlineWords = new Set(['offline', 'lost', 'disconnected', 'dead', 'false', '0']);
const usualMembers = ['state', 'online'] as const;

export interface AvailabilityMapping {
  /** Where the word stands in a JSON payload; `state` and `online` are tried if null. */
  readonly path: JsonPath | null;
  /** The device's own words, where they are not the usual ones. */
  readonly online?: string;
  readonly offline?: string;
}

function plainWord(value: unknown): string | null {
  if (typeof value === 'string') return value.trim();
  return typeof value === 'boolean' || typeof value === 'number' ? String(value) : null;
}

function wordOf(text: string, path: JsonPath | null): string | null {
  if (path === null && !text.startsWith('{')) return text.replace(/^"(.*)"$/, '$1');
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch {
    return null;
  }
  if (path !== null) return plainWord(valueAtPath(document, path));
  for (const key of usualMembers) {
    const word = plainWord(valueAtPath(document, [{ kind: 'key', key }]));
    if (word !== null) return word;
  }
  return null;
}

/**
 * Whether a device says it is there.
 *
 * @returns true or false, or null where the message tells neither (unknown word, binary, empty)
 */
export function readAvailability(payload: string | Uint8Array, mapping: AvailabilityMapping): boolean | null {
  const found = textOfPayload(payload, 65536);
  if (typeof found === 'string') return null;
  const word = wordOf(found.text, mapping.path);
  if (word === null) return null;
  if (mapping.offline !== undefined && word === mapping.offline) return false;
  if (mapping.online !== undefined && word === mapping.online) return true;
  const plain = word.toLowerCase();
  if (offlineWords.has(plain) && mapping.offline === undefined) return false;
  return onlineWords.has(plain) && mapping.online === undefined ? true : null;
}
