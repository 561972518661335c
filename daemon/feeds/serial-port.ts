import { StringDecoder } from 'node:string_decoder';
import {
  catchError,
  concat,
  defer,
  from,
  mergeMap,
  Observable,
  of,
  retry,
  share,
  throwError,
  timeout,
  timer,
} from 'rxjs';
import type { SerialPort as OpenPort } from 'serialport';
import { nothingYet, takeLines } from '../../lib/wire';
import { type Backoff, messageOf, pauseMs } from './retry';
import type { FeedEvent, LineEvent, SerialPorts } from './types';

export interface SerialPortsOptions {
  readonly nowMs: () => number;
  readonly report: (event: FeedEvent) => void;
  readonly backoff: Backoff;
  /** A port that says nothing for so long is closed and opened again [ms]. */
  readonly silentMs: number;
}

async function loadSerialPort(): Promise<typeof OpenPort> {
  try {
    return (await import('serialport')).SerialPort;
  } catch (error) {
    throw new Error('serial feeds need the package serialport: run npm install serialport', { cause: error });
  }
}

/** Text from a port once opened; fails when it is unplugged, which the library tells only by `close`. */
function textOf(Port: typeof OpenPort, path: string, baud: number): Observable<string> {
  return new Observable<string>((observer) => {
    const decoder = new StringDecoder('utf8');
    const port = new Port({ path, baudRate: baud, autoOpen: false });
    port.on('data', (bytes: Buffer) => observer.next(decoder.write(bytes)));
    port.on('error', (error) => observer.error(error));
    port.on('close', () => observer.error(new Error(`${path} was unplugged`)));
    port.open((error) => {
      if (error !== null) observer.error(error);
      else observer.next('');
    });
    return () => {
      port.removeAllListeners();
      port.on('error', () => undefined);
      if (port.isOpen) port.close(() => undefined);
      else if (port.opening) port.once('open', () => port.close(() => undefined));
    };
  });
}

function linesOf(path: string, baud: number, options: SerialPortsOptions): Observable<LineEvent> {
  let failures = 0;
  const opened = defer(() => {
    let rest = nothingYet;
    return from(loadSerialPort()).pipe(
      mergeMap((Port) => textOf(Port, path, baud)),
      timeout({ each: options.silentMs, with: () => throwError(() => new Error(`${path} says nothing`)) }),
      mergeMap((chunk): LineEvent[] => {
        const taken = takeLines(rest, chunk);
        rest = taken.rest;
        if (taken.overflow) options.report({ kind: 'overflow', source: path });
        if (failures > 0 && taken.lines.length > 0) options.report({ kind: 'restored', source: path });
        // Only lines count as success: a port that opens and closes at once is tried ever less often.
        if (taken.lines.length > 0) failures = 0;
        const arrivalMs = options.nowMs();
        return taken.lines.map((line) => ({ kind: 'line', line, arrivalMs }));
      }),
      catchError((error: unknown) =>
        concat(
          of<LineEvent>({ kind: 'down', arrivalMs: options.nowMs() }),
          throwError(() => error),
        ),
      ),
    );
  });
  const delay = (error: unknown) => {
    failures += 1;
    if (failures === 1) options.report({ kind: 'trouble', source: path, message: messageOf(error) });
    return timer(pauseMs(failures, options.backoff));
  };
  return opened.pipe(retry({ delay }), share());
}

/** Serial ports by path, each opened once for all points on it, and opened again after it was unplugged. */
export function createSerialPorts(options: SerialPortsOptions): SerialPorts {
  const known = new Map<string, Observable<LineEvent>>();
  return {
    lines: (path, baud) => {
      const lines = known.get(path) ?? linesOf(path, baud, options);
      known.set(path, lines);
      return lines;
    },
  };
}
