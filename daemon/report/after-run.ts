import { z } from 'zod';
import { type Checked, parseDocument } from '../../lib/problems';
import { fractions } from '../../lib/recipe/schema';
import type { Journal, Stored, StoreFailure } from '../store';

/** What can be measured by hand once a run is over. */
export const measurables = ['charge', ...fractions, 'residue'] as const;
export type Measurable = (typeof measurables)[number];

const who = { by: z.string().min(1).max(200), atMs: z.number() };
const volumeL = z.number().min(0).max(1e6);
const strengthAbv = z.number().min(0).max(1);
const tempC = z.number().min(-20).max(40);

const measuredSchema = z.strictObject({
  volumeL: volumeL.optional(),
  strengthAbv: strengthAbv.optional().describe('True strength at 20 °C'),
  tempC: tempC.default(20).describe('Of the liquid when its volume was measured'),
  volumeUncertaintyL: volumeL.optional().describe('Standard uncertainty'),
  strengthUncertaintyAbv: strengthAbv.optional().describe('Standard uncertainty'),
  ...who,
});
export type Measured = z.output<typeof measuredSchema>;

const keptSchema = z.strictObject({
  fractions: z.array(z.enum(fractions)).min(1),
  volumeL,
  strengthAbv,
  where: z.string().max(400).optional().describe('The vessel it stands in'),
  usedIn: z.string().max(200).optional().describe('The run it was charged to'),
  ...who,
});
export type KeptFeints = z.output<typeof keptSchema>;

const noteSchema = z.strictObject({ text: z.string().min(1).max(4000), ...who });

const afterRunSchema = z.strictObject({
  afterRun: z.literal(1),
  measured: z.partialRecord(z.enum(measurables), measuredSchema).default({}),
  feints: z.array(keptSchema).default([]),
  notes: z.array(noteSchema).default([]),
});

/** What was entered beside a run after it: nothing of the run itself is changed by it. */
export type AfterRun = z.output<typeof afterRunSchema>;

export interface SavedAfterRun {
  /** 0 where nothing was entered yet. */
  readonly revision: number;
  readonly content: AfterRun;
}

export const nothingAfter: SavedAfterRun = {
  revision: 0,
  content: { afterRun: 1, measured: {}, feints: [], notes: [] },
};

const documentKind = 'after-run';

function damaged(runId: string): StoreFailure {
  return {
    kind: 'damaged',
    message: `what was entered after run ${runId} cannot be read`,
    remedy: 'Earlier revisions of it are still in the journal',
  };
}

export function checkAfterRun(document: unknown): Checked<AfterRun> {
  return parseDocument(afterRunSchema, document);
}

/** What was entered after a run; nothing where nothing was. */
export function readAfterRun(journal: Pick<Journal, 'document'>, runId: string): Stored<SavedAfterRun> {
  const found = journal.document(documentKind, runId);
  if (found.kind === 'failed') return found;
  if (found.value === null) return { kind: 'ok', value: nothingAfter };
  const checked = checkAfterRun(found.value.body);
  if (checked.kind === 'bad') return { kind: 'failed', failure: damaged(runId) };
  return { kind: 'ok', value: { revision: found.value.revision, content: checked.value } };
}

/** All that was entered after any run, by run; what cannot be read is left out. */
export function readAllAfterRuns(journal: Pick<Journal, 'documents'>): Stored<ReadonlyMap<string, AfterRun>> {
  const found = journal.documents(documentKind);
  if (found.kind === 'failed') return found;
  const all = new Map<string, AfterRun>();
  for (const { id, body } of found.value) {
    const checked = checkAfterRun(body);
    if (checked.kind === 'ok') all.set(id, checked.value);
  }
  return { kind: 'ok', value: all };
}

/**
 * Saves what was entered as the next revision; earlier ones stay. Somebody else's entry in between is a conflict, not an
 * overwriting.
 */
export function saveAfterRun(
  journal: Pick<Journal, 'saveDocument'>,
  runId: string,
  before: SavedAfterRun,
  content: AfterRun,
  by: string,
): Stored<SavedAfterRun> {
  const saved = journal.saveDocument(documentKind, runId, content, { by, from: before.revision });
  return saved.kind === 'failed' ? saved : { kind: 'ok', value: { revision: saved.value.revision, content } };
}
