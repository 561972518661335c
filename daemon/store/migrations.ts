/** One step of the file format; `sql` runs in the same transaction as the change of `user_version`. */
export interface Migration {
  readonly version: number;
  readonly title: string;
  readonly sql: string;
}

/** Marks the file as ours in its header ("MCJL"). */
export const applicationId = 0x4d434a4c;

const first = `
CREATE TABLE runs (
  number         INTEGER PRIMARY KEY,
  id             TEXT    NOT NULL UNIQUE,
  still          TEXT    NOT NULL,
  kind           TEXT    NOT NULL,
  recipe         TEXT,
  variant        TEXT,
  recipe_hash    TEXT,
  started_at_ms  INTEGER NOT NULL,
  ended_at_ms    INTEGER,
  outcome        TEXT,
  summary        TEXT,
  scans          INTEGER NOT NULL DEFAULT 0,
  readings       INTEGER NOT NULL DEFAULT 0,
  decisions      INTEGER NOT NULL DEFAULT 0,
  last_s         REAL,
  links          INTEGER NOT NULL DEFAULT 0,
  genesis        BLOB    NOT NULL,
  head           BLOB    NOT NULL,
  thinned        INTEGER NOT NULL DEFAULT 0,
  lost           INTEGER NOT NULL DEFAULT 0,
  restarts       INTEGER NOT NULL DEFAULT 0,
  writer         TEXT    NOT NULL
) STRICT;

-- Beside the runs, not in them: a list of runs must not have to pass these by.
CREATE TABLE plants (
  run            INTEGER PRIMARY KEY REFERENCES runs (number),
  plant          TEXT    NOT NULL,
  initial        TEXT    NOT NULL,
  about          TEXT    NOT NULL,
  points         TEXT    NOT NULL
) STRICT;

-- link and chain are null while the minute is open.
CREATE TABLE chunks (
  number         INTEGER PRIMARY KEY,
  run            INTEGER NOT NULL REFERENCES runs (number),
  seq            INTEGER NOT NULL,
  first_scan     INTEGER NOT NULL,
  scans          INTEGER NOT NULL,
  readings       INTEGER NOT NULL,
  from_s         REAL,
  to_s           REAL,
  link           INTEGER,
  chain          BLOB,
  digest         BLOB    NOT NULL,
  summary        BLOB    NOT NULL,
  UNIQUE (run, seq)
) STRICT;

-- What thinning drops: a table of its own, so that its pages become free.
CREATE TABLE readings (
  chunk          INTEGER PRIMARY KEY REFERENCES chunks (number),
  bytes          BLOB    NOT NULL
) STRICT;

CREATE TABLE decisions (
  run            INTEGER NOT NULL REFERENCES runs (number),
  seq            INTEGER NOT NULL,
  scan           INTEGER NOT NULL,
  link           INTEGER NOT NULL,
  chain          BLOB    NOT NULL,
  kind           TEXT    NOT NULL,
  body           TEXT    NOT NULL,
  PRIMARY KEY (run, seq)
) STRICT;
CREATE TRIGGER decisions_stay BEFORE DELETE ON decisions BEGIN SELECT RAISE(ABORT, 'decisions are never dropped'); END;
CREATE TRIGGER decisions_stand BEFORE UPDATE ON decisions BEGIN SELECT RAISE(ABORT, 'decisions are never changed'); END;

-- How many scans and restarts the state has seen.
CREATE TABLE checkpoints (
  run            INTEGER NOT NULL REFERENCES runs (number),
  scan           INTEGER NOT NULL,
  restarts       INTEGER NOT NULL,
  state          BLOB    NOT NULL,
  PRIMARY KEY (run, scan)
) STRICT;

CREATE TABLE documents (
  kind           TEXT    NOT NULL,
  id             TEXT    NOT NULL,
  revision       INTEGER NOT NULL,
  saved_at_ms    INTEGER NOT NULL,
  saved_by       TEXT    NOT NULL,
  hash           TEXT    NOT NULL,
  body           TEXT    NOT NULL,
  PRIMARY KEY (kind, id, revision)
) STRICT;
CREATE TRIGGER documents_stay BEFORE DELETE ON documents BEGIN SELECT RAISE(ABORT, 'revisions are never dropped'); END;
CREATE TRIGGER documents_stand BEFORE UPDATE ON documents BEGIN SELECT RAISE(ABORT, 'revisions are never changed'); END;
`;

/** In order; a published one is never changed, only followed by another. */
export const migrations: readonly Migration[] = [
  { version: 1, title: 'runs, chunks, decisions, checkpoints, documents', sql: first },
];
