import { DatabaseSync } from 'node:sqlite';
import { describe, expect, it } from 'vitest';
import type { Kept } from '../../daemon/store';
import type { Input } from '../../lib';
import { contentHash } from '../../lib/record';
import { decided, handClock, header, nothing, order, plant, reading, repeated, take, workshop } from './store-tools';

const { place, open } = workshop();
const kindsOf = (kept: Iterable<Kept>): string[] =>
  Array.from(kept, (one) => (one.kind === 'mark' ? one.mark.mark : one.decision.kind));

describe('a run in the journal', () => {
  it('comes back as it was begun: plant, start, hash of its recipe', () => {
    const journal = open(place());
    take(journal.beginRun({ ...header('r1'), about: { startedBy: 'Ada', speed: 1 } }));
    const run = take(journal.run('r1'));
    expect(run.plant).toEqual(plant);
    expect(run.initial).toEqual(header('r1').initial);
    expect(run).toMatchObject({
      still: 'test-pot',
      kind: 'spirit',
      recipe: 'Test spirit',
      outcome: null,
      replayable: true,
    });
    expect(run.recipeHash).toBe(contentHash(plant.recipe));
    expect(run.about).toEqual({ startedBy: 'Ada', speed: 1 });
  });

  it('refuses a second run of the same name', () => {
    const journal = open(place());
    take(journal.beginRun(header('r1')));
    expect(journal.beginRun(header('r1'))).toMatchObject({ kind: 'failed', failure: { kind: 'exists' } });
  });

  it('gives back every input after closing and opening again', () => {
    const path = place();
    const inputs: Input[] = Array.from({ length: 400 }, (_, i) =>
      i % 50 === 3
        ? { now: i, readings: [], orders: [order] }
        : i % 3 === 0
          ? { now: i, readings: [], orders: [] }
          : reading(i),
    );
    const writing = open(path);
    take(writing.beginRun(header('r1')));
    for (const input of inputs) {
      writing.append('r1', input, nothing);
      expect(writing.commit().kind).toBe('ok');
    }
    expect(writing.close()).toMatchObject({ kind: 'ok' });
    const journal = open(path, { readOnly: true });
    expect(Array.from(journal.readInputs('r1'))).toEqual(inputs);
    expect(Array.from(journal.readInputs('r1', 137))).toEqual(inputs.slice(137));
    expect(take(journal.run('r1'))).toMatchObject({ scans: 400, lastS: 399 });
    expect(take(journal.verify('r1')).kind).toBe('whole');
  });

  it('has written a decision, and every reading before it, when commit returns', () => {
    const path = place();
    const journal = open(path);
    take(journal.beginRun(header('r1')));
    for (let now = 0; now < 90; now++) {
      journal.append('r1', reading(now), now === 75 ? decided(75) : nothing);
      if (now === 75) expect(journal.commit()).toEqual({ kind: 'ok', decisions: 2, chunks: 2 });
    }
    // Another process sees what is on the disk, and nothing of what is only in our memory.
    const other = open(path, { readOnly: true });
    expect(Array.from(other.readInputs('r1')).map((input) => input.now)).toEqual(
      Array.from({ length: 76 }, (_, i) => i),
    );
    const kept = Array.from(other.readDecisions('r1'));
    expect(kindsOf(kept)).toEqual(['event', 'command']);
    expect(kept.map(({ scan }) => scan)).toEqual([75, 75]);
    expect(kept[1]).toMatchObject({
      decision: { atS: 75, command: { id: 'c75', reason: { numbers: { tempC: 92.4 } } } },
    });
  });

  it('does not write repeats of a command, nor commit for their sake', () => {
    const journal = open(place());
    take(journal.beginRun(header('r1')));
    journal.append('r1', reading(1), repeated(1));
    expect(journal.commit()).toEqual({ kind: 'ok', decisions: 0, chunks: 0 });
    journal.flush();
    expect(Array.from(journal.readDecisions('r1'))).toEqual([]);
  });

  it('writes readings that led to no decision after the flush period, and not before', () => {
    const path = place();
    const clock = handClock();
    const journal = open(path, { clockMs: clock.clockMs, flushS: 5 });
    take(journal.beginRun(header('r1')));
    journal.append('r1', reading(1), nothing);
    clock.pass(4.9);
    expect(journal.commit()).toEqual({ kind: 'ok', decisions: 0, chunks: 0 });
    clock.pass(0.2);
    expect(journal.commit()).toEqual({ kind: 'ok', decisions: 0, chunks: 1 });
    expect(journal.commit()).toEqual({ kind: 'ok', decisions: 0, chunks: 0 });
    expect(Array.from(journal.readInputs('r1'))).toEqual([reading(1)]);
  });

  it('writes the open minute in place, and closes it when the next begins', () => {
    const path = place();
    const journal = open(path);
    take(journal.beginRun(header('r1')));
    for (let now = 0; now < 61; now++) {
      journal.append('r1', reading(now), nothing);
      journal.flush();
    }
    const file = new DatabaseSync(path, { readOnly: true });
    expect(
      file
        .prepare('SELECT seq, scans, link IS NULL AS open FROM chunks ORDER BY seq')
        .all()
        .map((row) => ({ ...row })),
    ).toEqual([
      { seq: 0, scans: 60, open: 0 },
      { seq: 1, scans: 1, open: 1 },
    ]);
    file.close();
  });

  it('carries several stills in one transaction', () => {
    const journal = open(place());
    take(journal.beginRun(header('r1')));
    take(journal.beginRun(header('r2')));
    journal.append('r1', reading(1), decided(1));
    journal.append('r2', reading(1), decided(1));
    expect(journal.commit()).toEqual({ kind: 'ok', decisions: 4, chunks: 2 });
    expect(journal.waiting()).toEqual({ scans: 0, decisions: 0, bytes: 0 });
  });

  it('keeps an odd number in a reason to the last bit', () => {
    const journal = open(place());
    take(journal.beginRun(header('r1')));
    const numbers = { a: Number.NaN, b: -0, c: Number.POSITIVE_INFINITY, d: 0.1 + 0.2 };
    journal.append('r1', reading(1), {
      events: [{ kind: 'fault', atS: 1, reason: { code: 'odd', numbers } }],
      commands: [],
    });
    journal.commit();
    expect(Array.from(journal.readDecisions('r1'))[0]).toMatchObject({ decision: { event: { reason: { numbers } } } });
  });

  it('ends with an outcome and a summary, and takes nothing after', () => {
    const journal = open(place(), { wallClockMs: () => 1_760_000_600_000 });
    take(journal.beginRun(header('r1')));
    journal.append('r1', reading(1), decided(1));
    expect(journal.endRun('r1', 'complete', { heartsL: 7.5 }).kind).toBe('ok');
    expect(take(journal.runs())).toMatchObject([
      { outcome: 'complete', summary: { heartsL: 7.5 }, endedAtMs: 1_760_000_600_000 },
    ]);
    expect(take(journal.openRuns())).toEqual([]);
    expect(() => journal.append('r1', reading(2), nothing)).toThrow('was not begun or continued');
    expect(take(journal.verify('r1'))).toMatchObject({ kind: 'whole', thinned: false });
  });

  it('says at once that a run was never begun', () => {
    expect(() => open(place()).append('r9', reading(1), nothing)).toThrow('the run r9 was not begun or continued');
    expect(open(place()).run('r9')).toMatchObject({ kind: 'failed', failure: { kind: 'unknown-run' } });
  });
});

describe('minute summaries', () => {
  it('hold least, mean, most and last of each point, minute by minute', () => {
    const journal = open(place());
    take(journal.beginRun(header('r1')));
    for (let now = 30; now < 90; now++) journal.append('r1', reading(now, now), nothing);
    journal.flush();
    expect(Array.from(journal.summaries('r1'))).toEqual([
      { fromS: 30, toS: 59, points: [{ point: 'vapour', count: 30, min: 30, mean: 44.5, max: 59, last: 59 }] },
      { fromS: 60, toS: 89, points: [{ point: 'vapour', count: 30, min: 60, mean: 74.5, max: 89, last: 89 }] },
    ]);
  });
});

describe('the list of runs', () => {
  it('is found by still, kind, recipe, time, outcome and text, latest first', () => {
    const journal = open(place());
    const day = 86_400_000;
    for (let i = 0; i < 4; i++) {
      take(journal.beginRun({ ...header(`r${i}`), startedAtMs: i * day }));
      if (i < 3) journal.endRun(`r${i}`, i === 1 ? 'aborted' : 'complete', { note: i === 0 ? '100 % pear' : 'quince' });
    }
    const ids = (filter: Parameters<typeof journal.runs>[0]): string[] =>
      take(journal.runs(filter)).map(({ runId }) => runId);
    expect(ids({})).toEqual(['r3', 'r2', 'r1', 'r0']);
    expect(ids({ open: true })).toEqual(['r3']);
    expect(ids({ outcome: 'aborted' })).toEqual(['r1']);
    expect(ids({ sinceMs: day, untilMs: 3 * day })).toEqual(['r2', 'r1']);
    expect(ids({ text: 'quince', still: 'test-pot' })).toEqual(['r2', 'r1']);
    expect(ids({ text: '100 %' })).toEqual(['r0']);
    expect(ids({ text: '_' })).toEqual([]);
    expect(ids({ recipe: 'Test spirit', kind: 'spirit', limit: 2, offset: 1 })).toEqual(['r2', 'r1']);
    expect(ids({ recipe: 'Another' })).toEqual([]);
  });
});

describe('documents', () => {
  it('keep every revision, and none for saving the same again', () => {
    const journal = open(place(), { wallClockMs: () => 5 });
    expect(take(journal.document('jar-sheet', 's1'))).toBeNull();
    expect(take(journal.saveDocument('jar-sheet', 's1', { jars: [1] }, { by: 'Ada' }))).toMatchObject({
      revision: 1,
      savedAtMs: 5,
    });
    expect(take(journal.saveDocument('jar-sheet', 's1', { jars: [1] }, { by: 'Ada' }))).toMatchObject({ revision: 1 });
    expect(take(journal.saveDocument('jar-sheet', 's1', { jars: [1, 2] }, { by: 'Ben', from: 1 }))).toMatchObject({
      revision: 2,
    });
    expect(take(journal.document('jar-sheet', 's1'))?.body).toEqual({ jars: [1, 2] });
    expect(take(journal.document('jar-sheet', 's1', 1))?.body).toEqual({ jars: [1] });
    expect(take(journal.revisions('jar-sheet', 's1')).map(({ savedBy }) => savedBy)).toEqual(['Ada', 'Ben']);
    take(journal.saveDocument('jar-sheet', 's0', {}, { by: 'Ada' }));
    expect(take(journal.documents('jar-sheet')).map(({ id, revision }) => [id, revision])).toEqual([
      ['s0', 1],
      ['s1', 2],
    ]);
  });

  it('do not overwrite what somebody else saved meanwhile', () => {
    const journal = open(place());
    take(journal.saveDocument('recipe', 'perry', { a: 1 }, { by: 'Ada', from: 0 }));
    expect(journal.saveDocument('recipe', 'perry', { a: 2 }, { by: 'Ben', from: 0 })).toMatchObject({
      failure: { kind: 'conflict' },
    });
    expect(take(journal.document('recipe', 'perry'))?.body).toEqual({ a: 1 });
  });

  it('cannot be changed or dropped, and a change behind our back shows', () => {
    const path = place();
    const journal = open(path);
    take(journal.saveDocument('recipe', 'perry', { a: 1 }, { by: 'Ada' }));
    const file = new DatabaseSync(path);
    expect(() => file.exec("UPDATE documents SET body = '{}'")).toThrow('revisions are never changed');
    expect(() => file.exec('DELETE FROM documents')).toThrow('revisions are never dropped');
    file.exec('DROP TRIGGER documents_stand; UPDATE documents SET body = \'{"a":2}\'');
    file.close();
    expect(journal.document('recipe', 'perry')).toMatchObject({ failure: { kind: 'damaged' } });
  });
});
