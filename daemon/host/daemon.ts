import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Subscription } from 'rxjs';
import type { Command, Event, Reason } from '../../lib/engine/types';
import { languages, type Saying, sayReason } from '../../lib/words';
import { startBroker } from '../broker';
import { isLoopback, type LoadedConfig } from '../config';
import { type Drives, openDrives } from '../drives';
import { openFeeds } from '../feeds';
import { type Link, type LinkEvent, openLink, targetOf } from '../link';
import { type Journal, openJournal } from '../store';
import { createAnnouncer, iso } from './announce';
import { createHost, type Host, type HostLog } from './host';
import { hearOrders } from './orders-in';
import { restoreRun } from './restore';
import { createStillHost, type StillHost } from './still-host';
import { openStillroomPage } from './stillroom-page';

export const journalFile = 'record.sqlite';

export interface DaemonOptions {
  readonly config: LoadedConfig;
  readonly log: HostLog & { debug(about: object, message: string): void };
  readonly onEvent?: (still: StillHost, event: Event) => void;
  readonly afterTurn?: () => void;
  /** The link was taken over by another daemon, or the program itself is at fault: somebody has to end us. */
  readonly onLost: (why: 'displaced' | 'fault') => void;
}

export interface Daemon {
  readonly stills: readonly StillHost[];
  readonly host: Host;
  readonly journal: Journal;
  readonly saying: Saying;
  /** Where the broker is, as an address to give to others. */
  readonly brokerUrl: string;
  /** Where the page for the stillroom is; null where there is none. */
  readonly pageUrl: string | null;
  stop(): Promise<void>;
}

/** Why a daemon cannot start, in one line for people. */
export class CannotStart extends Error {}

/** Puts everything together: journal, broker, link, stills, feeds, drives; and takes it apart again in the safe order. */
export async function startDaemon(options: DaemonOptions): Promise<Daemon> {
  const { config, log } = options;
  const journal = openRecord(config.dataFolder);
  const broker = config.broker.kind === 'embedded' ? await startBroker(config.broker) : null;
  const target = broker !== null ? broker.target : targetOf(config.broker as Parameters<typeof targetOf>[0]);
  const link = openLink({ target, group: config.group, clientId: config.broker.clientId });
  const saying: Saying = { language: languages[config.language] ?? languages.en!, temperature: config.temperatures };
  await untilOnline(link, firstWaitMs);
  const stills = config.stills.map((loaded) => hostFor(loaded, journal, log));
  const drives = new Map(stills.map((still, index) => [still, drivesFor(config, index, link, saying)]));
  const subscriptions: Subscription[] = [];
  broker?.events.subscribe((event) => log.warn({ event }, `broker: ${event.kind}`));

  const page = await openStillroomPage(config, stills, journal, saying, () => host.wake(), log);
  const host: Host = createHost({
    stills,
    journal,
    announcer: createAnnouncer(saying),
    log,
    wallClockMs: Date.now,
    tickMs: Math.max(10, 1000 / Math.max(...stills.map((_still, index) => config.stills[index]?.speed ?? 1))),
    outlet: {
      retain: link.retain,
      event: link.event,
      passing: link.passing,
      command: (still: StillHost, command: Command) => {
        const sent = drives.get(still)?.send(command);
        if (sent === 'offline' && !command.repeat) log.warn({ drive: command.drive }, 'link is down: command not sent');
      },
    },
    onFault: (error) => {
      log.error(
        {},
        `fault of the program, heat is told off: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`,
      );
      for (const still of stills) tellSafe(still, drives.get(still));
      options.onLost('fault');
    },
    onEvent: (still, event) => {
      page.hear(still, event);
      options.onEvent?.(still, event);
    },
    afterTurn: () => {
      page.turned();
      options.afterTurn?.();
    },
  });
  subscriptions.push(link.events.subscribe((event) => reportLink(event, log, options.onLost)));
  let orders = 0;
  const idFor = () => {
    orders += 1;
    return `${Date.now().toString(36)}-${orders}`;
  };
  for (const [index, still] of stills.entries()) {
    subscriptions.push(...connect(config, index, still, link, host, idFor, log));
  }
  host.start();
  return {
    stills,
    host,
    journal,
    saying,
    pageUrl: page.url,
    brokerUrl: `mqtt://${target.host}:${target.port}`,
    async stop() {
      for (const subscription of subscriptions) subscription.unsubscribe();
      holdAll(stills);
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

/** The first commands should not be lost to a link that is just opening; a broker that is away is waited for no longer. */
const firstWaitMs = 2000;

function untilOnline(link: Link, withinMs: number): Promise<void> {
  if (link.status() === 'online') return Promise.resolve();
  return new Promise((resolve) => {
    const done = () => {
      clearTimeout(timer);
      subscription.unsubscribe();
      resolve();
    };
    const timer = setTimeout(done, withinMs);
    const subscription = link.events.subscribe((event) => {
      if (event.kind === 'status' && event.status === 'online') done();
    });
  });
}

function openRecord(folder: string): Journal {
  mkdirSync(folder, { recursive: true });
  const opened = openJournal(join(folder, journalFile));
  if (opened.kind === 'failed') throw new CannotStart(`${opened.failure.message}. ${opened.failure.remedy}.`);
  return opened.value;
}

function hostFor(loaded: LoadedConfig['stills'][number], journal: Journal, log: HostLog): StillHost {
  const restored = restoreRun(journal, loaded.still.id);
  if (restored.kind === 'failed') {
    throw new CannotStart(
      `run ${restored.runId} cannot be taken up: ${restored.failure.message}. ${restored.failure.remedy}.`,
    );
  }
  if (restored.kind === 'ok') {
    const { runId, run } = restored.restored;
    log.warn(
      { still: loaded.still.id, run: runId },
      `run ${runId} was left open in ${run.phase}: ${run.state}, heat off, waits for an order`,
    );
  }
  return createStillHost({
    still: loaded.still,
    recipes: loaded.recipes.map(({ recipe }) => recipe),
    speed: loaded.speed,
    journal,
    wallClockMs: Date.now,
    resumed: restored.kind === 'ok' ? restored.restored : null,
  });
}

function drivesFor(config: LoadedConfig, index: number, link: Link, saying: Saying): Drives {
  const loaded = config.stills[index]!;
  return openDrives({
    still: loaded.still,
    drives: loaded.drives,
    link,
    nowIso: () => iso(Date.now()),
    wordsOf: (reason) => sayReason(reason, saying),
    speed: loaded.speed,
  });
}

function isOwnLoopback(config: LoadedConfig): boolean {
  return config.broker.kind === 'embedded' && isLoopback(config.broker.host);
}

/** Readings a second and point that a still at usual speed may send. */
const readingsPerS = 50;

function connect(
  config: LoadedConfig,
  index: number,
  still: StillHost,
  link: Link,
  host: Host,
  idFor: () => string,
  log: DaemonOptions['log'],
): Subscription[] {
  const loaded = config.stills[index]!;
  const about = { still: still.still.id };
  const feeds = openFeeds({
    still: loaded.still,
    feeds: loaded.feeds,
    link,
    maxPerS: readingsPerS * Math.max(1, loaded.speed),
    report: (event) => {
      const line = `feed ${event.source}: ${event.kind}${event.kind === 'trouble' ? `: ${event.message}` : ''}`;
      if (event.kind === 'restored') log.info(about, line);
      else log.warn(about, line);
    },
  });
  return [
    feeds.subscribe(({ point, value, fault, arrivalMs }) => {
      still.put(point, value, fault, arrivalMs);
      host.wake();
    }),
    hearOrders(still, link, isOwnLoopback(config) ? 'still' : 'remote', () => host.wake(), idFor),
  ];
}

function reportLink(event: LinkEvent, log: HostLog, onLost: DaemonOptions['onLost']): void {
  switch (event.kind) {
    case 'status':
      log.info({}, `broker ${event.status}`);
      return;
    case 'displaced':
      log.error(
        { owner: event.owner },
        'another daemon of this group has taken the link: this one commands nothing more',
      );
      onLost('displaced');
      return;
    case 'second-owner':
      log.error({ owner: event.owner }, 'another daemon says that it owns this group');
      return;
    default:
      log.warn(
        event,
        `link: ${event.kind}${'topic' in event ? ` ${event.topic}` : ''}${'message' in event ? `: ${event.message}` : ''}`,
      );
  }
}

/** Straight to the drives, past an engine that cannot be trusted any more: heat off, coolant on, receivers as they are. */
function tellSafe(still: StillHost, drives: Drives | undefined): void {
  for (const [id, drive] of Object.entries(still.still.drives)) {
    const value = drive.kind === 'coolant' ? 1 : drive.kind === 'heat' || drive.kind === 'contactor' ? 0 : null;
    if (value === null) continue;
    const reason: Reason = { code: 'fault.program', numbers: {} };
    const command = {
      id: `fault-${id}`,
      drive: id,
      value,
      issuedAtS: still.run.now,
      ttlS: drive.ttlS,
      repeat: false,
      safe: true,
      reason,
    };
    drives?.send(command);
  }
}

/** On the way out: a run that is under way is held, so that heat is told off before the link closes. */
function holdAll(stills: readonly StillHost[]): void {
  for (const still of stills) {
    if (still.run.state === 'running' && still.run.step >= 0)
      still.order({ order: 'hold', by: 'shutdown' }, 'still', 'shutdown');
  }
}
