import { mergeMap } from 'rxjs';
import { type LineMapping, readLine } from '../../lib/wire';
import type { SerialFeed } from '../config/feeds-schema';
import { type FeedReading, readingsOf, type Transport } from './types';

/** Readings in the lines of a serial device; while the port is away the point is offline at once. */
export const serialTransport: Transport<SerialFeed> = {
  what: 'serial lines',
  open: (point, feed, { ports }) => {
    const source: LineMapping = {
      format: feed.format,
      field: String(feed.field),
      ...(feed.separator === undefined ? {} : { separator: feed.separator }),
      ...(feed.columns === undefined ? {} : { columns: feed.columns }),
    };
    return ports.lines(feed.path, feed.baud).pipe(
      mergeMap((event): readonly FeedReading[] => {
        const { arrivalMs } = event;
        if (event.kind === 'down') return [{ point: point.id, value: null, fault: 'offline', arrivalMs }];
        return readingsOf(readLine(event.line, source, point.mapping), point.id, arrivalMs);
      }),
    );
  },
};
