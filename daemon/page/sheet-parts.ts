import { z } from 'zod';
import { jarSchema, readingSchema, tastingSchema } from '../../lib/jars/sheet';
import { parseDocument } from '../../lib/problems';
import type { Journal, StoredDocument } from '../store';
import type { Saved } from './record-views';
import { answerOf, refusalOf } from './runs';
import type { Answer, Saving, SheetPart } from './source';

/**
 * A sheet is kept as many small documents: what it is about, one a jar, one a jar and taster. Each has revisions of its
 * own, so that two tasters never write over each other, and typing costs little.
 */
export const sheetKind = 'jar-sheet';
export const partsKind = (sheet: string): string => `jar-sheet/${sheet}`;

const text = (longest: number) => z.string().max(longest);

export const aboutSchema = z.strictObject({
  name: z.string().min(1).max(80),
  run: text(80).optional(),
  startedAt: text(40).optional(),
  stillId: text(60).optional(),
  stillName: z.string().min(1).max(80),
  stillKind: z.enum(['pot', 'column']).default('pot'),
  holdUpL: z.number().min(0).max(1000).default(0),
  referenceHPa: z.number().min(500).max(1100).default(1013.25),
  altitudeM: z.number().min(-400).max(5500).optional(),
  resolutionK: z.number().positive().max(5).optional(),
  accuracyK: z.number().positive().max(10).optional(),
  chargeL: z.number().positive().max(100_000).optional(),
  chargeVolPercent: z.number().positive().max(96).optional(),
  chargeWhat: text(80).optional(),
  heaterW: z.number().positive().max(1e7).optional(),
  strengthReading: z.enum(['as-read', 'true']).optional(),
  foreshotsJars: z.number().int().min(0).max(20).optional(),
});

/** What the distiller writes of a jar; the changeover readings only where no run has taken them. */
export const measuredSchema = jarSchema
  .pick({ volumeL: true, strengthVolPercent: true, sampleTempC: true, note: true, verdict: true })
  .extend({ ...readingSchema.shape, start: readingSchema.optional() });

export const tastedSchema = tastingSchema
  .omit({ hiddenNumber: true, descriptors: true })
  .extend({ descriptors: tastingSchema.shape.descriptors.removeDefault().optional() });

const schemas = { about: aboutSchema, jar: measuredSchema, tasting: tastedSchema } as const;

/** The name of a taster as a key: however it is typed, it is the same person. */
const keyOf = (taster: string): string => taster.trim().replace(/\s+/g, ' ').toLowerCase();

function placeOf(sheet: string, part: SheetPart): readonly [kind: string, id: string] {
  switch (part.kind) {
    case 'about':
      return [sheetKind, sheet];
    case 'jar':
      return [partsKind(sheet), `jar/${part.jar}`];
    case 'tasting':
      return [partsKind(sheet), `tasting/${part.jar}/${keyOf(part.taster)}`];
  }
}

export const nothingSaved: Saved<Record<string, never>> = { revision: 0, savedAt: null, content: {} };

export function savedOf<T>(document: StoredDocument | null): Saved<T> | null {
  if (document === null) return null;
  const { revision, savedAtMs, body } = document;
  return { revision, savedAt: new Date(savedAtMs).toISOString(), content: body as T };
}

type Content = Readonly<Record<string, unknown>>;

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);

/** Fields that somebody else changed since the writer looked, and the writer changes too, to something else. */
function clashes(saving: Saving, seen: Content, now: Content): string[] {
  return Object.keys(saving.change).filter((field) => {
    const wanted = saving.change[field] ?? undefined;
    return !same(seen[field], now[field]) && !same(wanted, now[field]);
  });
}

function changed(now: Content, change: Saving['change']): Content {
  const merged = Object.entries({ ...now, ...change }).filter(([, value]) => value !== null && value !== '');
  return Object.fromEntries(merged);
}

/**
 * Saves some fields of a part on top of its latest revision. Fields nobody else touched since `from` are merged; where two
 * people wrote the same field, nothing is written and both texts are given back.
 *
 * @param start what the part holds before its first revision
 */
export function savePart(
  journal: Journal,
  sheet: string,
  part: SheetPart,
  saving: Saving,
  start: Content = {},
): Answer<Saved<unknown>> {
  const [kind, id] = placeOf(sheet, part);
  const latest = journal.document(kind, id);
  if (latest.kind === 'failed') return refusalOf(latest.failure);
  const base = part.kind === 'tasting' ? { ...start, taster: part.taster.trim().replace(/\s+/g, ' ') } : start;
  const now = (latest.value?.body as Content | undefined) ?? base;
  const revision = latest.value?.revision ?? 0;
  if (saving.from < revision) {
    const then = saving.from === 0 ? null : journal.document(kind, id, saving.from);
    const seen = then?.kind === 'ok' ? ((then.value?.body as Content | undefined) ?? base) : base;
    const fields = clashes(saving, seen, now);
    const current = savedOf(latest.value) ?? nothingSaved;
    if (fields.length > 0) return { kind: 'conflict', fields, now: current };
  }
  const parsed = parseDocument(schemas[part.kind], changed(now, saving.change));
  if (parsed.kind === 'bad') return { kind: 'bad', problems: parsed.problems };
  const saved = journal.saveDocument(kind, id, parsed.value, { by: saving.by, from: revision });
  return answerOf(saved, (document) => savedOf(document) ?? nothingSaved);
}
