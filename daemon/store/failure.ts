/** What can go wrong with the journal's file. */
export type FailureKind =
  | 'newer-version'
  | 'older-version'
  | 'foreign'
  | 'damaged'
  | 'locked'
  | 'full'
  | 'denied'
  | 'taken-over'
  | 'unknown-run'
  | 'exists'
  | 'not-replayable'
  | 'conflict'
  | 'io';

/** A failure of the store, for people: what happened, and what to do about it. */
export interface StoreFailure {
  readonly kind: FailureKind;
  readonly message: string;
  readonly remedy: string;
}

export type Stored<T> =
  | { readonly kind: 'ok'; readonly value: T }
  | { readonly kind: 'failed'; readonly failure: StoreFailure };

/** Carries a failure out of an iterator, which has no other way to say that it stops too early. */
export class StoreError extends Error {
  readonly failure: StoreFailure;

  constructor(failure: StoreFailure) {
    super(`${failure.message}. ${failure.remedy}.`);
    this.name = 'StoreError';
    this.failure = failure;
  }
}

export function fail(kind: FailureKind, message: string, remedy: string): never {
  throw new StoreError({ kind, message, remedy });
}

export const damagedRemedy = 'Keep a copy of the file, and go back to a backup or begin a new journal file';

/** By SQLite's primary result code (sqlite.org/rescode.html). */
const bySqliteCode: Readonly<Record<number, readonly [FailureKind, string, string]>> = {
  3: [
    'denied',
    'may not be used by this user',
    'Give this user the right to read and write the file and its directory',
  ],
  5: ['locked', 'is locked by another program', 'End the other program that has it open for writing'],
  6: ['locked', 'is locked by another connection', 'End the other program that has it open for writing'],
  8: ['denied', 'is read-only', 'Give this user the right to write the file and its directory'],
  10: ['io', 'could not be read or written', 'Look at the disk, its cable and the system log'],
  11: ['damaged', 'is damaged', damagedRemedy],
  13: ['full', 'could not grow: the disk is full', 'Free some space, or thin the readings of old runs'],
  14: ['denied', 'could not be opened', 'Look whether the directory exists and whether this user may write in it'],
  26: ['damaged', 'is not a journal, or its beginning is damaged', damagedRemedy],
};

const byFileCode: Readonly<Record<string, readonly [FailureKind, string, string]>> = {
  ENOSPC: ['full', 'could not be written: the disk is full', 'Free some space'],
  EDQUOT: ['full', 'could not be written: the quota of this user is used up', 'Free some space'],
  EACCES: ['denied', 'may not be used by this user', 'Give this user the right to write in the directory'],
  EPERM: ['denied', 'may not be used by this user', 'Give this user the right to write in the directory'],
  EROFS: ['denied', 'lies on a read-only disk', 'Choose another directory'],
  EIO: ['io', 'could not be read or written', 'Look at the disk, its cable and the system log'],
};

/**
 * The failure an error of SQLite or of the file system stands for.
 * @returns null for any other error: that is a fault of the program, and not for the caller to live with
 */
export function failureOf(error: unknown, path: string): StoreFailure | null {
  if (error instanceof StoreError) return error.failure;
  if (!(error instanceof Error)) return null;
  const { code, errcode } = error as { readonly code?: unknown; readonly errcode?: unknown };
  const known =
    code === 'ERR_SQLITE_ERROR' && typeof errcode === 'number'
      ? bySqliteCode[errcode & 0xff]
      : byFileCode[typeof code === 'string' ? code : ''];
  if (known === undefined) return null;
  const [kind, what, remedy] = known;
  return { kind, message: `the journal ${path} ${what} (${error.message})`, remedy };
}

/** Runs work on the store; what the store cannot do comes back as data. */
export function attempt<T>(path: string, work: () => T): Stored<T> {
  try {
    return { kind: 'ok', value: work() };
  } catch (error) {
    const failure = failureOf(error, path);
    if (failure === null) throw error;
    return { kind: 'failed', failure };
  }
}

/** The value, for callers that can only end where there is none. */
export function valueOrThrow<T>(stored: Stored<T>): T {
  if (stored.kind === 'failed') throw new StoreError(stored.failure);
  return stored.value;
}

/** Passes items on; what the store cannot do ends them with a StoreError, whatever SQLite called it. */
export function* guard<T>(path: string, items: Iterable<T>): Generator<T> {
  try {
    yield* items;
  } catch (error) {
    const failure = failureOf(error, path);
    throw failure === null ? error : new StoreError(failure);
  }
}
