import type { Event } from '../../lib';
import { readExactJson, writeExactJson } from '../../lib/record';
import type { Still } from '../../lib/still/schema';
import { english } from '../../lib/words';
import { createStillClock } from '../../nodes/shared/clock';
import { createIntake } from '../../nodes/shared/intake';
import type { Keep } from '../../nodes/shared/keep';
import type { Message } from '../../nodes/shared/message-value';
import type { CommandRow, OutMessage, Said } from '../../nodes/shared/messages-out';
import { createPulse, type Timers } from '../../nodes/shared/pulse';
import { compileRows, type ReadingRow } from '../../nodes/shared/reading-rows';
import { createSession, type Offer, type Saved, type Session } from '../../nodes/shared/session';
import { createStation, type Done, type Station } from '../../nodes/shared/station';
import type { Status } from '../../nodes/shared/status';
import { good } from './plants';

/** Timers that run when told to: a run of hours in a second. */
export interface VirtualTimers extends Timers {
  /** Lets time pass; what is due is called in its order. */
  advance(ms: number): Promise<void>;
  /** The computer is busy: time passes and nobody is called. */
  sleep(ms: number): void;
}

interface Due {
  atMs: number;
  everyMs: number | null;
  call: () => void;
  gone: boolean;
}

export function createVirtualTimers(): VirtualTimers {
  let nowMs = 0;
  const dues: Due[] = [];
  const add = (afterMs: number, everyMs: number | null, call: () => void) => {
    const due: Due = { atMs: nowMs + afterMs, everyMs, call, gone: false };
    dues.push(due);
    return () => {
      due.gone = true;
    };
  };
  return {
    nowMs: () => nowMs,
    every: (ms, call) => add(ms, ms, call),
    after: (ms, call) => add(ms, null, call),
    soon: (call) => {
      add(0, null, call);
    },
    sleep(ms) {
      nowMs += ms;
    },
    async advance(ms) {
      const endMs = nowMs + ms;
      for (;;) {
        const next = dues.filter((due) => !due.gone && due.atMs <= endMs).sort((a, b) => a.atMs - b.atMs)[0];
        if (next === undefined) break;
        nowMs = Math.max(nowMs, next.atMs);
        if (next.everyMs === null) next.gone = true;
        else next.atMs = nowMs + next.everyMs;
        next.call();
        for (let at = dues.length - 1; at >= 0; at -= 1) if (dues[at]!.gone) dues.splice(at, 1);
        // Writing down is a promise: let what waits for it go on.
        await Promise.resolve();
        await Promise.resolve();
      }
      nowMs = endMs;
    },
  };
}

/** A disk in memory that can be broken. */
export interface VirtualKeep extends Keep {
  text: string | null;
  broken: boolean;
  saves: number;
}

export function createVirtualKeep(): VirtualKeep {
  const keep: VirtualKeep = {
    text: null,
    broken: false,
    saves: 0,
    load: () => (keep.text === null ? { kind: 'none' } : { kind: 'ok', saved: readExactJson(keep.text) as Saved }),
    async save(saved) {
      keep.saves += 1;
      if (keep.broken) throw new Error('ENOSPC: no space left');
      keep.text = writeExactJson(saved);
    },
    saveNow(saved) {
      if (keep.broken) throw new Error('ENOSPC: no space left');
      keep.text = writeExactJson(saved);
    },
    remove() {
      keep.text = null;
    },
  };
  return keep;
}

export interface VirtualSetup {
  readonly still: Still;
  readonly offer?: Offer;
  readonly watchOnly?: boolean;
  readonly readings?: readonly ReadingRow[];
  readonly commands?: readonly CommandRow[];
  readonly from?: 'still' | 'remote';
  readonly keep?: VirtualKeep;
  readonly timers?: VirtualTimers;
  readonly wallMs?: () => number;
}

/** A run or watch node without Node-RED: same session, same station, time by hand. */
export interface VirtualNode {
  readonly station: Station;
  readonly session: Session;
  readonly keep: VirtualKeep;
  readonly timers: VirtualTimers;
  readonly sent: Record<keyof Said | 'state', OutMessage[]>;
  readonly statuses: Status[];
  readonly warnings: string[];
  /** Errors that would reach Catch. */
  readonly errors: string[];
  readonly recipes: unknown[];
  /** Scans made so far. */
  readonly scans: number;
  give(message: Message): void;
  order(order: string, more?: Readonly<Record<string, unknown>>): void;
  events(kind: Event['kind']): readonly Readonly<Record<string, unknown>>[];
}

const nothing: Offer = { recipe: null, variant: null, charge: null, unusable: null };

export function createVirtualNode(setup: VirtualSetup): VirtualNode {
  const timers = setup.timers ?? createVirtualTimers();
  const keep = setup.keep ?? createVirtualKeep();
  const startMs = Date.UTC(2026, 9, 3, 8);
  const wallMs = setup.wallMs ?? (() => startMs + timers.nowMs());
  const loaded = keep.load();
  const rows = good(compileRows(setup.readings ?? [], setup.still));
  const session = createSession(
    {
      still: setup.still,
      watchOnly: setup.watchOnly ?? false,
      intake: createIntake(setup.still, rows, 'timestamp'),
      from: setup.from ?? 'still',
      offer: () => setup.offer ?? nothing,
    },
    loaded.kind === 'ok' ? loaded.saved : null,
  );
  const sent: VirtualNode['sent'] = { drives: [], phase: [], alarms: [], events: [], state: [] };
  const statuses: Status[] = [];
  const warnings: string[] = [];
  const errors: string[] = [];
  const recipes: unknown[] = [];
  let scans = 0;
  const station = createStation({
    session: {
      ...session,
      get plant() {
        return session.plant;
      },
      get run() {
        return session.run;
      },
      scan(nowS) {
        scans += 1;
        return session.scan(nowS);
      },
    },
    clock: createStillClock(1, session.run.now, timers.nowMs, wallMs),
    monotonicMs: timers.nowMs,
    wallMs,
    keep,
    pulse: createPulse(timers),
    commands: setup.commands ?? [],
    saying: english,
    watchOnly: setup.watchOnly ?? false,
    stateEveryS: 5,
    host: {
      send(said) {
        for (const output of ['drives', 'phase', 'alarms', 'events'] as const)
          sent[output].push(...(said[output] ?? []));
        if (said.state !== undefined) sent.state.push(said.state);
      },
      status: (status) => statuses.push(status),
      warn: (text) => warnings.push(text),
      recipe(document) {
        recipes.push(document);
        return null;
      },
    },
  });
  const done: Done = (error) => {
    if (error !== undefined) errors.push(error.message);
  };
  let given = 0;
  return {
    station,
    session,
    keep,
    timers,
    sent,
    statuses,
    warnings,
    errors,
    recipes,
    get scans() {
      return scans;
    },
    give(message) {
      given += 1;
      station.take({ _msgid: `m${given}`, ...message }, done);
    },
    order(order, more = {}) {
      this.give({ topic: 'order', payload: { order, ...more } });
    },
    events: (kind) =>
      sent.events.map((one) => one.payload as Record<string, unknown>).filter((one) => one.kind === kind),
  };
}
