import { open } from 'node:fs/promises';
import { exhaustMap, from, mergeMap, timer } from 'rxjs';
import { type Mapped, readPayload, readThermometerFile } from '../../lib/wire';
import type { FileFeed } from '../config/feeds-schema';
import { messageOf } from './retry';
import { type FeedContext, type FeedPoint, readingsOf, type Transport } from './types';

const maxBytes = 65536;

/** The beginning of a file, no more: a device node may never end. */
async function readStart(path: string): Promise<Buffer> {
  const file = await open(path, 'r');
  try {
    const buffer = Buffer.alloc(maxBytes + 1);
    let length = 0;
    while (length < buffer.length) {
      const { bytesRead } = await file.read(buffer, length, buffer.length - length, null);
      if (bytesRead === 0) break;
      length += bytesRead;
    }
    return buffer.subarray(0, length);
  } finally {
    await file.close();
  }
}

/** Reads once; a file that is not there is a probe that is not there. */
function readerFor(point: FeedPoint, feed: FileFeed, context: FeedContext): () => Promise<Mapped> {
  let trouble: string | null = null;
  return async () => {
    try {
      const content = await readStart(feed.path);
      if (trouble !== null) context.report({ kind: 'restored', source: feed.path });
      trouble = null;
      if (feed.format === 'w1') return readThermometerFile(content, point.mapping);
      return readPayload(content, point.mapping, { retained: false });
    } catch (error) {
      const message = messageOf(error);
      if (trouble !== message) context.report({ kind: 'trouble', source: feed.path, message });
      trouble = message;
      return { kind: 'fault', fault: 'missing' };
    }
  };
}

/** Readings in a file of the system: 1-Wire thermometers, or anything that writes a number. */
export const fileTransport: Transport<FileFeed> = {
  what: 'files',
  open: (point, feed, context) => {
    const read = readerFor(point, feed, context);
    return timer(0, feed.everyS * 1000).pipe(
      // A conversion takes up to 750 ms: the next look waits for it.
      exhaustMap(() => from(read())),
      mergeMap((mapped) => readingsOf(mapped, point.id, context.nowMs())),
    );
  },
};
