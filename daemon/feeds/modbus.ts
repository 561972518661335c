import { exhaustMap, from, mergeMap, timer } from 'rxjs';
import { fault, type Mapped, readRegisters, readValue, registersOf } from '../../lib/wire';
import type { ModbusFeed } from '../config/feeds-schema';
import { RegisterRefused } from './modbus-bus';
import { type FeedPoint, type ModbusBus, readingsOf, type Transport } from './types';

async function readOnce(point: FeedPoint, feed: ModbusFeed, bus: ModbusBus): Promise<Mapped> {
  const isBit = feed.table === 'coil' || feed.table === 'discrete';
  const { unitId, table, address } = feed;
  try {
    const count = isBit ? 1 : registersOf[feed.type];
    const data = await bus.read({ unitId, table, address, count, timeoutMs: feed.timeoutS * 1000 });
    return isBit
      ? readValue(data[0] ?? null, point.mapping)
      : readRegisters(data, feed.type, feed.order, point.mapping);
  } catch (error) {
    return fault(error instanceof RegisterRefused ? 'missing' : 'offline');
  }
}

/** Readings in registers and coils of Modbus devices, over TCP or a serial bus. */
export const modbusTransport: Transport<ModbusFeed> = {
  what: 'Modbus registers',
  open: (point, feed, { busOf, nowMs }) => {
    const bus = busOf(feed.connection);
    return timer(0, feed.everyS * 1000).pipe(
      exhaustMap(() => from(readOnce(point, feed, bus))),
      mergeMap((mapped) => readingsOf(mapped, point.id, nowMs())),
    );
  },
};
