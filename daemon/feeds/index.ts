import { performance } from 'node:perf_hooks';
import { merge, Observable } from 'rxjs';
import type { Still } from '../../lib/still/schema';
import { compileMapping } from '../../lib/wire';
import { mappingOfFeed } from '../config/feed-mapping';
import type { Feed, FileFeed, ModbusFeed, MqttFeed, SerialFeed } from '../config/feeds-schema';
import type { Link } from '../link';
import { bounded } from './bounded';
import { fileTransport } from './file';
import { modbusTransport } from './modbus';
import { createBus, nameOfBus } from './modbus-bus';
import { mqttTransport } from './mqtt';
import { type Backoff, messageOf, retryWithBackoff, usualBackoff } from './retry';
import { serialTransport } from './serial';
import { createSerialPorts } from './serial-port';
import type { FeedContext, FeedEvent, FeedPoint, FeedReading, Transport } from './types';

export type { FeedContext, FeedEvent, FeedPoint, FeedReading, Transport } from './types';

/** The transports there are, by their name in the configuration. */
export interface Transports {
  readonly mqtt: Transport<MqttFeed>;
  readonly file: Transport<FileFeed>;
  readonly serial: Transport<SerialFeed>;
  readonly modbus: Transport<ModbusFeed>;
}
export const transports: Transports = {
  mqtt: mqttTransport,
  file: fileTransport,
  serial: serialTransport,
  modbus: modbusTransport,
};

export interface FeedsOptions {
  readonly still: Still;
  readonly feeds: Readonly<Record<string, Feed>>;
  readonly link: Link;
  readonly report: (event: FeedEvent) => void;
  readonly backoff?: Backoff;
  /** Readings a second and point, past which the surplus is dropped. */
  readonly maxPerS?: number;
  readonly silentMs?: number;
}

function openOne(point: FeedPoint, feed: Feed, context: FeedContext): Observable<FeedReading> {
  if ('mqtt' in feed) return transports.mqtt.open(point, feed.mqtt, context);
  if ('file' in feed) return transports.file.open(point, feed.file, context);
  if ('serial' in feed) return transports.serial.open(point, feed.serial, context);
  return transports.modbus.open(point, feed.modbus, context);
}

function pointFor(still: Still, id: string, feed: Feed): FeedPoint {
  const kind = still.points[id]?.kind;
  const compiled = kind === undefined ? null : compileMapping(mappingOfFeed(feed), kind);
  if (kind === undefined || compiled?.kind !== 'ok') throw new Error(`assertion: feed of ${id} was not checked`);
  return { id, kind, mapping: compiled.value };
}

/**
 * All readings of a still as one stream.
 *
 * It never fails: what goes wrong outside is a reading with a fault, or an event. Unsubscribing closes every port and connection.
 *
 * @param options a still and feeds that have been checked together (loadConfig does)
 */
export function openFeeds(options: FeedsOptions): Observable<FeedReading> {
  const { still, feeds, link, report } = options;
  const backoff = options.backoff ?? usualBackoff;
  const perS = options.maxPerS ?? 50;
  const points = Object.entries(feeds).map(([id, feed]) => ({ point: pointFor(still, id, feed), feed }));
  return new Observable<FeedReading>((observer) => {
    const nowMs = () => performance.now();
    const buses = new Map<string, ReturnType<typeof createBus>>();
    const context: FeedContext = {
      link,
      nowMs,
      report,
      ports: createSerialPorts({ nowMs, report, backoff, silentMs: options.silentMs ?? 30_000 }),
      busOf: (connection) => {
        const name = nameOfBus(connection);
        const bus = buses.get(name) ?? createBus(connection, { nowMs, report, backoff, maxWaiting: 64 });
        buses.set(name, bus);
        return bus;
      },
    };
    const streams = points.map(({ point, feed }) =>
      openOne(point, feed, context).pipe(
        retryWithBackoff(backoff, (error) => report({ kind: 'trouble', source: point.id, message: messageOf(error) })),
        bounded(perS, perS * 2, () => report({ kind: 'flooding', source: point.id, maxPerS: perS })),
      ),
    );
    const subscription = merge(...streams).subscribe(observer);
    return () => {
      subscription.unsubscribe();
      for (const bus of buses.values()) bus.close();
    };
  });
}
