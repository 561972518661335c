import { alcoholSharePercent } from '../../lib/cuts/alcohol-share';
import type { Plant } from '../../lib/engine/types';
import type { Saying } from '../../lib/words';
import type { RunSummary } from '../host/summary';
import {
  type Journal,
  type Kept,
  type RunDetail,
  type RunEntry,
  type Stored,
  StoreError,
  type StoreFailure,
} from '../store';
import { sayKept } from './decisions';
import type { RunLine, RunQuery, RunView } from './record-views';
import type { Answer } from './source';
import { isPotable, percentOf } from './still-view';
import type { DecisionView, FractionView } from './views';

const runsAtOnce = 50;
/** Decisions of a run shown at the most; the report has them all. */
const mostDecisions = 600;

/** What the store could not do, as an answer. */
export function refusalOf({ kind, message, remedy }: StoreFailure): Answer<never> {
  return kind === 'unknown-run' ? { kind: 'unknown', message } : { kind: 'failed', message, remedy };
}

export function answerOf<T, U>(stored: Stored<T>, make: (value: T) => U): Answer<U> {
  return stored.kind === 'ok' ? { kind: 'ok', value: make(stored.value) } : refusalOf(stored.failure);
}

/** What the store throws out of an iterator, as an answer. */
export function guarded<T>(work: () => Answer<T>): Answer<T> {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
    return refusalOf(error.failure);
  }
}

/** The summary a run ended with; null for one that has none or an older form of it. */
function summaryOf(summary: unknown): RunSummary | null {
  const one = summary as RunSummary | null;
  return one !== null && typeof one === 'object' && Array.isArray(one.fractions) ? one : null;
}

function lineOf(entry: RunEntry, nameOf: (still: string) => string, simulated: boolean): RunLine {
  const hearts = summaryOf(entry.summary)?.fractions.find((fraction) => fraction.fraction === 'hearts');
  return {
    id: entry.runId,
    still: entry.still,
    stillName: nameOf(entry.still),
    kind: entry.kind,
    recipe: entry.recipe,
    variant: entry.variant,
    startedAt: new Date(entry.startedAtMs).toISOString(),
    endedAt: entry.endedAtMs === null ? null : new Date(entry.endedAtMs).toISOString(),
    outcome: entry.outcome,
    heartsL: hearts === undefined || hearts.volumeL === 0 ? null : hearts.volumeL,
    heartsVolPercent: hearts?.strengthAbv == null ? null : hearts.strengthAbv * 100,
    simulated,
    damaged: entry.damaged,
  };
}

export function listRuns(
  journal: Journal,
  query: RunQuery,
  nameOf: (still: string) => string,
): Answer<readonly RunLine[]> {
  const { still, text, offset } = query;
  const found = journal.runs({
    limit: runsAtOnce,
    offset: Math.max(0, offset ?? 0),
    ...(still === undefined ? {} : { still }),
    ...(text === undefined ? {} : { text }),
  });
  return answerOf(found, (entries) => entries.map((entry) => lineOf(entry, nameOf, false)));
}

function fractionsOf(summary: RunSummary | null, plant: Plant): readonly FractionView[] {
  if (summary === null) return [];
  return summary.fractions
    .filter((fraction) => fraction.volumeL > 0)
    .map(({ fraction, volumeL, alcoholL, strengthAbv }) => ({
      fraction,
      volumeL,
      alcoholL,
      strengthVolPercent: strengthAbv === null ? null : strengthAbv * 100,
      sharePercent: alcoholSharePercent(plant.charge, alcoholL),
    }));
}

/** When the run's clock began [s]: the start order in its record, else the time of its first state. */
export function startOf(kept: Iterable<Kept>): number | null {
  for (const one of kept) {
    if (one.kind !== 'decision' || one.decision.kind !== 'event') continue;
    const { event } = one.decision;
    if (event.kind === 'state' && event.to === 'running') return event.atS;
  }
  return null;
}

interface Told {
  readonly shown: readonly DecisionView[];
  readonly more: number;
  readonly jars: number;
}

function tell(journal: Journal, runId: string, startedS: number | null, saying: Saying): Told {
  const all: DecisionView[] = [];
  let jars = 0;
  for (const kept of journal.readDecisions(runId)) {
    const said = sayKept(kept, startedS, saying);
    if (said === null) continue;
    if (said.kind === 'jar') jars += 1;
    all.push(said);
  }
  return { shown: all.slice(-mostDecisions), more: Math.max(0, all.length - mostDecisions), jars };
}

export interface RunContext {
  readonly nameOf: (still: string) => string;
  readonly saying: Saying;
  /** Fractions of a run that is still open. */
  readonly openFractions: (runId: string) => readonly FractionView[] | null;
}

export function showRun(journal: Journal, runId: string, context: RunContext): Answer<RunView> {
  return guarded(() => answerOf(journal.run(runId), (detail) => viewOf(journal, detail, context)));
}

function viewOf(journal: Journal, detail: RunDetail, context: RunContext): RunView {
  const { runId, plant, about } = detail;
  const summary = summaryOf(detail.summary);
  const startedS = startOf(journal.readDecisions(runId));
  const told = tell(journal, runId, startedS, context.saying);
  const simulated = typeof about.speed === 'number' && about.speed !== 1;
  return {
    ...lineOf(detail, context.nameOf, simulated),
    stillName: plant.still.name,
    potable: isPotable(plant.recipe?.kind),
    lastedS: summary?.lastedS ?? (startedS === null || detail.lastS === null ? null : detail.lastS - startedS),
    chargeL: plant.charge?.volumeL ?? null,
    chargeVolPercent: plant.charge === null ? null : percentOf(plant.charge.strengthAbv),
    startedBy: typeof about.by === 'string' ? about.by : null,
    fractions: context.openFractions(runId) ?? fractionsOf(summary, plant),
    volumeFrom: summary?.volumeFrom ?? null,
    totalL: summary?.totalL ?? null,
    totalAlcoholL: summary?.totalAlcoholL ?? null,
    decisions: told.shown,
    more: told.more,
    jars: told.jars,
    head: detail.head,
    replayable: detail.replayable,
  };
}
