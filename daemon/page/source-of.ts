import type { Event } from '../../lib/engine/types';
import type { Problem } from '../../lib/problems';
import type { OrderMessage } from '../../lib/wire';
import type { Saying } from '../../lib/words';
import { isOwnAlarm, type OwnAlarms } from '../host/own-alarms';
import { plantFor, type StillHost } from '../host/still-host';
import { makeReport } from '../report';
import { type Journal, StoreError } from '../store';
import { createOrderDesk } from './answers';
import { sayEvent, sayKept } from './decisions';
import { comparedSheet } from './hand-run';
import { recipeViews } from './recipe-view';
import { answerOf, guarded, listRuns, showRun, startOf } from './runs';
import { createSheets } from './sheets';
import type { OrderOutcome, PageSource, Place, Seen } from './source';
import { fractionViews, stillView } from './still-view';
import { createTrendKeeper, recordedTrend, type TrendKeeper } from './trend';
import type { DecisionView } from './views';

export interface SourceOptions {
  /** Lets the host scan: an order has been taken in. */
  readonly wake: () => void;
  /** Engine seconds a second, by still; 1 if left out. */
  readonly speedOf?: (still: string) => number;
  readonly wallClockMs?: () => number;
  /** Told what went wrong in here: the host that tells us of its events must never suffer from it. */
  readonly complain?: (error: unknown) => void;
  /** The host's own alarms: shown with those of every still, and acknowledged there. */
  readonly ownAlarms?: Pick<OwnAlarms, 'views' | 'acknowledge'>;
  /** A number nobody can foresee. */
  readonly seedOf?: () => number;
}

/** What the daemon's host tells the page's source besides. */
export interface HostSource extends PageSource {
  /** Every event of every still, as it happens. */
  hear(still: string, event: Event): void;
}

const decisionsShown = 14;

interface Station {
  readonly host: StillHost;
  readonly trend: TrendKeeper;
  decisions: readonly DecisionView[];
  decided: number;
}

/** All the page asks, answered from the hosts of the stills and the journal. */
export function sourceOf(
  hosts: readonly StillHost[],
  journal: Journal,
  saying: Saying,
  options: SourceOptions,
): HostSource {
  const { wake, speedOf = () => 1, wallClockMs = () => Date.now(), complain = () => undefined } = options;
  const sheltered = <T>(work: () => T): T | undefined => {
    try {
      return work();
    } catch (error) {
      complain(error);
      return undefined;
    }
  };
  const seedOf = options.seedOf ?? (() => crypto.getRandomValues(new Uint32Array(1))[0] ?? 1);
  const stations = new Map<string, Station>(
    hosts.map((host) => [
      host.still.id,
      {
        host,
        trend: createTrendKeeper(journal, saying),
        decisions: sheltered(() => lastDecisions(host, journal, saying)) ?? [],
        decided: 0,
      },
    ]),
  );
  const desk = createOrderDesk(saying, wake);
  const sheets = createSheets(journal, seedOf);
  const nameOf = (still: string): string => stations.get(still)?.host.still.name ?? still;
  const context = {
    nameOf,
    saying,
    openFractions: (runId: string) => {
      const open = hosts.find((host) => host.runId === runId);
      return open === undefined ? null : fractionViews(open.plant, open.run).filter(({ volumeL }) => volumeL > 0);
    },
  };

  return {
    stillIds: () => [...stations.keys()],
    still(id) {
      const station = stations.get(id);
      return station === undefined
        ? null
        : stillView(station.host, speedOf(id), saying, station.decisions, options.ownAlarms?.views());
    },
    noted(id) {
      const station = stations.get(id);
      if (station !== undefined) sheltered(() => station.trend.note(station.host));
    },
    hear(id, event) {
      const station = stations.get(id);
      if (station !== undefined) sheltered(() => hearIn(station, event));
    },
    decided: (id) => stations.get(id)?.decided ?? 0,
    recipes(id) {
      const host = stations.get(id)?.host;
      return host === undefined ? null : recipeViews(host.still, host.recipes);
    },
    checkStart(id, message) {
      const host = stations.get(id)?.host;
      return host === undefined ? null : startProblems(host, message);
    },
    order: (id, message, seen, from) => give(stations.get(id)?.host, message, seen, from),
    trend(id) {
      const station = stations.get(id);
      return station === undefined ? null : station.trend.view(station.host);
    },
    runs: (query) => listRuns(journal, query, nameOf),
    run: (id) => showRun(journal, id, context),
    runTrend: (id) =>
      guarded(() =>
        answerOf(journal.run(id), ({ plant }) =>
          recordedTrend(journal, id, plant, startOf(journal.readDecisions(id)), saying),
        ),
      ),
    // The chain is not walked here: that takes its time, and the stills are waiting. `middlecut report` does it.
    report: (id) =>
      guarded(() =>
        answerOf(
          makeReport(journal, id, {
            saying,
            madeAtMs: wallClockMs(),
            verify: false,
            handRun: (origin) => comparedSheet(journal, origin),
          }),
          (report) => report,
        ),
      ),
    sheets: () => sheets.list(),
    sheet: (id) => sheets.show(id),
    newSheet: (about, by) => sheets.create(about, by),
    saveSheet: (id, part, saving) => sheets.save(id, part, saving),
    pour: (id, order, hidden, by) => sheets.pour(id, order, hidden, by),
  };

  function hearIn(station: Station, event: Event): void {
    const { host } = station;
    station.decided += 1;
    desk.heard(event);
    station.trend.heard(event);
    const startedS = host.plant.recipe === null ? null : host.run.startedAtS;
    const at = new Date(wallClockMs()).toISOString();
    const said = sayEvent(event, { n: nextNumber(station), startedS, at }, saying);
    if (said !== null) station.decisions = [...station.decisions, said].slice(-decisionsShown);
    const { runId } = host;
    // After the turn: the record must not wait for a document.
    if (event.kind === 'jar' && event.number === 1 && runId !== null) {
      setImmediate(() => sheltered(() => sheets.begin(runId)));
    }
  }

  async function give(
    host: StillHost | undefined,
    message: OrderMessage,
    seen: Seen | null,
    from: Place,
  ): Promise<OrderOutcome | null> {
    if (host === undefined) return null;
    if (message.order === 'acknowledge') {
      const { target } = message;
      const isOwn = target !== undefined && isOwnAlarm(target);
      if (isOwn || target === undefined) options.ownAlarms?.acknowledge(isOwn ? target : undefined);
      if (isOwn) return { accepted: true, why: [] };
    }
    return desk.give(host, { ...message, id: message.id ?? `page-${seedOf().toString(36)}` }, seen, from);
  }
}

function nextNumber({ decisions }: Station): number {
  return (decisions[decisions.length - 1]?.n ?? 0) + 1;
}

function startProblems(host: StillHost, message: OrderMessage): readonly Problem[] {
  if (message.order !== 'start') return [];
  const plant = plantFor(host.still, host.recipes, message);
  return plant.kind === 'bad' ? plant.problems : plant.warnings;
}

/** What was decided before this process began, for a run it took up. */
function lastDecisions(host: StillHost, journal: Journal, saying: Saying): readonly DecisionView[] {
  const { runId, run } = host;
  if (runId === null) return [];
  let last: DecisionView[] = [];
  try {
    for (const kept of journal.readDecisions(runId)) {
      const said = sayKept(kept, run.startedAtS, saying);
      if (said !== null) last = [...last, said].slice(-decisionsShown);
    }
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
  }
  return last;
}
