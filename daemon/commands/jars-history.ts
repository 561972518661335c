import { type Checked, problem } from '../../lib/problems';
import { partsKind, sheetKind } from '../page/sheet-parts';
import type { Journal, Stored, StoredDocument } from '../store';
import { fail, flagOf, type Io, misunderstood, readOptions } from './command';
import { checkedOf, sheetsIn, withRecord } from './jars-sheet';
import { table } from './table';

/** The sheets of a record. */
export function list(args: readonly string[], io: Io): number {
  const read = readOptions(args, { data: { type: 'string' } });
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const json = flagOf(read.options, 'json');
  const found = withRecord(read.options, true, (journal) => checkedOf('sheets', 'list', sheetsIn(journal).list()));
  if (found.kind === 'bad') return fail(io, found.problems, json);
  if (json) io.out(`${JSON.stringify({ sheets: found.value }, null, 2)}\n`);
  else if (found.value.length === 0) io.out('There are no jar sheets in this record.\n');
  else {
    const rows = found.value.map(({ id, name, stillName, savedAt, open }) => [
      id,
      name,
      stillName,
      savedAt ?? '–',
      open ? 'filling' : '',
    ]);
    io.out(`${table(['sheet', 'name', 'still', 'begun or changed', ''], rows, [0, 1, 2, 3, 4])}\n`);
  }
  return 0;
}

/** One thing somebody wrote on a sheet. */
interface Entry {
  readonly at: string;
  readonly by: string;
  /** `sheet`, `jar 3`, `tasting of jar 3 by anna`, `pouring`. */
  readonly on: string;
  readonly revision: number;
  /** Fields that this revision set; null for one it took away. */
  readonly changed: Readonly<Record<string, unknown>>;
}

/** Everything ever written on a sheet, the oldest first. */
export function history(args: readonly string[], io: Io): number {
  const read = readOptions(args, { data: { type: 'string' } });
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const [id] = read.options.positionals;
  if (id === undefined) return misunderstood(io, 'jars', 'name the sheet; jars list shows them.');
  const json = flagOf(read.options, 'json');
  const found = withRecord(read.options, true, (journal) => entriesOf(journal, id));
  if (found.kind === 'bad') return fail(io, found.problems, json);
  if (json) io.out(`${JSON.stringify({ sheet: id, entries: found.value }, null, 2)}\n`);
  else {
    const rows = found.value.map(({ at, by, on, revision, changed }) => [at, by, on, String(revision), told(changed)]);
    io.out(`${table(['when', 'who', 'on', 'revision', 'wrote'], rows, [0, 1, 2, 4])}\n`);
  }
  return 0;
}

function told(changed: Entry['changed']): string {
  return Object.entries(changed)
    .map(([field, value]) => (value === null ? `${field} taken away` : `${field} ${plainOf(value)}`))
    .join('; ');
}

function plainOf(value: unknown): string {
  if (typeof value === 'string') return `"${value}"`;
  return JSON.stringify(value);
}

function entriesOf(journal: Journal, id: string): Checked<readonly Entry[]> {
  const parts = journal.documents(partsKind(id));
  const about = journal.revisions(sheetKind, id);
  const all: Stored<readonly StoredDocument[]>[] = [
    about,
    ...(parts.kind === 'ok' ? parts.value.map((part) => journal.revisions(partsKind(id), part.id)) : [parts]),
  ];
  const failed = all.find((one) => one.kind === 'failed');
  if (failed?.kind === 'failed') {
    return { kind: 'bad', problems: [problem('--data', undefined, failed.failure.message, failed.failure.remedy)] };
  }
  const entries = all.flatMap((one) => (one.kind === 'ok' ? changesOf(one.value) : []));
  if (entries.length === 0) {
    return {
      kind: 'bad',
      problems: [problem('sheet', id, 'is not in this record', 'jars list shows those there are')],
    };
  }
  entries.sort((a, b) => a.at.localeCompare(b.at));
  return { kind: 'ok', value: entries, warnings: [] };
}

/** What each revision of one part changed against the one before. */
function changesOf(revisions: readonly StoredDocument[]): Entry[] {
  return revisions.map((one, index) => {
    const now = one.body as Readonly<Record<string, unknown>>;
    const before = (revisions[index - 1]?.body ?? {}) as Readonly<Record<string, unknown>>;
    const fields = [...new Set([...Object.keys(before), ...Object.keys(now)])];
    const changed = fields
      .filter((field) => JSON.stringify(before[field]) !== JSON.stringify(now[field]))
      .map((field) => [field, now[field] ?? null]);
    return {
      at: new Date(one.savedAtMs).toISOString(),
      by: one.savedBy,
      on: placeOf(one),
      revision: one.revision,
      changed: Object.fromEntries(changed) as Entry['changed'],
    };
  });
}

function placeOf({ kind, id }: StoredDocument): string {
  if (kind === sheetKind) return 'sheet';
  const [what, jar, taster] = id.split('/');
  if (what === 'jar') return `jar ${jar}`;
  return what === 'tasting' ? `tasting of jar ${jar} by ${taster}` : id;
}
