import {
  adviseNextRun,
  appendEntry,
  cautionsOf,
  consensus,
  type Derivation,
  type DeriveOptions,
  deriveRecipe,
  entryOfEvent,
  foldEntries,
  readCsv,
  type SheetDocument,
  type SheetEntryDocument,
  type SheetHistory,
  sayJars,
  writeCsv,
} from '../../lib/jars';
import { type Checked, type Problem, problem, showProblem } from '../../lib/problems';
import { type Saying, sayReason } from '../../lib/words';
import type { EntryLog } from './entry-log';
import { isPlainObject, lastLevel, type Message } from './message-value';

export interface JarDeskSetup {
  /** The header of a sheet begun by the first jar. */
  readonly header: Omit<SheetDocument, 'jars' | 'sheet'>;
  readonly derive: DeriveOptions;
  readonly log: EntryLog;
  readonly saying: Saying;
  readonly isoNow: () => string;
}

/** What a message came to. */
export type JarOutcome =
  | { readonly kind: 'sheet'; readonly history: SheetHistory }
  | { readonly kind: 'recipe'; readonly derivation: Derivation; readonly warnings: readonly Problem[] }
  | { readonly kind: 'forgotten' }
  /** Nothing to do with jars: other events of a run. */
  | { readonly kind: 'passed' }
  | { readonly kind: 'bad'; readonly why: string };

/** The jar sheet of one development run: jar events and entries in, sheet and recipe out. */
export interface JarDesk {
  readonly history: SheetHistory | null;
  /** What was wrong with the file, where something was. */
  readonly damage: string | null;
  take(message: Message): JarOutcome;
}

type Event = Readonly<Record<string, unknown>>;

function figuresOf(event: Event): { vapourTempC: number | null; airPressureHPa: number | null } {
  const figures = isPlainObject(event.figures) ? event.figures : {};
  const number = (value: unknown) => (typeof value === 'number' ? value : null);
  return { vapourTempC: number(figures.vapourTempC), airPressureHPa: number(figures.airPressureHPa) };
}

/** A jar event of a run as an entry; the engine's own form is put together again. */
function changeoverOf(event: Event, signature: { at: string; by: string }): SheetEntryDocument {
  const figures = figuresOf(event);
  const boilerTempC = typeof event.boilerTempC === 'number' ? event.boilerTempC : null;
  return entryOfEvent(
    {
      kind: 'jar',
      atS: typeof event.runTimeS === 'number' ? event.runTimeS : 0,
      number: Number(event.number),
      figures: { ...figures, thresholdHereC: null, thresholdAtReferenceC: null },
      volumeL: typeof event.volumeL === 'number' ? event.volumeL : null,
      reason: { code: 'order.next-jar', numbers: {} },
    },
    0,
    signature,
    boilerTempC,
  );
}

/** The end of the run closes the jar that was filling. */
function closingOf(event: Event, jar: number, signature: { at: string; by: string }): SheetEntryDocument {
  const { vapourTempC, airPressureHPa } = figuresOf(event);
  return {
    kind: 'close',
    ...signature,
    jar,
    reading: {
      ...(vapourTempC === null ? {} : { vapourTempC }),
      ...(airPressureHPa === null ? {} : { airPressureHPa }),
      ...(typeof event.runTimeS === 'number' ? { timeS: event.runTimeS } : {}),
    },
  };
}

const remedy = 'Send a jar event, an entry like { "kind": "taste", "jar": 3, … }, or topic sheet, csv or derive';

export function createJarDesk(setup: JarDeskSetup): JarDesk {
  const { log } = setup;
  const say = (code: string) => sayReason({ code, numbers: {} }, setup.saying);
  const kept = log.read();
  const folded = kept.length === 0 ? null : foldEntries(kept);
  let history = folded?.kind === 'ok' ? folded.value : null;
  const damage = folded?.kind === 'bad' ? folded.problems.map(showProblem).join(' ') : null;
  if (damage !== null) log.putAside(setup.isoNow().replace(/[:.]/g, '-'));

  function write(entry: unknown): JarOutcome {
    const next: Checked<SheetHistory> = appendEntry(history, entry);
    if (next.kind === 'bad') return { kind: 'bad', why: next.problems.map(showProblem).join(' ') };
    log.add(entry);
    history = next.value;
    return { kind: 'sheet', history };
  }

  function begin(sheet: unknown, by: string): JarOutcome {
    if (history !== null) return { kind: 'bad', why: say('node.sheet-begun') };
    return write({ kind: 'begin', at: setup.isoNow(), by, sheet });
  }

  function beginByItself(by: string): JarOutcome | null {
    if (history !== null) return null;
    const outcome = begin({ sheet: 1, ...setup.header, startedAt: setup.isoNow(), jars: [] }, by);
    return outcome.kind === 'bad' ? outcome : null;
  }

  function takeEvent(event: Event, by: string): JarOutcome {
    const signature = { at: setup.isoNow(), by };
    if (event.kind === 'jar') return beginByItself(by) ?? write(changeoverOf(event, signature));
    const open = history?.sheet.jars.at(-1);
    if (event.kind === 'phase' && event.to === 'finish' && open !== undefined && open.end === undefined)
      return write(closingOf(event, open.number, signature));
    return { kind: 'passed' };
  }

  function derive(wanted: unknown): JarOutcome {
    if (history === null) return { kind: 'bad', why: say('node.no-sheet') };
    const options = isPlainObject(wanted) ? { ...setup.derive, ...(wanted as DeriveOptions) } : setup.derive;
    const derived = deriveRecipe(history.sheet, options);
    if (derived.kind === 'bad') return { kind: 'bad', why: derived.problems.map(showProblem).join(' ') };
    return { kind: 'recipe', derivation: derived.value, warnings: derived.warnings };
  }

  function takeCsv(payload: unknown, by: string): JarOutcome {
    const text = payload instanceof Uint8Array ? Buffer.from(payload).toString('utf8') : String(payload ?? '');
    const read = readCsv(text, setup.header);
    if (read.kind === 'bad') return { kind: 'bad', why: read.problems.map(showProblem).join(' ') };
    return begin(read.value, by);
  }

  return {
    get history() {
      return history;
    },
    damage,
    take(message) {
      const topic = typeof message.topic === 'string' ? lastLevel(message.topic) : '';
      const by = typeof message.by === 'string' && message.by !== '' ? message.by : 'Node-RED';
      if (message.reset !== undefined && message.reset !== false) {
        log.putAside(setup.isoNow().replace(/[:.]/g, '-'));
        history = null;
        return { kind: 'forgotten' };
      }
      if (topic === 'derive') return derive(message.payload);
      if (topic === 'csv') return takeCsv(message.payload, by);
      if (topic === 'sheet') return begin(message.payload, by);
      const payload = message.payload;
      if (!isPlainObject(payload) || typeof payload.kind !== 'string')
        return { kind: 'bad', why: showProblem(problem('payload', payload, 'is nothing for a jar sheet', remedy)) };
      const isEvent = 'reason' in payload;
      if (isEvent) return takeEvent(payload, by);
      return beginByItself(by) ?? write({ at: setup.isoNow(), by, ...payload });
    },
  };
}

/** A sheet as the first output carries it. */
export function sheetMessage(history: SheetHistory) {
  return {
    topic: 'sheet',
    payload: history.sheet,
    revision: history.revision,
    consensus: consensus(history.sheet),
    csv: writeCsv(history.sheet),
  };
}

/** A recipe as the second output carries it: a run node takes it as it is. */
export function recipeMessage(derivation: Derivation, warnings: readonly Problem[], saying: Saying) {
  return {
    topic: 'recipe',
    payload: derivation.document,
    warnings: warnings.map(showProblem),
    advice: adviseNextRun(derivation).map((one) => sayJars(one, saying)),
    cautions: cautionsOf(derivation).map((one) => sayJars(one, saying)),
    cuts: derivation.variants.map((one) => ({
      variant: one.variant,
      firstJar: one.selection.firstJar,
      lastJar: one.selection.lastJar,
      headsC: one.cuts.heads.vapourAtReferenceC,
      headsSharePercent: one.cuts.heads.sharePercent,
      tailsC: one.cuts.tails.vapourAtReferenceC,
      tailsSharePercent: one.cuts.tails.sharePercent,
    })),
  };
}
