import type { Subscription } from 'rxjs';
import type { Reason } from '../../lib/engine/types';
import type { Drive } from '../../lib/still/schema';
import { isLoopback, type LoadedConfig } from '../config';
import { type Drives, openDrives } from '../drives';
import { openFeeds } from '../feeds';
import type { Link } from '../link';
import type { Journal } from '../store';
import { iso } from './announce';
import { createJarChanger, hearButtons } from './development';
import type { HostLog } from './host';
import { hearOrders } from './orders-in';
import { isOwnAlarm, type OwnAlarms } from './own-alarms';
import type { Pulse } from './pulse';
import type { Restoring } from './restore';
import { createStillHost, type StillHost } from './still-host';

type LoadedStill = LoadedConfig['stills'][number];

export function sayRestored(still: string, restoring: Restoring, log: HostLog): void {
  if (restoring.kind === 'none') return;
  if (restoring.kind === 'failed') {
    const { message, remedy } = restoring.failure;
    const what = restoring.runId === '' ? 'an open run' : `run ${restoring.runId}`;
    log.error({ still }, `${what} cannot be taken up: ${message}. ${remedy}. See the still through by hand.`);
    return;
  }
  const { runId, run, damage } = restoring.restored;
  log.warn(
    { still, run: runId },
    `run ${runId} was left open in ${run.phase}: ${run.state}, heat off, waits for an order`,
  );
  if (damage !== null) {
    log.warn(
      { still, run: runId },
      `the last readings of the run are lost: ${damage.message}. Volumes may be too low.`,
    );
  }
}

export function hostFor(
  loaded: LoadedStill,
  restoring: Restoring,
  journal: Journal,
  wordsOf: (reason: Reason) => string,
): StillHost {
  return createStillHost({
    still: loaded.still,
    recipes: loaded.recipes.map(({ recipe }) => recipe),
    speed: loaded.speed,
    journal,
    wallClockMs: Date.now,
    wordsOf,
    jars: createJarChanger(loaded.jars ?? null, journal),
    resumed: restoring.kind === 'ok' ? restoring.restored : null,
  });
}

export function drivesFor(loaded: LoadedStill, link: Link, wordsOf: (reason: Reason) => string): Drives {
  return openDrives({
    still: loaded.still,
    drives: loaded.drives,
    link,
    nowIso: () => iso(Date.now()),
    wordsOf,
    speed: loaded.speed,
  });
}

/** Whether whoever speaks over this broker is on this machine. */
export function isOwnLoopback(config: LoadedConfig): boolean {
  return config.broker.kind === 'embedded' && isLoopback(config.broker.host);
}

/** Readings a second and point that a still at usual speed may send. */
const readingsPerS = 50;

export interface Connection {
  readonly loaded: LoadedStill;
  readonly still: StillHost;
  readonly link: Link;
  readonly from: 'still' | 'remote';
  readonly wake: () => void;
  readonly idFor: () => string;
  readonly pulse: Pulse;
  readonly ownAlarms: OwnAlarms;
  readonly log: HostLog;
}

/** Lets the readings and orders of a still in. */
export function connect(connection: Connection): readonly Subscription[] {
  const { loaded, still, link, wake, pulse, ownAlarms, log } = connection;
  const about = { still: still.still.id };
  const feeds = openFeeds({
    still: loaded.still,
    feeds: loaded.feeds,
    link,
    maxPerS: readingsPerS * Math.max(1, loaded.speed),
    report: (event) => {
      if (event.kind === 'flooding') {
        const numbers = { point: event.source, readings: event.maxPerS };
        ownAlarms.happened('feed-flooding', { code: 'alarm.feed-flooding', numbers });
        return;
      }
      const line = `feed ${event.source}: ${event.kind}${event.kind === 'trouble' ? `: ${event.message}` : ''}`;
      if (event.kind === 'restored') log.info(about, line);
      else log.warn(about, line);
    },
  });
  return [
    feeds.subscribe(({ point, value, fault, arrivalMs }) => {
      still.put(point, value, fault, pulse.arrivalOf(arrivalMs));
      wake();
    }),
    hearOrders({
      still,
      link,
      from: connection.from,
      wake,
      idFor: connection.idFor,
      nowMs: () => performance.now(),
      isDoubtful: pulse.isDoubtful,
      acknowledge: (target) => {
        if (target !== undefined && !isOwnAlarm(target)) return false;
        ownAlarms.acknowledge(target);
        return target !== undefined;
      },
    }),
    ...hearButtons({
      still,
      link,
      buttons: loaded.buttons,
      wake,
      idFor: connection.idFor,
      nowMs: () => performance.now(),
      isDoubtful: pulse.isDoubtful,
      warn: (message) => log.warn(about, message),
    }),
  ];
}

/** Straight to the drives, past an engine that cannot be trusted any more: coolant on, heat off, receivers as they are. */
export function tellSafe(still: StillHost, drives: Drives | undefined, idTag: string): void {
  const safeAt: Partial<Record<Drive['kind'], number>> = { coolant: 1, heat: 0, contactor: 0 };
  const all = Object.entries(still.still.drives).map(([id, drive]) => ({ id, drive, value: safeAt[drive.kind] }));
  for (const { id, drive, value } of all.toSorted((a, b) => (b.value ?? 0) - (a.value ?? 0))) {
    if (value === undefined) continue;
    const reason: Reason = { code: 'fault.program', numbers: {} };
    const at = { issuedAtS: still.run.now, ttlS: drive.ttlS, repeat: false, safe: true };
    drives?.send({ id: `${idTag}-fault-${id}`, drive: id, value, ...at, reason });
  }
}

/** On the way out: a run that is under way is held, so that heat is told off before the link closes. */
export function holdAll(stills: readonly StillHost[]): void {
  for (const still of stills) {
    if (still.run.state === 'running' && still.run.step >= 0)
      still.order({ order: 'hold', by: 'shutdown' }, 'still', 'shutdown');
  }
}
