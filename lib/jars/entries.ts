import { z } from 'zod';
import type { Event } from '../engine/types';
import { type Checked, type Problem, parseDocument, problem } from '../problems';
import {
  checkSheet,
  type Jar,
  jarSchema,
  readingSchema,
  type Sheet,
  sheetSchema,
  tastingSchema,
  verdicts,
} from './sheet';

const signed = {
  at: z.string().min(1).max(40).describe('When, as the host writes it'),
  by: z.string().min(1).max(80).describe('Who'),
};
const jar = jarSchema.shape.number;
const { volumeL, strengthVolPercent, sampleTempC, note } = jarSchema.shape;
/** Whole members of the header; checked with the sheet they change, so that members not named keep what they have. */
const headerChange = z
  .record(z.string(), z.unknown())
  .refine((change) => !('jars' in change || 'sheet' in change), 'changes jars or version, which are no header');

/**
 * What can be written on a jar sheet, one thing at a time. Entries are only ever added: what was written before can be read again, and a sheet is the
 * fold of its entries.
 */
export const entrySchema = z.discriminatedUnion('kind', [
  z
    .strictObject({ kind: z.literal('begin'), ...signed, sheet: sheetSchema })
    .describe('A new sheet, empty or imported'),
  z.strictObject({ kind: z.literal('header'), ...signed, change: headerChange }).describe('Another header'),
  z
    .strictObject({ kind: z.literal('changeover'), ...signed, into: jar, reading: readingSchema, volumeL: volumeL })
    .describe('The next jar begins; the volume is that of the one before'),
  z
    .strictObject({ kind: z.literal('close'), ...signed, jar, reading: readingSchema, volumeL: volumeL })
    .describe('The last jar is full'),
  z
    .strictObject({ kind: z.literal('reopen'), ...signed, jar })
    .describe('The last changeover was a mistake: back to this jar'),
  z
    .strictObject({ kind: z.literal('read'), ...signed, jar, which: z.enum(['start', 'end']), reading: readingSchema })
    .describe('Readings entered or corrected later; fields not named stay'),
  z
    .strictObject({
      kind: z.literal('measure'),
      ...signed,
      jar,
      volumeL,
      strengthVolPercent,
      sampleTempC,
      note,
    })
    .describe('Measured later; fields not named stay'),
  z
    .strictObject({ kind: z.literal('taste'), ...signed, jar, tasting: tastingSchema })
    .describe("A taster's notes; the same taster's earlier ones are replaced"),
  z
    .strictObject({ kind: z.literal('decide'), ...signed, jar, verdict: z.enum(verdicts).nullable() })
    .describe('The decision on a jar; null gives it back to the tasters'),
]);
export type SheetEntry = z.output<typeof entrySchema>;
export type SheetEntryDocument = z.input<typeof entrySchema>;

type Applied = Checked<Sheet>;

function bad(path: string, value: unknown, message: string, remedy: string): Applied {
  return { kind: 'bad', problems: [problem(path, value, message, remedy)] };
}

/** Leaves out what is undefined, so that fields not named stay as they are. */
function named<T extends object>(fields: T): Partial<T> {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as Partial<T>;
}

function withJar(sheet: Sheet, number: number, change: (jar: Jar) => Jar): Applied {
  const found = sheet.jars[number - 1];
  if (found === undefined) {
    return bad(
      'jar',
      number,
      'is no jar of this sheet',
      sheet.jars.length === 0 ? 'Begin jar 1 first' : `Use 1 to ${sheet.jars.length}`,
    );
  }
  return checkSheet({ ...sheet, jars: sheet.jars.map((one) => (one.number === number ? change(one) : one)) });
}

function changeover(sheet: Sheet, entry: Extract<SheetEntry, { kind: 'changeover' }>): Applied {
  const open = sheet.jars[sheet.jars.length - 1];
  if (entry.into !== sheet.jars.length + 1) {
    return bad(
      'into',
      entry.into,
      `does not follow jar ${sheet.jars.length}`,
      `The next jar is ${sheet.jars.length + 1}`,
    );
  }
  const closed = sheet.jars.map((one) =>
    one === open
      ? { ...one, end: { ...entry.reading, ...one.end }, ...named({ volumeL: one.volumeL ?? entry.volumeL }) }
      : one,
  );
  const next = { number: entry.into, ...(open === undefined ? { start: entry.reading } : {}) };
  return checkSheet({ ...sheet, jars: [...closed, next] });
}

function reopen(sheet: Sheet, number: number): Applied {
  const last = sheet.jars[sheet.jars.length - 1];
  if (last === undefined || (last.number !== number && last.number !== number + 1)) {
    return bad(
      'jar',
      number,
      'is not the last jar nor the one before it',
      'Only the last changeover can be taken back',
    );
  }
  const drops = last.number === number + 1;
  const used =
    last.tastings.length > 0 ||
    last.volumeL !== undefined ||
    last.strengthVolPercent !== undefined ||
    last.end !== undefined;
  if (drops && used) {
    return bad(
      'jar',
      number,
      `cannot be reopened: jar ${last.number} has entries of its own`,
      'Correct the readings instead',
    );
  }
  const kept = drops ? sheet.jars.slice(0, -1) : sheet.jars;
  const jars = kept.map(({ end, volumeL: filledL, ...one }) =>
    one.number === number ? one : { ...one, ...named({ end, volumeL: filledL }) },
  );
  return checkSheet({ ...sheet, jars });
}

/**
 * Writes one entry on a sheet.
 *
 * @param sheet the sheet so far; null before it is begun
 * @param entry the entry
 * @returns the sheet with the entry, or why it cannot be written
 */
export function applyEntry(sheet: Sheet | null, entry: SheetEntry): Applied {
  if (entry.kind === 'begin') {
    return sheet === null
      ? checkSheet(entry.sheet)
      : bad('kind', 'begin', 'stands on a sheet that is begun already', 'Begin another sheet');
  }
  if (sheet === null) return bad('kind', entry.kind, 'has no sheet to be written on', 'Begin the sheet first');
  switch (entry.kind) {
    case 'header':
      return checkSheet({ ...sheet, ...entry.change });
    case 'changeover':
      return changeover(sheet, entry);
    case 'close':
      return withJar(sheet, entry.jar, (one) => ({
        ...one,
        end: { ...one.end, ...entry.reading },
        ...named({ volumeL: entry.volumeL }),
      }));
    case 'reopen':
      return reopen(sheet, entry.jar);
    case 'read':
      return withJar(sheet, entry.jar, (one) => ({
        ...one,
        [entry.which]: { ...one[entry.which], ...named(entry.reading) },
      }));
    case 'measure': {
      const { volumeL: filledL, strengthVolPercent: readPercent, sampleTempC: tempC, note: text } = entry;
      const measured = named({ volumeL: filledL, strengthVolPercent: readPercent, sampleTempC: tempC, note: text });
      return withJar(sheet, entry.jar, (one) => ({ ...one, ...measured }));
    }
    case 'taste':
      return withJar(sheet, entry.jar, (one) => ({
        ...one,
        tastings: [...one.tastings.filter((other) => other.taster !== entry.tasting.taster), entry.tasting],
      }));
    case 'decide':
      return withJar(sheet, entry.jar, ({ verdict: _, ...one }) =>
        entry.verdict === null ? one : { ...one, verdict: entry.verdict },
      );
  }
}

/** A sheet with its entries. */
export interface SheetHistory {
  readonly entries: readonly SheetEntry[];
  readonly sheet: Sheet;
  /** Number of entries: grows by one with each. */
  readonly revision: number;
}

/**
 * Adds an entry to a history; the history before stays as it was.
 *
 * @param history null for a new sheet, whose first entry is `begin`
 * @param document the entry as a person or program sends it
 */
export function appendEntry(history: SheetHistory | null, document: unknown): Checked<SheetHistory> {
  const parsed = parseDocument(entrySchema, document);
  if (parsed.kind === 'bad') return parsed;
  const applied = applyEntry(history?.sheet ?? null, parsed.value);
  if (applied.kind === 'bad') return applied;
  const entries = [...(history?.entries ?? []), parsed.value];
  return { kind: 'ok', value: { entries, sheet: applied.value, revision: entries.length }, warnings: applied.warnings };
}

/**
 * Reads a history from its entries, as the store keeps them.
 *
 * @param documents entries in the order written
 * @param revision only so many of them: the sheet as it was; all unless given
 * @returns the history, or the problems of the first entry that does not fit, under `entries.<n>`
 */
export function foldEntries(documents: readonly unknown[], revision: number = documents.length): Checked<SheetHistory> {
  let history: SheetHistory | null = null;
  for (const [index, document] of documents.slice(0, revision).entries()) {
    const next: Checked<SheetHistory> = appendEntry(history, document);
    if (next.kind === 'bad') {
      const problems = next.problems.map(
        (one): Problem => ({ ...one, path: `entries.${index}${one.path === '' ? '' : `.${one.path}`}` }),
      );
      return { kind: 'bad', problems };
    }
    history = next.value;
  }
  if (history === null) return { kind: 'bad', problems: [problem('entries', 0, 'there are none', 'Begin the sheet')] };
  return { kind: 'ok', value: history, warnings: [] };
}

/**
 * The entry for a changeover the engine has taken: the order next-jar was obeyed.
 *
 * @param event an event of kind `jar`
 * @param startedAtS engine time of the run's start [s]
 * @param signature when and who, for the record
 * @param boilerTempC boiler temperature at that moment [°C]; null where there is no probe
 */
export function entryOfEvent(
  event: Extract<Event, { kind: 'jar' }>,
  startedAtS: number,
  signature: { readonly at: string; readonly by: string },
  boilerTempC: number | null,
): SheetEntryDocument {
  const { vapourTempC, airPressureHPa } = event.figures;
  return {
    kind: 'changeover',
    ...signature,
    into: event.number,
    reading: {
      ...(vapourTempC === null ? {} : { vapourTempC }),
      ...(boilerTempC === null ? {} : { boilerTempC }),
      ...(airPressureHPa === null ? {} : { airPressureHPa }),
      timeS: Math.max(0, event.atS - startedAtS),
    },
    ...(event.volumeL === null || event.volumeL <= 0 ? {} : { volumeL: event.volumeL }),
  };
}
