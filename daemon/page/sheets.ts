import { type PouringOrder, pourGlasses } from '../../lib/jars/blind';
import { type Problem, parseDocument, problem } from '../../lib/problems';
import type { Journal, RunDetail, StoredDocument } from '../store';
import type { PouringView, Saved, SheetAbout, SheetLine, SheetView } from './record-views';
import { answerOf, guarded, refusalOf } from './runs';
import { type FilledJar, jarsOfRun } from './sheet-jars';
import { aboutSchema, partsKind, savedOf, savePart, sheetKind } from './sheet-parts';
import { sheetView } from './sheet-view';
import type { Answer, Change, Saving, SheetPart } from './source';
import { percentOf } from './still-view';

/** Jar sheets in the journal: what the runs filled, and what people measured and tasted of it. */
export interface Sheets {
  list(): Answer<readonly SheetLine[]>;
  show(id: string): Answer<SheetView>;
  /** A sheet for a run made by hand; the answer is its name. */
  create(about: Change, by: string): Answer<string>;
  save(id: string, part: SheetPart, saving: Saving): Answer<Saved<unknown>>;
  pour(id: string, order: PouringOrder, hidden: boolean, by: string): Answer<PouringView>;
  /** The first jar of a run makes its sheet. */
  begin(runId: string): void;
}

/** A sheet before its parts are put in. */
export interface FoundSheet {
  readonly about: Saved<SheetAbout>;
  /** null where the jars are typed in and not filled by a run. */
  readonly filled: readonly FilledJar[] | null;
  readonly open: boolean;
}

const mostTasters = 24;
const runsRemembered = 32;

/** @param seedOf a number that nobody can foresee: for the order of glasses and for names */
export function createSheets(journal: Journal, seedOf: () => number): Sheets {
  const known = new Map<string, { readonly decisions: number; readonly jars: readonly FilledJar[] }>();

  /** Jars of a run; its decisions are read again only when there are new ones. */
  const filledBy = (runId: string, decisions: number, referenceHPa: number): readonly FilledJar[] => {
    const before = known.get(runId);
    if (before?.decisions === decisions) return before.jars;
    const jars = jarsOfRun(journal.readDecisions(runId), referenceHPa);
    known.delete(runId);
    known.set(runId, { decisions, jars });
    for (const oldest of known.keys()) if (known.size > runsRemembered) known.delete(oldest);
    return jars;
  };

  const find = (id: string): Answer<FoundSheet> => {
    const document = journal.document(sheetKind, id);
    if (document.kind === 'failed') return refusalOf(document.failure);
    const written = savedOf<SheetAbout>(document.value);
    if (written !== null && written.content.run === undefined) {
      return { kind: 'ok', value: { about: written, filled: null, open: false } };
    }
    return answerOf(journal.run(written?.content.run ?? id), (run) => {
      const about = written ?? { revision: 0, savedAt: null, content: aboutOfRun(run) };
      const filled = filledBy(run.runId, run.decisions, about.content.referenceHPa);
      return { about, filled, open: run.outcome === null };
    });
  };

  const show = (id: string): Answer<SheetView> =>
    guarded(() => {
      const found = find(id);
      if (found.kind !== 'ok') return found;
      return answerOf(journal.documents(partsKind(id)), (parts) => sheetView(id, found.value, parts));
    });

  return {
    list: () =>
      answerOf(journal.documents(sheetKind), (all) => all.map((one) => lineOf(one, journal)).sort(latestFirst)),
    show,
    create(about, by) {
      const parsed = parseDocument(aboutSchema, about);
      if (parsed.kind === 'bad') return parsed;
      const id = `hand-${Math.abs(seedOf()).toString(36)}`;
      return answerOf(journal.saveDocument(sheetKind, id, parsed.value, { by, from: 0 }), () => id);
    },
    save(id, part, saving) {
      const shown = show(id);
      if (shown.kind !== 'ok') return shown;
      const problems = misplaced(part, shown.value);
      if (problems.length > 0) return { kind: 'bad', problems };
      return savePart(journal, id, part, saving, part.kind === 'about' ? { ...shown.value.about.content } : {});
    },
    pour(id, order, hidden, by) {
      const shown = show(id);
      if (shown.kind !== 'ok') return shown;
      const jars = shown.value.jars.map((jar) => jar.number);
      const body: PouringView = { order, hidden, glasses: pourGlasses(jars, order, seedOf(), hidden) };
      return answerOf(journal.saveDocument(partsKind(id), 'pouring', body, { by }), () => body);
    },
    begin(runId) {
      const run = journal.run(runId);
      const there = journal.document(sheetKind, runId);
      if (run.kind === 'failed' || there.kind === 'failed' || there.value !== null) return;
      journal.saveDocument(sheetKind, runId, aboutOfRun(run.value), { by: 'middlecut', from: 0 });
    },
  };
}

function latestFirst(a: SheetLine, b: SheetLine): number {
  return Number(b.open) - Number(a.open) || (b.savedAt ?? '').localeCompare(a.savedAt ?? '');
}

function lineOf(document: StoredDocument, journal: Journal): SheetLine {
  const { name, stillName, run } = document.body as SheetAbout;
  const found = run === undefined ? null : journal.run(run);
  const open = found?.kind === 'ok' && found.value.outcome === null;
  return { id: document.id, name, stillName, savedAt: new Date(document.savedAtMs).toISOString(), open };
}

/** What a run says of its sheet before anybody has written on it. */
function aboutOfRun({ runId, plant, startedAtMs }: RunDetail): SheetAbout {
  const { still, recipe, charge } = plant;
  const probe = Object.values(still.points).find((point) => point.kind === 'vapour-temp');
  const startedAt = new Date(startedAtMs).toISOString();
  const heats = Object.values(still.drives).flatMap((drive) => (drive.kind === 'heat' ? [drive.ratedW] : []));
  return {
    name: `${(recipe?.name ?? still.name).slice(0, 60)}, ${startedAt.slice(0, 10)}`,
    run: runId,
    startedAt,
    stillId: still.id,
    stillName: still.name,
    stillKind: still.kind,
    holdUpL: still.spout.holdUpL,
    referenceHPa: recipe?.referencePressureHPa ?? 1013.25,
    ...(still.altitudeM === undefined ? {} : { altitudeM: still.altitudeM }),
    ...(probe?.resolution === undefined ? {} : { resolutionK: probe.resolution }),
    ...(probe?.accuracy === undefined ? {} : { accuracyK: probe.accuracy }),
    ...(charge === null ? {} : { chargeL: charge.volumeL, chargeVolPercent: percentOf(charge.strengthAbv) }),
    ...(recipe?.developedFrom?.charge === undefined ? {} : { chargeWhat: recipe.developedFrom.charge }),
    ...(heats.length === 0 ? {} : { heaterW: heats.reduce((sum, ratedW) => sum + ratedW, 0) }),
  };
}

/** A jar that is not there, a taster too many, or a reading where the run has taken it. */
function misplaced(part: SheetPart, sheet: SheetView): readonly Problem[] {
  if (part.kind === 'about') return [];
  const most = sheet.jars.length + (sheet.byHand && part.kind === 'jar' ? 1 : 0);
  if (part.jar < 1 || part.jar > most) {
    return [problem('jar', part.jar, 'is no jar of this sheet', most === 0 ? 'Fill one first' : `Use 1 to ${most}`)];
  }
  if (part.kind === 'jar') return [];
  const tastings = sheet.jars[part.jar - 1]?.tastings ?? [];
  const isKnown = tastings.some(({ content }) => content.taster.toLowerCase() === part.taster.trim().toLowerCase());
  return isKnown || tastings.length < mostTasters
    ? []
    : [problem('taster', part.taster, 'is one too many', `A jar has ${mostTasters} tasters at the most`)];
}
