import type { DatabaseSync } from 'node:sqlite';
import { canonicalJson, sha256Hex } from '../../lib/record';
import { transact } from './database';
import { damagedRemedy, fail } from './failure';
import { jsonOf } from './rows';
import type { Row } from './statements';

/** A document beside the runs (a jar sheet, a recipe, tasting notes), as one of its revisions. */
export interface StoredDocument {
  readonly kind: string;
  readonly id: string;
  /** From 1, one more each time it is saved; none is ever changed or dropped. */
  readonly revision: number;
  readonly savedAtMs: number;
  readonly savedBy: string;
  readonly hash: string;
  readonly body: unknown;
}

export interface DocumentSaving {
  readonly by: string;
  /** The revision this one was made from, 0 for a new document; another one in between is a conflict, not an overwriting. */
  readonly from?: number;
}

function documentOf(row: Row): StoredDocument {
  const [kind, id, revision, body] = [String(row.kind), String(row.id), Number(row.revision), String(row.body)];
  const hash = String(row.hash);
  if (sha256Hex(body) !== hash)
    fail('damaged', `revision ${revision} of ${kind} ${id} was changed or damaged`, damagedRemedy);
  return {
    kind,
    id,
    revision,
    savedAtMs: Number(row.saved_at_ms),
    savedBy: String(row.saved_by),
    hash,
    body: jsonOf(body, `${kind} ${id}`),
  };
}

/** Saves the next revision, whole and on the disk when this returns; saving the same content again makes none. */
export function saveDocument(
  database: DatabaseSync,
  kind: string,
  id: string,
  body: unknown,
  saving: DocumentSaving,
  atMs: number,
): StoredDocument {
  const json = canonicalJson(body);
  const hash = sha256Hex(json);
  return transact(database, () => {
    const last = findDocument(database, kind, id, null);
    if (last?.hash === hash) return last;
    const revision = (last?.revision ?? 0) + 1;
    if (saving.from !== undefined && saving.from !== revision - 1) {
      fail(
        'conflict',
        `${kind} ${id} has been saved as revision ${revision - 1} since revision ${saving.from}`,
        'Read it again, and save your change on top of it',
      );
    }
    database
      .prepare(
        'INSERT INTO documents (kind, id, revision, saved_at_ms, saved_by, hash, body) VALUES (?, ?, ?, ?, ?, ?, ?)',
      )
      .run(kind, id, revision, atMs, saving.by, hash, json);
    return { kind, id, revision, savedAtMs: atMs, savedBy: saving.by, hash, body };
  });
}

/** A revision of a document, the latest for null; null where there is none. */
export function findDocument(
  database: DatabaseSync,
  kind: string,
  id: string,
  revision: number | null,
): StoredDocument | null {
  const row = database
    .prepare(
      'SELECT * FROM documents WHERE kind = ? AND id = ? AND revision = coalesce(?, revision) ORDER BY revision DESC LIMIT 1',
    )
    .get(kind, id, revision);
  return row === undefined ? null : documentOf(row);
}

/** The latest revision of every document of a kind, by id. */
export function listDocuments(database: DatabaseSync, kind: string): readonly StoredDocument[] {
  return database
    .prepare('SELECT *, max(revision) FROM documents WHERE kind = ? GROUP BY id ORDER BY id')
    .all(kind)
    .map(documentOf);
}

/** Every revision of one document, the first first. */
export function listRevisions(database: DatabaseSync, kind: string, id: string): readonly StoredDocument[] {
  return database
    .prepare('SELECT * FROM documents WHERE kind = ? AND id = ? ORDER BY revision')
    .all(kind, id)
    .map(documentOf);
}
