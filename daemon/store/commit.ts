import type { DatabaseSync } from 'node:sqlite';
import type { Committed, JournalOptions, Waiting } from './contract';
import { transact } from './database';
import { attempt, type StoreFailure } from './failure';
import type { Bounds } from './position';
import type { RunWriter } from './run-writer';
import type { Statements } from './statements';

/** First and longest wait before a store that failed is tried again [ms]. */
const firstRetryMs = 1000;
const longestRetryMs = 30_000;

/** All that the writing side of a journal shares. */
export interface Desk {
  readonly path: string;
  readonly database: DatabaseSync;
  readonly statements: Statements;
  readonly options: Required<Omit<JournalOptions, 'maxBytes'>>;
  readonly bounds: Bounds;
  readonly writers: Map<string, RunWriter>;
  /** Runs that another process has taken over: we write them no more. */
  readonly fenced: Map<string, RunWriter>;
  trouble: { readonly failure: StoreFailure; readonly retryAtMs: number; readonly waitMs: number } | null;
}

export function waitingOf(desk: Desk): Waiting {
  const all = [...desk.writers.values()].map((writer) => writer.waiting);
  const total = (key: keyof Waiting): number => all.reduce((sum, waiting) => sum + waiting[key], 0);
  return { scans: total('scans'), decisions: total('decisions'), bytes: total('bytes') };
}

interface Written {
  readonly decisions: number;
  readonly chunks: number;
}

function writeAll(desk: Desk, due: readonly RunWriter[]): Written {
  const atMs = Math.round(desk.options.wallClockMs());
  const { written, fenced } = transact(desk.database, () => ({
    fenced: due.filter((writer) => !writer.isOurs(desk.statements)),
    written: due
      .filter((writer) => writer.isOurs(desk.statements))
      .map((writer) => writer.write(desk.statements, atMs)),
  }));
  for (const { settle } of written) settle();
  for (const writer of due) if (writer.ending !== null) desk.writers.delete(writer.id);
  for (const writer of fenced) {
    desk.writers.delete(writer.id);
    desk.fenced.set(writer.id, writer);
  }
  const total = (key: keyof Written): number => written.reduce((sum, one) => sum + one[key], 0);
  return { decisions: total('decisions'), chunks: total('chunks') };
}

function refusal(desk: Desk, failure: StoreFailure, runs: Iterable<RunWriter>, retryInMs: number): Committed {
  return {
    kind: 'failed',
    failure,
    runs: Array.from(runs, (writer) => writer.id),
    waiting: waitingOf(desk),
    retryInMs,
  };
}

function takenOver(desk: Desk): Committed {
  const names = [...desk.fenced.keys()].join(', ');
  const message = `another process now writes the run ${names}`;
  const remedy = 'Let only one daemon work with a journal, and end this one';
  return refusal(desk, { kind: 'taken-over', message, remedy }, desk.fenced.values(), Number.POSITIVE_INFINITY);
}

/**
 * Writes what is due of every run, in one transaction.
 * @param force everything that waits is due, and a store in trouble is tried at once
 */
export function commit(desk: Desk, force: boolean): Committed {
  const nowMs = desk.options.clockMs();
  const flushMs = force ? 0 : desk.options.flushS * 1000;
  const due = [...desk.writers.values()].filter((writer) => writer.isDue(nowMs, flushMs));
  const { trouble } = desk;
  if (due.length > 0 && trouble !== null && nowMs < trouble.retryAtMs && !force) {
    return refusal(desk, trouble.failure, due, trouble.retryAtMs - nowMs);
  }
  const written = due.length === 0 ? null : attempt(desk.path, () => writeAll(desk, due));
  if (written?.kind === 'failed') {
    const waitMs = trouble === null ? firstRetryMs : Math.min(longestRetryMs, trouble.waitMs * 2);
    // The wait for a lock may itself have taken a while: the next try is counted from its end.
    desk.trouble = { failure: written.failure, retryAtMs: desk.options.clockMs() + waitMs, waitMs };
    return refusal(desk, written.failure, due, waitMs);
  }
  if (written !== null) desk.trouble = null;
  if (desk.fenced.size > 0) return takenOver(desk);
  return { kind: 'ok', ...(written?.value ?? { decisions: 0, chunks: 0 }) };
}
