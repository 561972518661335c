import type { Observable } from 'rxjs';
import type { ReadingFault } from '../../lib/engine/types';
import type { PointKind } from '../../lib/still/schema';
import type { CompiledMapping, Mapped } from '../../lib/wire';
import type { Link } from '../link';

/** A reading as it arrived; the host adds engine time. */
export interface FeedReading {
  readonly point: string;
  /** In the unit of the point's kind; null with a fault. */
  readonly value: number | null;
  readonly fault?: ReadingFault;
  /** Monotonic clock of the process [ms]. */
  readonly arrivalMs: number;
}

/** What a feed has to say about itself; for the log and the journal. */
export type FeedEvent =
  | { readonly kind: 'trouble'; readonly source: string; readonly message: string }
  | { readonly kind: 'restored'; readonly source: string }
  | { readonly kind: 'overflow'; readonly source: string }
  /** A point that sends more readings a second than anybody could use; said again while it lasts. */
  | { readonly kind: 'flooding'; readonly source: string; readonly maxPerS: number };

/** The point a feed serves. */
export interface FeedPoint {
  readonly id: string;
  readonly kind: PointKind;
  readonly mapping: CompiledMapping;
}

/** A stream of texts or bytes that several points share, with its breaks. */
export type LineEvent =
  | { readonly kind: 'line'; readonly line: string; readonly arrivalMs: number }
  | { readonly kind: 'down'; readonly arrivalMs: number };

/** A serial port shared by the points whose readings come over it. */
export interface SerialPorts {
  readonly lines: (path: string, baud: number) => Observable<LineEvent>;
}

export interface RegisterRequest {
  readonly unitId: number;
  readonly table: 'holding' | 'input' | 'coil' | 'discrete';
  readonly address: number;
  readonly count: number;
  readonly timeoutMs: number;
}

/** A Modbus connection shared by the points whose readings come over it: one request at a time. */
export interface ModbusBus {
  readonly read: (request: RegisterRequest) => Promise<readonly number[]>;
}

export interface FeedContext {
  readonly link: Link;
  readonly nowMs: () => number;
  readonly report: (event: FeedEvent) => void;
  readonly ports: SerialPorts;
  readonly busOf: (connection: BusConnection) => ModbusBus;
}

export type BusConnection =
  | { readonly host: string; readonly port: number }
  | {
      readonly path: string;
      readonly baud: number;
      readonly parity: 'none' | 'even' | 'odd';
      readonly stopBits: 1 | 2;
    };

/** One way readings come: opens a feed of one point. The stream never fails and never ends by itself. */
export interface Transport<F> {
  readonly what: string;
  readonly open: (point: FeedPoint, feed: F, context: FeedContext) => Observable<FeedReading>;
}

/** A reading for the stream; nothing where the message said nothing. */
export function readingsOf(mapped: Mapped, point: string, arrivalMs: number): readonly FeedReading[] {
  switch (mapped.kind) {
    case 'value':
      return [{ point, value: mapped.value, arrivalMs }];
    case 'fault':
      return [{ point, value: null, fault: mapped.fault, arrivalMs }];
    case 'none':
      return [];
  }
}
