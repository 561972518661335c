import { type JsonPath, valueAtPath } from './json-path';
import { textOfPayload } from './payload';

/** Where a device's answer to a command names the command and what went wrong. */
export interface ReplyMapping {
  readonly idPath: JsonPath;
  readonly errorPath: JsonPath;
}

export interface Reply {
  readonly id: string;
  /** What the device says went wrong; null where it took the command. */
  readonly error: string | null;
}

function shorten(value: unknown): string {
  const text = typeof value === 'string' ? value : (JSON.stringify(value) ?? '');
  return text.slice(0, 200);
}

/**
 * A device's answer to a command.
 *
 * @returns which command and whether it was refused; null for anything else
 */
export function readReply(payload: string | Uint8Array, mapping: ReplyMapping): Reply | null {
  const found = textOfPayload(payload, 65536);
  if (typeof found === 'string') return null;
  let document: unknown;
  try {
    document = JSON.parse(found.text);
  } catch {
    return null;
  }
  const id = valueAtPath(document, mapping.idPath);
  if (typeof id !== 'string' && typeof id !== 'number') return null;
  const error = valueAtPath(document, mapping.errorPath);
  return { id: String(id), error: error === undefined || error === null || error === false ? null : shorten(error) };
}
