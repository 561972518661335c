import { statSync } from 'node:fs';
import { DatabaseSync } from 'node:sqlite';
import { beforeEach, describe, expect, it } from 'vitest';
import { type Journal, StoreError } from '../../daemon/store';
import { decided, header, nothing, plant, reading, take, workshop } from './store-tools';

const { place, open } = workshop();
let path: string;

/** Five minutes with a decision in each, ended. Links: a chunk and two decisions a minute, and the end. */
function writeRun(journal: Journal, runId = 'r1'): void {
  take(journal.beginRun(header(runId)));
  for (let now = 0; now < 300; now++) {
    journal.append(runId, reading(now), now % 60 === 30 ? decided(now) : nothing);
    journal.commit();
  }
  journal.endRun(runId, 'complete', { heartsL: 7.5 });
}

/** Somebody with a database tool and no respect for triggers. */
function tamper(sql: string): void {
  const file = new DatabaseSync(path);
  file.exec(`PRAGMA foreign_keys = OFF; DROP TRIGGER decisions_stay; DROP TRIGGER decisions_stand; ${sql}`);
  file.close();
}

beforeEach(() => {
  path = place();
  const journal = open(path);
  writeRun(journal);
  journal.close();
});

describe('the chain of a run', () => {
  it('holds for an untouched record', () => {
    expect(take(open(path).verify('r1'))).toMatchObject({
      kind: 'whole',
      links: 5 * 3 + 1,
      thinned: false,
      lost: false,
    });
  });

  it('has one head for one record, and another for another', () => {
    const heads = ['r1', 'r1', 'r2'].map((runId) => {
      const journal = open(place(), { wallClockMs: () => 1_760_000_000_000 });
      writeRun(journal, runId);
      const verified = take(journal.verify(runId));
      return verified.kind === 'whole' ? verified.head : '';
    });
    expect(heads[0]).toMatch(/^[0-9a-f]{64}$/);
    expect(heads[1]).toBe(heads[0]);
    expect(heads[2]).not.toBe(heads[0]);
  });

  it.each([
    [
      'a changed reason',
      "UPDATE decisions SET body = replace(body, '92.4', '92.5') WHERE seq = 2",
      { what: 'decision', seq: 2, link: 4 },
    ],
    ['a changed order of decisions', 'UPDATE decisions SET seq = -seq', { what: 'decision' }],
    ['a dropped decision', 'DELETE FROM decisions WHERE seq = 4', { link: 7, message: 'link 7 is missing' }],
    ['a dropped decision at the end', 'DELETE FROM decisions WHERE seq = 10', { what: 'end' }],
    [
      'a decision moved to another scan',
      'UPDATE decisions SET scan = 31 WHERE seq = 0',
      { what: 'decision', seq: 0, link: 1 },
    ],
    ['changed readings', "UPDATE readings SET bytes = x'0300' WHERE chunk = 3", { what: 'chunk', seq: 2 }],
    [
      'readings exchanged with those of another minute',
      'UPDATE readings SET bytes = (SELECT bytes FROM readings WHERE chunk = 2) WHERE chunk = 4; UPDATE chunks SET digest = (SELECT digest FROM chunks WHERE seq = 1) WHERE seq = 3',
      { what: 'chunk', seq: 3 },
    ],
    [
      'readings exchanged behind their digest',
      'UPDATE readings SET bytes = (SELECT bytes FROM readings WHERE chunk = 2) WHERE chunk = 4',
      { what: 'chunk', seq: 3, message: 'the chunk does not agree with its digest' },
    ],
    [
      'a changed summary',
      'UPDATE chunks SET summary = (SELECT summary FROM chunks WHERE seq = 0) WHERE seq = 1',
      { what: 'chunk', seq: 1 },
    ],
    ['a dropped minute', 'DELETE FROM chunks WHERE seq = 1', { link: 6, message: 'link 6 is missing' }],
    [
      'readings dropped without a mark',
      'DELETE FROM readings WHERE chunk = 4',
      { what: 'end', message: 'readings are missing, and no mark says why' },
    ],
    [
      'a changed recipe',
      'UPDATE plants SET plant = replace(plant, \'"atLeastC":92\', \'"atLeastC":93\')',
      { what: 'header', link: 0 },
    ],
    ['a changed start', 'UPDATE runs SET started_at_ms = started_at_ms + 1', { what: 'header', link: 0 }],
    [
      'a changed outcome',
      "UPDATE runs SET outcome = 'stopped'",
      { what: 'end', message: 'the outcome or summary of the run was changed' },
    ],
    ['a changed summary of the run', 'UPDATE runs SET summary = \'{"heartsL":9}\'', { what: 'end' }],
    ['an end made open again', 'UPDATE runs SET outcome = NULL', { what: 'end' }],
  ])('shows %s', (_what, sql, broken) => {
    tamper(sql);
    expect(take(open(path).verify('r1'))).toMatchObject({ kind: 'broken', ...broken });
  });

  it('reports the first link that does not hold, not the last', () => {
    tamper("UPDATE decisions SET body = replace(body, '92.4', '92.5') WHERE seq IN (3, 8)");
    expect(take(open(path).verify('r1'))).toMatchObject({ kind: 'broken', what: 'decision', seq: 3 });
  });

  it('of one run does not depend on the others', () => {
    const journal = open(path);
    take(journal.beginRun(header('r2')));
    journal.append('r2', reading(0), decided(0));
    journal.endRun('r2', 'complete', null);
    tamper('UPDATE decisions SET scan = 31 WHERE run = 1 AND seq = 0');
    expect(take(journal.verify('r1')).kind).toBe('broken');
    expect(take(journal.verify('r2')).kind).toBe('whole');
  });
});

describe('decisions', () => {
  it('cannot be changed or dropped by accident', () => {
    const file = new DatabaseSync(path);
    expect(() => file.exec('DELETE FROM decisions')).toThrow('decisions are never dropped');
    expect(() => file.exec("UPDATE decisions SET body = ''")).toThrow('decisions are never changed');
    file.close();
  });
});

describe('thinning', () => {
  it('drops the readings on purpose: the chain holds, decisions and summaries stay, the run is no longer replayable', () => {
    const journal = open(path);
    const before = {
      decisions: Array.from(journal.readDecisions('r1')),
      summaries: Array.from(journal.summaries('r1')),
    };
    expect(take(journal.thin('r1', 'Ada'))).toMatchObject({ readings: 300 });
    const verified = take(journal.verify('r1'));
    expect(verified).toMatchObject({ kind: 'whole', links: 17, thinned: true });
    expect(take(journal.run('r1'))).toMatchObject({ replayable: false, thinned: true, readings: 300, plant });
    const after = Array.from(journal.readDecisions('r1'));
    expect(after.slice(0, -1)).toEqual(before.decisions);
    expect(after.at(-1)).toMatchObject({ kind: 'mark', mark: { mark: 'thinned', by: 'Ada', readings: 300 } });
    expect(Array.from(journal.summaries('r1'))).toEqual(before.summaries);
  });

  it('is told to whoever wants to read the inputs, before any is given', () => {
    const journal = open(path);
    take(journal.thin('r1', 'Ada'));
    let read = 0;
    const count = (): void => {
      for (const _input of journal.readInputs('r1')) read += 1;
    };
    expect(count).toThrow(StoreError);
    expect(count).toThrow('the readings of run r1 from scan 0 on were dropped');
    expect(read).toBe(0);
    expect(Array.from(journal.readChunks('r1'), ({ kind }) => kind)).toEqual(
      Array.from({ length: 5 }, () => 'thinned'),
    );
  });

  it('twice is as once', () => {
    const journal = open(path);
    take(journal.thin('r1', 'Ada'));
    expect(take(journal.thin('r1', 'Ben'))).toEqual({ readings: 0, bytes: 0 });
    expect(take(journal.verify('r1'))).toMatchObject({ kind: 'whole', links: 17 });
  });

  it('is refused while the run is open', () => {
    const journal = open(path);
    take(journal.beginRun(header('r2')));
    expect(journal.thin('r2', 'Ada')).toMatchObject({ kind: 'failed', failure: { kind: 'conflict' } });
  });

  it('gives the room back to the disk', () => {
    const journal = open(path);
    take(journal.beginRun(header('big')));
    let noise = 1;
    for (let now = 0; now < 6000; now++) {
      noise = (noise * 48271) % 2147483647;
      journal.append('big', reading(now, noise / 1000), nothing);
    }
    journal.endRun('big', 'complete', null);
    journal.close();
    const before = statSync(path).size;
    const again = open(path);
    const { bytes } = take(again.thin('big', 'Ada'));
    again.close();
    expect(bytes).toBeGreaterThan(15_000);
    expect(before - statSync(path).size).toBeGreaterThan(bytes / 2);
  });
});

describe('damaged readings', () => {
  it('are named and end a reading of the inputs, and the other minutes can still be read', () => {
    tamper('UPDATE readings SET bytes = substr(bytes, 1, length(bytes) - 3) WHERE chunk = 3');
    const journal = open(path);
    const read: number[] = [];
    expect(() => {
      for (const input of journal.readInputs('r1')) read.push(input.now);
    }).toThrow('the readings of run r1 from scan 120 on are damaged');
    expect(read).toHaveLength(120);
    expect(Array.from(journal.readChunks('r1'), ({ kind }) => kind)).toEqual(['ok', 'ok', 'damaged', 'ok', 'ok']);
  });
});
