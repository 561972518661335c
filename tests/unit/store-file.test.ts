import { copyFileSync, existsSync, readdirSync, readFileSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { describe, expect, it } from 'vitest';
import { openJournal } from '../../daemon/store';
import { openDatabase } from '../../daemon/store/database';
import { type Migration, migrations } from '../../daemon/store/migrations';
import { randomOf } from '../tools/random';
import { decided, header, nothing, reading, take, workshop } from './store-tools';

const { place, open } = workshop();

function writtenJournal(): string {
  const path = place();
  const journal = open(path);
  take(journal.beginRun(header('r1')));
  for (let now = 0; now < 1200; now++)
    journal.append('r1', reading(now, now * 1.1), now % 40 === 0 ? decided(now) : nothing);
  journal.endRun('r1', 'complete', null);
  journal.close();
  return path;
}

describe('the file of the journal', () => {
  it('is made with its directory, in WAL mode with full synchronisation, and marked as ours', () => {
    const path = `${dirname(place())}/deep/er/journal.db`;
    open(path);
    const file = new DatabaseSync(path);
    const pragma = (name: string): unknown => Object.values(file.prepare(`PRAGMA ${name}`).get() ?? {})[0];
    expect(pragma('journal_mode')).toBe('wal');
    expect(pragma('user_version')).toBe(migrations.at(-1)?.version);
    expect(pragma('application_id')).toBe(0x4d434a4c);
    expect(pragma('auto_vacuum')).toBe(2);
    file.close();
    expect(readdirSync(dirname(path)).filter((name) => name.includes('.new'))).toEqual([]);
  });

  it('survives its writer being gone without a word', () => {
    const path = place();
    const journal = open(path);
    take(journal.beginRun(header('r1')));
    journal.append('r1', reading(1), decided(1));
    journal.commit();
    // The copy is what a power cut leaves: the file and its -wal, never closed.
    const copy = place();
    for (const ending of ['', '-wal']) copyFileSync(path + ending, copy + ending);
    expect(statSync(`${copy}-wal`).size).toBeGreaterThan(0);
    const again = open(copy);
    expect(Array.from(again.readDecisions('r1'))).toHaveLength(2);
    expect(take(again.verify('r1')).kind).toBe('whole');
  });

  it('may live in memory', () => {
    const journal = open(':memory:');
    take(journal.beginRun(header('r1')));
    journal.append('r1', reading(1), decided(1));
    expect(journal.commit()).toEqual({ kind: 'ok', decisions: 2, chunks: 1 });
    expect(take(journal.verify('r1')).kind).toBe('whole');
  });

  it('opened for reading only is not written, and not made', () => {
    const path = place();
    expect(openJournal(path, { readOnly: true })).toMatchObject({ kind: 'failed', failure: { kind: 'denied' } });
    expect(existsSync(path)).toBe(false);
    const written = writtenJournal();
    const journal = open(written, { readOnly: true });
    expect(journal.beginRun(header('r2'))).toMatchObject({ kind: 'failed', failure: { kind: 'denied' } });
    expect(take(journal.runs())).toHaveLength(1);
  });
});

describe('a file that is not as it should be', () => {
  it.each([
    ['is empty', () => '', 'damaged', 'is cut off: 0 bytes are left'],
    ['is a text', () => 'perry, 60 L\n'.repeat(500), 'damaged', 'is not a journal, or its beginning is damaged'],
    ['is a few bytes', () => 'SQLite format 3', 'damaged', 'is cut off: 15 bytes are left'],
  ])('is refused with a clear message: it %s', (_what, content, kind, message) => {
    const path = place();
    writeFileSync(path, content());
    const opened = openJournal(path);
    expect(opened).toMatchObject({ kind: 'failed', failure: { kind, message: expect.stringContaining(message) } });
    expect(opened).toMatchObject({
      failure: { message: expect.stringContaining(path), remedy: expect.stringContaining('backup') },
    });
    // Nothing was done to it: it may still be worth something to somebody.
    expect(readFileSync(path, 'utf8')).toBe(content());
  });

  it('is left alone when it is the database of another program', () => {
    const path = place();
    const other = new DatabaseSync(path);
    other.exec('CREATE TABLE beehives (name TEXT)');
    other.close();
    const before = readFileSync(path);
    expect(openJournal(path)).toMatchObject({ kind: 'failed', failure: { kind: 'foreign' } });
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  it('is refused and left alone when a newer program wrote it', () => {
    const path = writtenJournal();
    const file = new DatabaseSync(path);
    file.exec('PRAGMA user_version = 99');
    file.close();
    const opened = openJournal(path);
    expect(opened).toMatchObject({
      kind: 'failed',
      failure: { kind: 'newer-version', message: expect.stringContaining('format 99') },
    });
    expect(readdirSync(dirname(path)).filter((name) => name.includes('backup'))).toEqual([]);
  });

  it('is refused when it was cut off, wherever', () => {
    const whole = writtenJournal();
    const { size } = statSync(whole);
    const random = randomOf(11);
    for (let i = 0; i < 60; i++) {
      const path = place();
      copyFileSync(whole, path);
      const left = Math.floor(random.uniform() * size);
      truncateSync(path, left);
      expect(openJournal(path), `${left} of ${size} bytes`).toMatchObject({
        kind: 'failed',
        failure: { kind: 'damaged', message: expect.stringMatching(/cut off|damaged/) },
      });
    }
  });

  it('with a stretch overwritten either opens with a verdict on the run, or is refused; it is never taken for whole', () => {
    const path = writtenJournal();
    const good = readFileSync(path);
    const random = randomOf(12);
    const outcomes = { refused: 0, broken: 0, unread: 0, untouched: 0 };
    for (let i = 0; i < 80; i++) {
      const bytes = Buffer.from(good);
      const from = Math.floor(random.uniform() * bytes.length);
      for (let at = from; at < Math.min(bytes.length, from + 512); at++) bytes[at] = Math.floor(random.uniform() * 256);
      const copy = place();
      writeFileSync(copy, bytes);
      const opened = openJournal(copy, { check: 'full' });
      if (opened.kind === 'failed') {
        expect(opened.failure.kind).toMatch(/damaged|foreign|newer-version/);
        outcomes.refused += 1;
        continue;
      }
      const verified = opened.value.verify('r1');
      if (verified.kind === 'failed') outcomes.unread += 1;
      else if (verified.value.kind === 'broken') outcomes.broken += 1;
      else {
        // Whole: then what was overwritten holds nothing of the run (a free stretch of a page), and all of it is there.
        expect(verified.value.links).toBe(20 + 60 + 1);
        expect(Array.from(opened.value.readInputs('r1'))).toHaveLength(1200);
        outcomes.untouched += 1;
      }
      opened.value.close();
    }
    expect(outcomes.refused + outcomes.broken + outcomes.unread).toBeGreaterThan(40);
  });
});

describe('bringing an older file up to date', () => {
  const second: Migration = {
    version: 2,
    title: 'a shelf',
    sql: 'CREATE TABLE shelves (id INTEGER PRIMARY KEY) STRICT',
  };
  const broken: Migration = {
    version: 2,
    title: 'half a shelf',
    sql: 'CREATE TABLE shelves (id INTEGER PRIMARY KEY); INSERT INTO nowhere VALUES (1)',
  };
  const options = { readOnly: false, busyTimeoutMs: 100, maxBytes: null, check: 'quick' } as const;
  const tablesOf = (path: string): string[] => {
    const file = new DatabaseSync(path, { readOnly: true });
    const names = file
      .prepare("SELECT name FROM sqlite_schema WHERE type = 'table'")
      .all()
      .map((row) => String(row.name));
    file.close();
    return names;
  };

  it('copies it first, whole and readable, and then changes it', () => {
    const path = writtenJournal();
    const { database, backup } = take(openDatabase(path, { ...options, migrations: [...migrations, second] }));
    database.close();
    expect(backup).toBe(`${path}.format-1.backup`);
    expect(tablesOf(path)).toContain('shelves');
    expect(tablesOf(String(backup))).not.toContain('shelves');
    const old = open(String(backup));
    expect(take(old.verify('r1')).kind).toBe('whole');
  });

  it('never writes over an earlier backup', () => {
    const path = writtenJournal();
    writeFileSync(`${path}.format-1.backup`, 'precious');
    const { database, backup } = take(openDatabase(path, { ...options, migrations: [...migrations, second] }));
    database.close();
    expect(backup).toBe(`${path}.format-1-2.backup`);
    expect(readFileSync(`${path}.format-1.backup`, 'utf8')).toBe('precious');
  });

  it('that fails leaves the file as it was', () => {
    const path = writtenJournal();
    expect(() => openDatabase(path, { ...options, migrations: [...migrations, broken] })).toThrow('nowhere');
    expect(tablesOf(path)).not.toContain('shelves');
    const journal = open(path);
    expect(take(journal.verify('r1')).kind).toBe('whole');
  });

  it('is left to the daemon when the file is only to be read', () => {
    const path = writtenJournal();
    const opened = openDatabase(path, { ...options, readOnly: true, migrations: [...migrations, second] });
    expect(opened).toMatchObject({ kind: 'failed', failure: { kind: 'older-version' } });
    expect(tablesOf(path)).not.toContain('shelves');
  });
});
