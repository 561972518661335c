import type { ServerResponse } from 'node:http';
import { Refusal, securityHeaders } from './reply';
import type { PageSource } from './source';

export interface LiveOptions {
  readonly source: PageSource;
  /** Told of a view that could not be made: the rest goes on. */
  readonly complain?: (error: unknown) => void;
  readonly clockMs?: () => number;
  /** Shortest time between two views while nothing is decided [ms]. */
  readonly everyMs?: number;
  /** A word that we are here, where nothing else is to be said [ms]. */
  readonly beatMs?: number;
  /** A reader that takes nothing for so long is dropped [ms]. */
  readonly stuckMs?: number;
  readonly mostReaders?: number;
}

/** Live views for those who have the page open, by server-sent events. */
export interface Live {
  /** @param isWelcome asked again from time to time: a session may have ended */
  open(response: ServerResponse, isWelcome: () => boolean): void;
  changed(still: string): void;
  readonly readers: number;
  close(): void;
}

interface Reader {
  readonly response: ServerResponse;
  readonly isWelcome: () => boolean;
  /** Its connection is full since [ms]. */
  behindSinceMs: number | null;
  /** Something was dropped meanwhile: once there is room it gets everything anew. */
  missed: boolean;
}

/** Shortest time between two views where something is decided [ms]. */
const decisionMs = 50;

export function createLive(options: LiveOptions): Live {
  const { source, complain = () => undefined, clockMs = () => performance.now() } = options;
  const { everyMs = 1000, beatMs = 2000, stuckMs = 20_000, mostReaders = 32 } = options;
  const readers = new Set<Reader>();
  const dirty = new Set<string>();
  const heardAtMs = new Map<string, number>();
  const decided = new Map<string, number>();
  let flushedAtMs = Number.NEGATIVE_INFINITY;
  let timer: NodeJS.Timeout | null = null;

  const say = (reader: Reader, text: string): void => {
    if (reader.response.destroyed) return;
    if (reader.behindSinceMs !== null) reader.missed = true;
    else if (!reader.response.write(text)) reader.behindSinceMs = clockMs();
  };

  const viewOf = (still: string): string => {
    try {
      const view = source.still(still);
      return view === null ? '' : eventOf('still', view);
    } catch (error) {
      complain(error);
      return '';
    }
  };

  const sayAll = (reader: Reader): void => {
    const ids = source.stillIds();
    say(reader, `retry: 2000\n\n${eventOf('stills', ids)}${ids.map(viewOf).join('')}`);
  };

  const flush = (): void => {
    timer = null;
    flushedAtMs = clockMs();
    const text = [...dirty].map(viewOf).join('');
    dirty.clear();
    if (text !== '') for (const reader of readers) say(reader, text);
  };

  const beat = setInterval(() => {
    const nowMs = clockMs();
    const quietS = Object.fromEntries(
      [...heardAtMs].map(([still, atMs]) => [still, Math.round((nowMs - atMs) / 1000)]),
    );
    for (const reader of readers) {
      const stuck = reader.behindSinceMs !== null && nowMs - reader.behindSinceMs > stuckMs;
      if (stuck || !reader.isWelcome()) reader.response.destroy();
      else if (reader.behindSinceMs === null) say(reader, eventOf('beat', { quietS }));
    }
  }, beatMs);
  beat.unref();

  return {
    get readers() {
      return readers.size;
    },
    open(response, isWelcome) {
      if (readers.size >= mostReaders) {
        throw new Refusal(503, `${mostReaders} pages are open already: close one`, { 'Retry-After': '10' });
      }
      response.writeHead(200, {
        ...securityHeaders(),
        'Cache-Control': 'no-store',
        'Content-Type': 'text/event-stream; charset=utf-8',
        'X-Accel-Buffering': 'no',
      });
      const reader: Reader = { response, isWelcome, behindSinceMs: null, missed: false };
      readers.add(reader);
      response.on('close', () => readers.delete(reader));
      response.on('error', () => response.destroy());
      response.on('drain', () => {
        const { missed } = reader;
        reader.behindSinceMs = null;
        reader.missed = false;
        if (missed) sayAll(reader);
      });
      response.socket?.setNoDelay(true);
      sayAll(reader);
    },
    changed(still) {
      heardAtMs.set(still, clockMs());
      source.noted(still);
      const isDecision = decided.get(still) !== source.decided(still);
      decided.set(still, source.decided(still));
      if (readers.size === 0) return;
      dirty.add(still);
      if (timer !== null && isDecision) {
        clearTimeout(timer);
        timer = null;
      }
      // Views are made after the turn that changed them, not within it; what was decided is seen at once.
      const apartMs = isDecision ? decisionMs : everyMs;
      timer ??= setTimeout(flush, Math.max(0, flushedAtMs + Math.min(apartMs, everyMs) - clockMs()));
    },
    close() {
      clearInterval(beat);
      if (timer !== null) clearTimeout(timer);
      for (const reader of readers) reader.response.end();
      readers.clear();
    },
  };
}

function eventOf(name: string, body: unknown): string {
  return `event: ${name}\ndata: ${JSON.stringify(body)}\n\n`;
}
