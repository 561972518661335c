import { type Mapping, registerSentinels } from '../../lib/wire';
import type { Feed } from './feeds-schema';

/** Only the fields that are given: the mapping schema knows no undefined. */
function given<T extends object>(fields: T): { [K in keyof T]: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as never;
}

/** How the payload of a feed becomes a reading, with the defaults of its transport. */
export function mappingOfFeed(feed: Feed): Mapping {
  if ('mqtt' in feed) {
    const { topic: _topic, qos: _qos, availability: _availability, ...mapping } = feed.mqtt;
    return mapping;
  }
  if ('file' in feed) {
    const { path: _path, format: _format, everyS: _everyS, member, ...mapping } = feed.file;
    return { ...mapping, ...given({ path: member }) } as Mapping;
  }
  if ('serial' in feed) {
    const { unit, scale, offset, tokens, sentinels, decimalComma, maxBytes, missing } = feed.serial;
    // A device may send its points on lines of their own: a line without ours says nothing.
    return given({
      unit,
      scale,
      offset,
      tokens,
      sentinels,
      decimalComma,
      maxBytes,
      missing: missing ?? 'ignore',
    }) as Mapping;
  }
  const { unit, scale, offset, tokens, sentinels, decimalComma, type, table } = feed.modbus;
  const isBit = table === 'coil' || table === 'discrete';
  return given({
    unit,
    scale,
    offset,
    tokens,
    decimalComma,
    sentinels: sentinels ?? (isBit ? [] : registerSentinels[type]),
  }) as Mapping;
}

/** What makes two feeds read the very same thing. */
export function sourceOfFeed(feed: Feed): string {
  if ('mqtt' in feed) return JSON.stringify(['mqtt', feed.mqtt.topic, feed.mqtt.path ?? null]);
  if ('file' in feed) return JSON.stringify(['file', feed.file.path, feed.file.member ?? null]);
  if ('serial' in feed) return JSON.stringify(['serial', feed.serial.path, String(feed.serial.field)]);
  const { connection, unitId, table, address } = feed.modbus;
  return JSON.stringify(['modbus', connection, unitId, table, address]);
}

/** The port or bus a feed shares with others, and what must be the same for all of them. */
export function lineOfFeed(feed: Feed): { readonly path: string; readonly settings: string } | null {
  if ('serial' in feed) return { path: feed.serial.path, settings: `serial at ${feed.serial.baud} baud` };
  if (!('modbus' in feed) || !('path' in feed.modbus.connection)) return null;
  const { path, baud, parity, stopBits } = feed.modbus.connection;
  return { path, settings: `modbus at ${baud} baud, parity ${parity}, ${stopBits} stop bits` };
}
