import type { Subscription } from 'rxjs';
import type { Command, Event, Reason } from '../../lib/engine/types';
import { topicsOf } from '../../lib/wire';
import { languages, type Saying, sayReason } from '../../lib/words';
import { type RunningBroker, startBroker } from '../broker';
import type { LoadedConfig } from '../config';
import type { Drives } from '../drives';
import { type Link, openLink, targetOf } from '../link';
import type { Journal } from '../store';
import { createAnnouncer, iso } from './announce';
import { createSheetKeeper } from './development';
import { createHost, type Host, type HostLog, type Outlet } from './host';
import { linkReporter, untilOnline } from './link-report';
import { watchLink } from './link-watch';
import { createOnlooker } from './onlooker';
import { createOwnAlarms, type OwnAlarms } from './own-alarms';
import { roomAt, watchClock, watchDisk } from './own-watch';
import { createPulse } from './pulse';
import { CannotStart, journalFile, type OpenedRecord, openRecord } from './record';
import { restoreRun } from './restore';
import type { StillHost } from './still-host';
import { openStillroomPage } from './stillroom-page';
import { connect, drivesFor, holdAll, hostFor, isOwnLoopback, sayRestored, tellSafe } from './wiring';

export { CannotStart, journalFile };

export interface DaemonOptions {
  readonly config: LoadedConfig;
  readonly log: HostLog & { debug(about: object, message: string): void };
  readonly onEvent?: (still: StillHost, event: Event) => void;
  readonly afterTurn?: (scanned: readonly StillHost[]) => void;
  /** The link was taken over by another daemon, or the program itself is at fault: somebody has to end us. */
  readonly onLost: (why: 'displaced' | 'fault') => void;
}

export interface Daemon {
  readonly stills: readonly StillHost[];
  readonly host: Host;
  readonly journal: Journal;
  readonly saying: Saying;
  /** Alarms of the daemon about itself. */
  readonly ownAlarms: OwnAlarms;
  readonly linkStatus: Link['status'];
  /** Where the broker is, as an address to give to others. */
  readonly brokerUrl: string;
  /** Where the page for the stillroom is; null where there is none. */
  readonly pageUrl: string | null;
  /** The program is at fault, wherever that came out: heat is told off at once, and the end is asked for. */
  fault(error: unknown): void;
  stop(): Promise<void>;
}

/** A broker that cannot start leaves nothing open behind it. */
async function openBroker(config: LoadedConfig, journal: Journal): Promise<RunningBroker | null> {
  if (config.broker.kind === 'external') return null;
  try {
    return await startBroker(config.broker);
  } catch (error) {
    journal.close();
    throw new CannotStart(error instanceof Error ? error.message : String(error), { cause: error });
  }
}

/** The daemon's own alarms, said on the topics of every still and in the log. */
function sayOwnAlarms(stills: readonly StillHost[], link: Link, saying: Saying, log: HostLog) {
  const topics = stills.map(({ still }) => topicsOf(still.id));
  // Delays count engine seconds, as those of the engine's alarms do.
  const speed = Math.max(...stills.map((still) => still.speed));
  const ownAlarms = createOwnAlarms({
    saying,
    nowIso: () => iso(Date.now()),
    nowS: () => (performance.now() / 1000) * speed,
    changed: ({ alarm, event }) => {
      const line = `alarm ${alarm.alarm} ${alarm.transition}: ${alarm.reason.text}`;
      if (alarm.transition === 'raised') log.warn({ alarm: alarm.alarm }, line);
      else log.info({ alarm: alarm.alarm }, line);
      for (const one of topics) link.retain(one.alarm(alarm.alarm), JSON.stringify(alarm));
      for (const one of topics) link.event(one.event, JSON.stringify(event));
    },
  });
  for (const alarm of ownAlarms.messages()) {
    for (const one of topics) link.retain(one.alarm(alarm.alarm), JSON.stringify(alarm));
  }
  return ownAlarms;
}

function recordFailing(message: string): Reason {
  return { code: 'alarm.store-failing', numbers: { why: message } };
}

function sayRecord({ failure, aside }: OpenedRecord, ownAlarms: OwnAlarms, log: HostLog): void {
  if (failure !== null) {
    log.error({ failure: failure.kind }, `${failure.message}. ${failure.remedy}. No run can start.`);
    ownAlarms.set('store-failing', recordFailing(failure.message));
  }
  if (aside === null) return;
  const rescued = aside.rescued.length === 0 ? 'no open run could be read' : `goes on as ${aside.rescued.join(', ')}`;
  ownAlarms.set('record-set-aside', { code: 'alarm.record-set-aside', numbers: { file: aside.file, rescued } });
}

function outletFor(link: Link, drives: ReadonlyMap<StillHost, Drives>, log: HostLog, isMute: () => boolean): Outlet {
  // Ids begin anew with what was last written down: a device that remembers them must not take a new command for an old one.
  const tag = tagOf(link);
  return {
    retain: link.retain,
    event: link.event,
    passing: link.passing,
    command: (still: StillHost, command: Command) => {
      if (isMute()) return;
      const sent = drives.get(still)?.send({ ...command, id: `${tag}-${command.id}` });
      if (sent === 'offline' && !command.repeat) log.warn({ drive: command.drive }, 'link is down: command not sent');
    },
  };
}

const tagOf = (link: Link): string => link.owner.slice(0, 6);

/** Ids for orders that bring none. */
function createIds(link: Link): () => string {
  let count = 0;
  return () => {
    count += 1;
    return `${tagOf(link)}-o${count}`;
  };
}

/** Puts everything together: journal, broker, link, stills, feeds, drives; and takes it apart again in the safe order. */
export async function startDaemon(options: DaemonOptions): Promise<Daemon> {
  const { config, log } = options;
  const nowMs = () => performance.now();
  let openedLate: (journal: Journal) => void = () => undefined;
  const record = openRecord({ folder: config.dataFolder, nowMs, opened: (journal) => openedLate(journal) });
  const { journal } = record;
  const broker = await openBroker(config, journal);
  const target = broker !== null ? broker.target : targetOf(config.broker as Parameters<typeof targetOf>[0]);
  const link = openLink({ target, group: config.group, clientId: config.broker.clientId });
  const language = languages[config.language] ?? languages.en!;
  const saying: Saying = { language, temperature: config.temperatures };
  const wordsOf = (reason: Reason) => sayReason(reason, saying);
  let isDisplaced = false;
  let host: Host | null = null;
  const displace = (): void => {
    isDisplaced = true;
    options.onLost('displaced');
  };
  const reportLink = linkReporter(log, displace);
  const subscriptions: Subscription[] = [
    link.events.subscribe((event) => {
      reportLink(event);
      if (event.kind === 'status' && event.status === 'online') host?.tellAgain();
    }),
  ];
  broker?.events.subscribe((event) => log.warn({ event }, `broker: ${event.kind}`));
  await untilOnline(link);

  // Not before the place is ours: whoever takes up a run ends the daemon that writes it now.
  const restored = config.stills.map(({ still }) => restoreRun(journal, still.id));
  for (const [index, { still }] of config.stills.entries()) {
    if (record.failure === null) sayRestored(still.id, restored[index]!, log);
  }
  const stills = config.stills.map((loaded, index) => hostFor(loaded, restored[index]!, journal, wordsOf));
  const drives = new Map(stills.map((still, index) => [still, drivesFor(config.stills[index]!, link, wordsOf)]));
  const ownAlarms = sayOwnAlarms(stills, link, saying, log);
  const pulse = createPulse(nowMs);
  const isLinkSilent = watchLink(stills, link, nowMs, (still, silentS) => {
    const text = `the broker was not heard for ${silentS.toFixed(0)} s`;
    still.order({ order: 'hold', by: 'the daemon', text }, 'still', 'link-silent');
    ownAlarms.set('link-silent', { code: 'alarm.link-silent', numbers: { silentS } });
  });
  let isFaulty = false;
  const fault = (error: unknown): void => {
    // One is enough: what comes after it may come of it, and must not go round in a circle.
    if (isFaulty) return;
    isFaulty = true;
    const words = error instanceof Error ? (error.stack ?? error.message) : String(error);
    log.error({}, `fault of the program, heat is told off: ${words}`);
    if (!isDisplaced) for (const still of stills) tellSafe(still, drives.get(still), tagOf(link));
    options.onLost('fault');
  };
  const sheetKeeper = createSheetKeeper(journal);
  for (const still of stills) sheetKeeper.restored(still);
  const page = await openStillroomPage({ config, stills, journal, saying, ownAlarms, wake: () => host?.wake(), log });
  const beside = createOnlooker('the page', log);
  const ownWatches = [
    watchClock(ownAlarms, Date.now, nowMs),
    watchDisk(ownAlarms, () => roomAt(config.dataFolder), nowMs),
  ];
  host = createHost({
    stills,
    journal,
    announcer: createAnnouncer(saying, () => ownAlarms.standing),
    log,
    wallClockMs: Date.now,
    tickMs: Math.max(10, 1000 / Math.max(...stills.map(({ speed }) => speed))),
    outlet: outletFor(link, drives, log, () => isDisplaced),
    onRecord: (failure) => ownAlarms.set('store-failing', failure === null ? null : recordFailing(failure.message)),
    onTakenOver: displace,
    onFault: fault,
    afterTurn: (scanned) => {
      pulse.beat();
      if (!isLinkSilent() && link.status() === 'online') ownAlarms.set('link-silent', null);
      for (const watch of ownWatches) watch();
      ownAlarms.turn();
      beside(page.turned);
      options.afterTurn?.(scanned);
    },
    onEvent: (still, event) => {
      sheetKeeper.hear(still, event);
      beside(() => page.hear(still, event));
      options.onEvent?.(still, event);
    },
  });
  const { wake } = host;
  openedLate = (late) => {
    for (const still of stills) {
      const restoring = restoreRun(late, still.still.id);
      if (restoring.kind === 'ok' && still.adopt(restoring.restored)) sayRestored(still.still.id, restoring, log);
    }
  };
  const shared = { link, from: isOwnLoopback(config) ? 'still' : 'remote', wake, pulse, ownAlarms, log } as const;
  const idFor = createIds(link);
  for (const [index, still] of stills.entries()) {
    subscriptions.push(...connect({ loaded: config.stills[index]!, still, idFor, ...shared }));
  }
  sayRecord(record, ownAlarms, log);
  host.start();
  return {
    stills,
    host,
    journal,
    saying,
    ownAlarms,
    linkStatus: link.status,
    brokerUrl: `mqtt://${target.host}:${target.port}`,
    pageUrl: page.url,
    fault,
    async stop() {
      for (const subscription of subscriptions) subscription.unsubscribe();
      if (!isDisplaced) holdAll(stills);
      host.stop();
      await page.close();
      await link.drain(2000);
      for (const one of drives.values()) one.close();
      await link.close();
      await broker?.close();
      const closed = journal.close();
      if (closed.kind === 'failed') log.error({}, closed.failure.message);
    },
  };
}
