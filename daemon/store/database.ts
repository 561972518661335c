import { closeSync, existsSync, fsyncSync, mkdirSync, openSync, readSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { attempt, damagedRemedy, fail, type Stored } from './failure';
import { applicationId, type Migration } from './migrations';

export interface DatabaseOptions {
  readonly migrations: readonly Migration[];
  readonly readOnly: boolean;
  /** How long a statement waits for another program's lock; the whole daemon waits with it [ms]. */
  readonly busyTimeoutMs: number;
  /** Largest size of the file [bytes]; null for as large as the disk. */
  readonly maxBytes: number | null;
  readonly check: 'quick' | 'full' | 'none';
}

export interface OpenedDatabase {
  readonly database: DatabaseSync;
  /** The copy made before the file was migrated; null where nothing was. */
  readonly backup: string | null;
}

const numberOf = (database: DatabaseSync, pragma: string): number =>
  Number(Object.values(database.prepare(`PRAGMA ${pragma}`).get() ?? {})[0] ?? 0);

function setUp(database: DatabaseSync, options: DatabaseOptions): void {
  database.exec('PRAGMA foreign_keys = ON; PRAGMA trusted_schema = OFF');
  if (options.readOnly) return;
  database.exec('PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL');
  // On a read-only disk SQLite opens a file all the same, and would tell only when something is decided.
  database.exec(`BEGIN IMMEDIATE; PRAGMA user_version = ${numberOf(database, 'user_version')}; ROLLBACK`);
  if (options.maxBytes !== null) {
    database.exec(
      `PRAGMA max_page_count = ${Math.max(1, Math.floor(options.maxBytes / numberOf(database, 'page_size')))}`,
    );
  }
}

/** Runs work in one transaction; nothing of it stays when it fails. */
export function transact<T>(database: DatabaseSync, work: () => T): T {
  database.exec('BEGIN IMMEDIATE');
  try {
    const value = work();
    database.exec('COMMIT');
    return value;
  } catch (error) {
    if (database.isTransaction) database.exec('ROLLBACK');
    throw error;
  }
}

function migrate(database: DatabaseSync, steps: readonly Migration[]): void {
  for (const { version, sql } of steps) {
    transact(database, () => {
      database.exec(sql);
      database.exec(`PRAGMA user_version = ${version}`);
    });
  }
}

function syncDirectory(path: string): void {
  const directory = openSync(dirname(path), 'r');
  try {
    fsyncSync(directory);
  } finally {
    closeSync(directory);
  }
}

/** Builds a new file beside its place and moves it there whole: a journal is never seen half made, so an empty file is damage. */
function create(path: string, options: DatabaseOptions): void {
  mkdirSync(dirname(path), { recursive: true });
  const draft = `${path}.new-${process.pid}`;
  rmSync(draft, { force: true });
  const database = new DatabaseSync(draft);
  try {
    database.exec(
      `PRAGMA auto_vacuum = INCREMENTAL; PRAGMA synchronous = FULL; PRAGMA application_id = ${applicationId}`,
    );
    migrate(database, options.migrations);
  } finally {
    database.close();
  }
  renameSync(draft, path);
  syncDirectory(path);
}

/**
 * What can be told from the file alone, before SQLite takes its word for it: its header says how long it should be.
 * Source: sqlite.org/fileformat2.html section 1.3 (page size at byte 16, page count at byte 28).
 */
function checkLength(path: string): void {
  const { size } = statSync(path);
  if (size < 100) fail('damaged', `the journal ${path} is cut off: ${size} bytes are left`, damagedRemedy);
  // Pages may still stand in the -wal file after a crash, and then the journal itself is rightly shorter.
  if (existsSync(`${path}-wal`) && statSync(`${path}-wal`).size > 0) return;
  const header = Buffer.alloc(100);
  const file = openSync(path, 'r');
  try {
    readSync(file, header, 0, 100, 0);
  } finally {
    closeSync(file);
  }
  if (header.toString('latin1', 0, 15) !== 'SQLite format 3') return;
  const pageSize = header.readUInt16BE(16);
  const should = (pageSize === 1 ? 65536 : pageSize) * header.readUInt32BE(28);
  if (size < should)
    fail('damaged', `the journal ${path} is cut off: ${size} of ${should} bytes are left`, damagedRemedy);
}

function checkOwner(database: DatabaseSync, path: string, options: DatabaseOptions): number {
  const version = numberOf(database, 'user_version');
  if (numberOf(database, 'application_id') !== applicationId) {
    fail('foreign', `${path} is a database of another program`, 'Give the journal a file of its own');
  }
  const newest = options.migrations.at(-1)?.version ?? 0;
  if (version > newest) {
    fail(
      'newer-version',
      `the journal ${path} has format ${version}, made by a newer program; this one knows formats up to ${newest}`,
      'Update this program, or begin a new journal file',
    );
  }
  if (version < newest && options.readOnly) {
    fail(
      'older-version',
      `the journal ${path} has format ${version}, and this program reads format ${newest}`,
      'Let the daemon open it once: it makes a backup and brings the file up to date',
    );
  }
  return version;
}

function checkPages(database: DatabaseSync, path: string, check: DatabaseOptions['check']): void {
  if (check === 'none') return;
  const found = database.prepare(check === 'full' ? 'PRAGMA integrity_check(3)' : 'PRAGMA quick_check(3)').all();
  const complaints = found.map((row) => String(Object.values(row)[0])).filter((text) => text !== 'ok');
  if (complaints.length > 0) {
    fail('damaged', `the journal ${path} is damaged (${complaints.join('; ').replaceAll('\n', ' ')})`, damagedRemedy);
  }
}

/** A copy beside the file, complete in itself, under a name that does not exist yet. */
function backUp(database: DatabaseSync, path: string, version: number): string {
  let copy = `${path}.format-${version}.backup`;
  for (let i = 2; existsSync(copy); i++) copy = `${path}.format-${version}-${i}.backup`;
  database.prepare('VACUUM INTO ?').run(copy);
  return copy;
}

function openFile(path: string, options: DatabaseOptions): OpenedDatabase {
  if (path !== ':memory:') {
    if (!existsSync(path)) {
      if (options.readOnly)
        fail(
          'denied',
          `there is no journal ${path}`,
          'Look at the path; the daemon makes the file when it first starts',
        );
      create(path, options);
    }
    checkLength(path);
  }
  const database = new DatabaseSync(path, { readOnly: options.readOnly, timeout: options.busyTimeoutMs });
  try {
    if (path === ':memory:') {
      database.exec(`PRAGMA application_id = ${applicationId}`);
      migrate(database, options.migrations);
    }
    const version = checkOwner(database, path, options);
    setUp(database, options);
    checkPages(database, path, options.check);
    const due = options.migrations.filter((migration) => migration.version > version);
    const backup = due.length > 0 ? backUp(database, path, version) : null;
    migrate(database, due);
    return { database, backup };
  } catch (error) {
    database.close();
    throw error;
  }
}

/**
 * Opens the journal's file, makes it where there is none, checks it, and brings an older format up to date after a backup.
 * @param path file, or `:memory:`
 * @returns the open database, or what is wrong with the file
 */
export function openDatabase(path: string, options: DatabaseOptions): Stored<OpenedDatabase> {
  return attempt(path, () => openFile(path, options));
}
