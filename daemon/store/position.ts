import type { ChunkRow } from './chain';

/** What waits to be written, in the order it happened. */
export type Entry =
  | { readonly kind: 'chunk'; readonly chunk: ChunkRow }
  | { readonly kind: 'decision'; readonly scan: number; readonly decision: string; readonly body: string };

export interface Bounds {
  readonly bytes: number;
  readonly decisions: number;
}

export interface CheckpointRow {
  readonly scan: number;
  readonly restarts: number;
  readonly state: Uint8Array;
}

export interface Ending {
  readonly outcome: string;
  readonly summary: string;
  readonly endedAtMs: number;
}

/** Where the record of a run stands in the file. */
export interface Position {
  readonly number: number;
  readonly writer: string;
  readonly links: number;
  readonly head: Uint8Array;
  readonly decisions: number;
  readonly chunks: number;
  readonly scans: number;
  readonly readings: number;
  readonly restarts: number;
  readonly points: readonly string[];
}
