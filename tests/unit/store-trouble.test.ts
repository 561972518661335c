import { randomBytes } from 'node:crypto';
import { DatabaseSync } from 'node:sqlite';
import { describe, expect, it } from 'vitest';
import type { Journal } from '../../daemon/store';
import { decided, handClock, header, nothing, order, reading, take, workshop } from './store-tools';

const { place, open } = workshop();

/** Another program that holds the journal's lock. */
function lock(path: string): () => void {
  const other = new DatabaseSync(path);
  other.exec('BEGIN IMMEDIATE');
  return () => {
    other.exec('ROLLBACK');
    other.close();
  };
}

/** Runs of readings that do not compress, until the store says it is full. */
function fill(journal: Journal, runId: string, from: number): number {
  let noise = 7;
  for (let now = from; now < from + 100_000; now++) {
    noise = (noise * 48271) % 2147483647;
    journal.append(runId, reading(now, noise / 997), now % 10 === 0 ? decided(now) : nothing);
    if (journal.commit().kind === 'failed') return now;
  }
  throw new Error('the store never filled');
}

describe('a store that is locked', () => {
  it('is told as data, keeps what could not be written, and writes it when the lock is gone', () => {
    const path = place();
    const clock = handClock();
    const journal = open(path, { busyTimeoutMs: 20, clockMs: clock.clockMs });
    take(journal.beginRun(header('r1')));
    const unlock = lock(path);
    journal.append('r1', reading(1), decided(1));
    expect(journal.commit()).toMatchObject({
      kind: 'failed',
      failure: { kind: 'locked', message: expect.stringContaining(path), remedy: expect.any(String) },
      runs: ['r1'],
      waiting: { scans: 1, decisions: 2 },
      retryInMs: 1000,
    });
    expect(Array.from(journal.readDecisions('r1'))).toEqual([]);
    unlock();
    clock.pass(1.1);
    expect(journal.commit()).toEqual({ kind: 'ok', decisions: 2, chunks: 1 });
    expect(Array.from(journal.readInputs('r1'))).toEqual([reading(1)]);
    expect(take(journal.verify('r1')).kind).toBe('whole');
  });

  it('is left alone between tries, longer each time, so that scans do not wait for it', () => {
    const path = place();
    const clock = handClock();
    const journal = open(path, { busyTimeoutMs: 100, clockMs: clock.clockMs });
    take(journal.beginRun(header('r1')));
    const unlock = lock(path);
    const waits: number[] = [];
    for (let now = 1; now <= 7; now++) {
      journal.append('r1', reading(now), decided(now));
      const committed = journal.commit();
      if (committed.kind !== 'failed') throw new Error('the lock did not hold');
      waits.push(committed.retryInMs);
      const before = performance.now();
      expect(journal.commit()).toMatchObject({ kind: 'failed', retryInMs: committed.retryInMs });
      expect(performance.now() - before).toBeLessThan(50);
      clock.pass(committed.retryInMs / 1000);
    }
    expect(waits).toEqual([1000, 2000, 4000, 8000, 16_000, 30_000, 30_000]);
    unlock();
    expect(journal.commit()).toMatchObject({ kind: 'ok', decisions: 14 });
  });

  it('refuses to begin a run it cannot write down', () => {
    const path = place();
    const journal = open(path, { busyTimeoutMs: 20 });
    const unlock = lock(path);
    expect(journal.beginRun(header('r1'))).toMatchObject({ kind: 'failed', failure: { kind: 'locked' } });
    unlock();
    expect(journal.beginRun(header('r1')).kind).toBe('ok');
  });

  it('keeps the end of a run, and writes it later', () => {
    const path = place();
    const clock = handClock();
    const journal = open(path, { busyTimeoutMs: 20, clockMs: clock.clockMs });
    take(journal.beginRun(header('r1')));
    const unlock = lock(path);
    journal.append('r1', reading(1), nothing);
    expect(journal.endRun('r1', 'complete', { heartsL: 1 }).kind).toBe('failed');
    expect(() => journal.append('r1', reading(2), nothing)).toThrow('the run r1 has ended');
    unlock();
    clock.pass(2);
    expect(journal.commit().kind).toBe('ok');
    expect(take(journal.run('r1'))).toMatchObject({ outcome: 'complete', scans: 1 });
    expect(take(journal.verify('r1')).kind).toBe('whole');
  });
});

describe('a store that is full', () => {
  it('says so, loses nothing that was written, and goes on when there is room again', () => {
    const path = place();
    const clock = handClock();
    const small = open(path, { maxBytes: 256 * 1024, clockMs: clock.clockMs });
    take(small.beginRun(header('r1')));
    const last = fill(small, 'r1', 0);
    const failed = small.commit();
    expect(failed).toMatchObject({ kind: 'failed', failure: { kind: 'full' } });
    expect(take(small.verify('r1')).kind).toBe('whole');
    const written = Array.from(small.readInputs('r1'), (input) => input.now);
    expect(written).toEqual(Array.from({ length: written.length }, (_, i) => i));
    expect(written.length).toBeGreaterThan(300);
    expect(small.close().kind).toBe('failed');
    const journal = open(path);
    take(journal.continueRun('r1'));
    for (let now = written.length; now <= last + 100; now++) journal.append('r1', reading(now), decided(now));
    expect(journal.flush().kind).toBe('ok');
    expect(Array.from(journal.readInputs('r1'))).toHaveLength(last + 101);
    expect(take(journal.verify('r1'))).toMatchObject({ kind: 'whole', lost: false });
  });
});

describe('a transaction that fails halfway', () => {
  it('has written nothing of any run, and everything of all of them still waits', () => {
    const journal = open(place(), { maxBytes: 256 * 1024 });
    take(journal.beginRun(header('r1')));
    take(journal.beginRun(header('r2')));
    journal.append('r1', reading(1), decided(1));
    journal.append(
      'r2',
      { ...reading(1), orders: [{ ...order, text: randomBytes(200_000).toString('hex') }] },
      decided(1),
    );
    expect(journal.commit()).toMatchObject({
      kind: 'failed',
      failure: { kind: 'full' },
      runs: ['r1', 'r2'],
      waiting: { scans: 2, decisions: 5 },
    });
    expect(Array.from(journal.readDecisions('r1'))).toEqual([]);
    expect(take(journal.verify('r1'))).toMatchObject({ kind: 'whole', links: 0 });
    expect(journal.flush()).toMatchObject({ kind: 'failed', waiting: { scans: 2, decisions: 5 } });
  });
});

describe('what waits in memory', () => {
  it('is bounded: the oldest readings go first, the chain and the summaries stay, and the run says it cannot be replayed', () => {
    const path = place();
    const journal = open(path, { busyTimeoutMs: 20, maxQueuedBytes: 2000 });
    take(journal.beginRun(header('r1')));
    const unlock = lock(path);
    let noise = 7;
    for (let now = 0; now < 3600; now++) {
      noise = (noise * 48271) % 2147483647;
      journal.append('r1', reading(now, noise / 997), nothing);
    }
    expect(journal.waiting().bytes).toBeLessThanOrEqual(2000);
    unlock();
    expect(journal.flush().kind).toBe('ok');
    expect(take(journal.verify('r1'))).toMatchObject({ kind: 'whole', lost: true, thinned: false });
    expect(take(journal.run('r1'))).toMatchObject({ replayable: false, lost: true, readings: 3600 });
    expect(Array.from(journal.summaries('r1'))).toHaveLength(60);
    const [mark] = Array.from(journal.readDecisions('r1'));
    expect(mark).toMatchObject({ kind: 'mark', mark: { mark: 'lost', decisions: 0 } });
    expect(mark?.kind === 'mark' && mark.mark.mark === 'lost' ? mark.mark.readings : 0).toBeGreaterThan(3000);
    expect(Array.from(journal.readChunks('r1'), ({ kind }) => kind).slice(-2)).toEqual(['ok', 'ok']);
  });

  it('is bounded for decisions too: commands go before events, and the record counts what is lost', () => {
    const path = place();
    const journal = open(path, { busyTimeoutMs: 20, maxQueuedDecisions: 10 });
    take(journal.beginRun(header('r1')));
    const unlock = lock(path);
    for (let now = 0; now < 12; now++) journal.append('r1', reading(now), decided(now));
    expect(journal.waiting().decisions).toBe(10);
    unlock();
    expect(journal.flush().kind).toBe('ok');
    const kept = Array.from(journal.readDecisions('r1'));
    expect(kept.map((one) => (one.kind === 'mark' ? one.mark : one.decision.kind))).toEqual([
      ...Array.from({ length: 10 }, () => 'event'),
      { mark: 'lost', atMs: expect.any(Number), scans: 0, readings: 0, decisions: 14 },
    ]);
    expect(take(journal.run('r1')).replayable).toBe(false);
    expect(take(journal.verify('r1'))).toMatchObject({ kind: 'whole', lost: true });
  });
});

describe('marks of the store', () => {
  it('outlive a queue that overflows: the run still ends, and the chain with it', () => {
    const path = place();
    const journal = open(path, { busyTimeoutMs: 20, maxQueuedDecisions: 0 });
    take(journal.beginRun(header('r1')));
    const unlock = lock(path);
    for (let now = 0; now < 5; now++) journal.append('r1', reading(now), decided(now));
    expect(journal.endRun('r1', 'aborted', null).kind).toBe('failed');
    unlock();
    expect(journal.flush().kind).toBe('ok');
    expect(take(journal.run('r1')).outcome).toBe('aborted');
    expect(take(journal.verify('r1'))).toMatchObject({ kind: 'whole', lost: true });
  });
});

describe('two processes with one run', () => {
  it('are fenced: the later one writes, the earlier one is told, and its other runs go on', () => {
    const path = place();
    const first = open(path);
    take(first.beginRun(header('r1')));
    take(first.beginRun(header('r2')));
    first.append('r1', reading(1), decided(1));
    first.commit();
    const second = open(path);
    take(second.continueRun('r1'));
    first.append('r1', reading(2), decided(2));
    first.append('r2', reading(2), decided(2));
    expect(first.commit()).toMatchObject({ kind: 'failed', runs: ['r1'], failure: { kind: 'taken-over' } });
    expect(Array.from(second.readDecisions('r2'))).toHaveLength(2);
    second.append('r1', reading(3), decided(3));
    expect(second.commit().kind).toBe('ok');
    expect(Array.from(second.readInputs('r1'), ({ now }) => now)).toEqual([1, 3]);
    expect(take(second.verify('r1')).kind).toBe('whole');
    // It stays that way, however often the first one tries.
    expect(first.commit()).toMatchObject({ kind: 'failed', failure: { kind: 'taken-over' } });
  });
});
