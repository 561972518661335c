import type { Command, Event, Plant, Run } from '../../lib/engine/types';
import type { Decision } from '../../lib/record';
import type { StoreFailure } from './failure';

/** What a run is, written down before its first scan. */
export interface RunHeader {
  readonly runId: string;
  /** Still, recipe, variant, charge and plan, exactly as the engine was given them. */
  readonly plant: Plant;
  /** The run before its first scan. */
  readonly initial: Run;
  readonly startedAtMs: number;
  /** Anything else worth keeping: who started it, the program's version, the speed of a simulation. */
  readonly about?: Readonly<Record<string, unknown>>;
}

/** A line of the list of runs. */
export interface RunEntry {
  readonly runId: string;
  readonly still: string;
  /** Kind of the recipe; `free` without one. */
  readonly kind: string;
  readonly recipe: string | null;
  readonly variant: string | null;
  readonly recipeHash: string | null;
  readonly startedAtMs: number;
  readonly endedAtMs: number | null;
  /** null while the run is open. */
  readonly outcome: string | null;
  readonly summary: unknown;
  readonly scans: number;
  readonly readings: number;
  readonly decisions: number;
  /** Engine time of the last scan written down [s]; null before the first. */
  readonly lastS: number | null;
  /** Head of the hash chain, hexadecimal. */
  readonly head: string;
  readonly links: number;
  /** False once readings were thinned on purpose or lost to a failing store. */
  readonly replayable: boolean;
  readonly thinned: boolean;
  readonly lost: boolean;
  /** The summary the run ended with cannot be read any more, and null stands for it. */
  readonly damaged: boolean;
}

export interface RunDetail extends RunEntry {
  readonly plant: Plant;
  readonly initial: Run;
  readonly about: Readonly<Record<string, unknown>>;
}

export interface RunFilter {
  readonly still?: string;
  readonly recipe?: string;
  readonly recipeHash?: string;
  readonly kind?: string;
  readonly open?: boolean;
  readonly outcome?: string;
  readonly sinceMs?: number;
  readonly untilMs?: number;
  /** Found in id, recipe, variant, outcome or summary. */
  readonly text?: string;
  readonly limit?: number;
  readonly offset?: number;
}

/** What the store itself has to say in the record of a run. */
export type Mark =
  /** The run was taken up again after a restart, before the scan of this number: rebuilt, hence held. */
  | { readonly mark: 'continued'; readonly atMs: number }
  | {
      readonly mark: 'lost';
      readonly atMs: number;
      readonly scans: number;
      readonly readings: number;
      readonly decisions: number;
    }
  | { readonly mark: 'ended'; readonly atMs: number; readonly digest: string }
  | { readonly mark: 'thinned'; readonly atMs: number; readonly by: string; readonly readings: number };

export type Kept =
  | { readonly seq: number; readonly scan: number; readonly kind: 'decision'; readonly decision: Decision }
  | { readonly seq: number; readonly scan: number; readonly kind: 'mark'; readonly mark: Mark };

export interface Checkpoint {
  /** Scans this state has seen: go on with the input of this number, counted from 0. */
  readonly scan: number;
  /** Restarts this state has seen. */
  readonly restarts: number;
  readonly run: Run;
}

export type ScanOutcome = { readonly events: readonly Event[]; readonly commands: readonly Command[] };

/** What waits in memory because it could not be written. */
export interface Waiting {
  readonly scans: number;
  readonly decisions: number;
  /** Bytes of closed minutes in the queue. */
  readonly bytes: number;
}

export type Committed =
  | { readonly kind: 'ok'; readonly decisions: number; readonly chunks: number }
  | {
      readonly kind: 'failed';
      readonly failure: StoreFailure;
      /** Runs whose decisions are not written down. */
      readonly runs: readonly string[];
      readonly waiting: Waiting;
      /** The store is left alone until then, so that a scan does not wait for a lock again and again [ms]. */
      readonly retryInMs: number;
    };

export interface JournalOptions {
  readonly readOnly?: boolean;
  /** A kill or a power cut may lose at most this much of readings that led to no decision [s]. */
  readonly flushS?: number;
  readonly busyTimeoutMs?: number;
  readonly maxBytes?: number;
  readonly check?: 'quick' | 'full' | 'none';
  /** Bounds of what waits in memory while the store fails. */
  readonly maxQueuedBytes?: number;
  readonly maxQueuedDecisions?: number;
  /** Checkpoints kept of each run. */
  readonly keepCheckpoints?: number;
  readonly clockMs?: () => number;
  readonly wallClockMs?: () => number;
}
