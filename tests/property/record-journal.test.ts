import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Journal, openJournal, valueOrThrow } from '../../daemon/store';
import type { Input } from '../../lib';
import { decided, header, nothing, reading } from '../tools/store-samples';

/** What may happen to a journal, one thing after another. */
const happening = fc.oneof(
  {
    weight: 12,
    arbitrary: fc.record({
      kind: fc.constant('scans' as const),
      run: fc.nat(1),
      count: fc.integer({ min: 1, max: 90 }),
    }),
  },
  { weight: 5, arbitrary: fc.record({ kind: fc.constant('commit' as const) }) },
  { weight: 3, arbitrary: fc.record({ kind: fc.constant('flush' as const) }) },
  { weight: 2, arbitrary: fc.record({ kind: fc.constant('lock' as const) }) },
  { weight: 2, arbitrary: fc.record({ kind: fc.constant('unlock' as const) }) },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('kill' as const) }) },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('close' as const) }) },
);

interface Told {
  readonly inputs: Input[];
  decisions: number;
}

/** A journal with two runs, and beside it a plain list of what it was told: of all, and of what it said is committed. */
class Bench {
  readonly directory = mkdtempSync(join(tmpdir(), 'middlecut-property-'));
  readonly path = join(this.directory, 'journal.db');
  readonly told: readonly Told[] = [0, 1].map(() => ({ inputs: [], decisions: 0 }));
  committed = [
    { inputs: 0, decisions: 0 },
    { inputs: 0, decisions: 0 },
  ];
  lock: DatabaseSync | null = null;
  journal: Journal = this.open();
  nowMs = 0;

  constructor() {
    for (const run of ['r0', 'r1']) valueOrThrow(this.journal.beginRun(header(run)));
  }

  open(): Journal {
    return valueOrThrow(openJournal(this.path, { busyTimeoutMs: 1, clockMs: () => this.nowMs, check: 'none' }));
  }

  /** What was decided must be there; what was only read may be there, and without a gap. */
  noteCommitted(all: boolean): void {
    this.committed = this.told.map(({ inputs, decisions }, run) => ({
      inputs: all ? inputs.length : Math.max(this.committed[run]?.inputs ?? 0, this.lastDecision(run)),
      decisions,
    }));
  }

  lastDecision(run: number): number {
    return (this.told[run]?.inputs ?? []).findLastIndex((input) => input.now % 10 === 9) + 1;
  }

  unlock(): void {
    this.lock?.exec('ROLLBACK');
    this.lock?.close();
    this.lock = null;
  }

  /** The process is gone: nothing is closed, a new one opens the file and takes the runs up. */
  restart(): void {
    this.unlock();
    this.journal = this.open();
    for (const [run, told] of this.told.entries()) {
      const { scans } = valueOrThrow(this.journal.run(`r${run}`));
      expect(scans).toBeGreaterThanOrEqual(this.committed[run]?.inputs ?? 0);
      told.inputs.length = scans;
      told.decisions = told.inputs.filter((input) => input.now % 10 === 9).length * 2;
      valueOrThrow(this.journal.continueRun(`r${run}`));
    }
  }

  check(): void {
    for (const [run, told] of this.told.entries()) {
      const verified = valueOrThrow(this.journal.verify(`r${run}`));
      expect(verified).toMatchObject({ kind: 'whole', lost: false });
      const inputs = Array.from(this.journal.readInputs(`r${run}`));
      expect(inputs).toEqual(told.inputs.slice(0, inputs.length));
      expect(inputs.length).toBeGreaterThanOrEqual(this.committed[run]?.inputs ?? 0);
      const decisions = Array.from(this.journal.readDecisions(`r${run}`)).filter((kept) => kept.kind === 'decision');
      expect(decisions.length).toBeGreaterThanOrEqual(this.committed[run]?.decisions ?? 0);
      expect(decisions.length).toBe(inputs.filter((input) => input.now % 10 === 9).length * 2);
    }
  }

  done(): void {
    this.unlock();
    this.journal.close();
    rmSync(this.directory, { recursive: true, force: true });
  }
}

function happen(bench: Bench, what: typeof happening extends fc.Arbitrary<infer T> ? T : never): void {
  switch (what.kind) {
    case 'scans': {
      const told = bench.told[what.run];
      for (let i = 0; told !== undefined && i < what.count; i++) {
        const input = reading(told.inputs.length);
        const decides = input.now % 10 === 9;
        bench.journal.append(`r${what.run}`, input, decides ? decided(input.now) : nothing);
        told.inputs.push(input);
        if (decides) told.decisions += 2;
        bench.nowMs += 1000;
      }
      return;
    }
    case 'commit':
    case 'flush': {
      bench.nowMs += 31_000;
      const committed = what.kind === 'commit' ? bench.journal.commit() : bench.journal.flush();
      expect(committed.kind === 'failed' && bench.lock === null).toBe(false);
      if (committed.kind === 'ok') bench.noteCommitted(what.kind === 'flush');
      return;
    }
    case 'lock':
      if (bench.lock !== null) return;
      bench.lock = new DatabaseSync(bench.path);
      bench.lock.exec('BEGIN IMMEDIATE');
      return;
    case 'unlock':
      bench.unlock();
      return;
    case 'kill':
      bench.restart();
      return;
    case 'close':
      bench.unlock();
      expect(bench.journal.close().kind).toBe('ok');
      bench.noteCommitted(true);
      bench.restart();
  }
}

describe('a journal under scans, commits, locks, kills and restarts in any order', () => {
  it('holds what it said is committed, without a gap, and its chain is whole', () => {
    fc.assert(
      fc.property(fc.array(happening, { minLength: 1, maxLength: 25 }), (happenings) => {
        const bench = new Bench();
        try {
          for (const what of happenings) happen(bench, what);
          bench.restart();
          bench.check();
          expect(bench.journal.flush().kind).toBe('ok');
          bench.check();
        } finally {
          bench.done();
        }
      }),
      { numRuns: 60 },
    );
  });
});
