import type { Command, Event } from '../../lib/engine/types';
import { topicsOf } from '../../lib/wire';
import type { Journal } from '../store';
import { type Announcer, iso } from './announce';
import type { StillHost, Turn } from './still-host';

/** The way out to the broker: what may wait, what must not. */
export interface Outlet {
  retain(topic: string, payload: string): void;
  event(topic: string, payload: string): void;
  passing(topic: string, payload: string): void;
  command(still: StillHost, command: Command, reason: string, atMs: number): void;
}

export interface HostLog {
  info(about: object, message: string): void;
  warn(about: object, message: string): void;
  error(about: object, message: string): void;
}

export interface HostOptions {
  readonly stills: readonly StillHost[];
  readonly journal: Journal;
  readonly outlet: Outlet;
  readonly announcer: Announcer;
  readonly log: HostLog;
  readonly wallClockMs: () => number;
  /** Shortest time between two scans without readings [ms]. */
  readonly tickMs: number;
  /** Called after every turn: for the watchdog of the system, and for a view. */
  readonly afterTurn?: () => void;
  readonly onEvent?: (still: StillHost, event: Event) => void;
  /** The program itself is at fault: the one place where that is caught. Drives are to be made safe, then the end. */
  readonly onFault: (error: unknown) => void;
}

export interface Host {
  /** Something has arrived: scan once this event-loop turn is over. */
  wake(): void;
  start(): void;
  /** Scans whatever has arrived, now. */
  flush(): void;
  /** Scans once more, writes everything down, stops. */
  stop(): void;
}

/** State is said again this often, so that a late or forgetful reader is right soon [ms]. */
const sayAgainMs = 10_000;
const pointEveryMs = 1000;

/**
 * Runs the stills: at most one scan an event-loop turn and still, at least one a tick; one commit for all of them, then
 * the commands. Commands towards the safe state leave at once and wait for no disk.
 */
export function createHost(options: HostOptions): Host {
  const { stills, journal, outlet, announcer, log, wallClockMs } = options;
  let scheduled = false;
  let timer: NodeJS.Timeout | null = null;
  let isStopped = false;
  let isStoreFailing = false;
  /** Drives whose last change could not be written down: nothing but the safe state is sent to them meanwhile. */
  const unwritten = new Set<string>();
  const said = new Map<string, { at: number; text: string }>();
  const pointsAt = new Map<string, number>();
  const beats = new Map<string, { scans: number; atMs: number }>();

  const turnAll = (everyone: boolean): void => {
    scheduled = false;
    if (isStopped) return;
    try {
      turn(everyone);
    } catch (error) {
      isStopped = true;
      if (timer !== null) clearInterval(timer);
      options.onFault(error);
    }
  };

  const turn = (everyone: boolean): void => {
    const turns: { still: StillHost; result: Turn; held: readonly Command[] }[] = [];
    const atMs = wallClockMs();
    for (const still of stills) {
      if (!everyone && !still.hasWork) continue;
      const result = still.turn();
      const [safe, rest] = parted(still, result.commands);
      for (const command of safe) outlet.command(still, command, announcer.command(command), atMs);
      turns.push({ still, result, held: rest });
    }
    const written = commit();
    for (const { still, result, held } of turns) {
      for (const command of held) {
        if (written) outlet.command(still, command, announcer.command(command), atMs);
        else unwritten.add(driveKey(still, command));
      }
      announce(still, result, atMs);
      settle(still);
    }
    options.afterTurn?.();
  };

  /** Commands that wait for no record, and those that do: all but the safe state, repetitions, and a still without a run. */
  function parted(still: StillHost, commands: readonly Command[]): readonly [readonly Command[], readonly Command[]] {
    const free = (command: Command) =>
      still.runId === null || command.safe || (command.repeat && !unwritten.has(driveKey(still, command)));
    return [commands.filter(free), commands.filter((command) => !free(command))];
  }

  function commit(): boolean {
    const committed = journal.commit();
    if (committed.kind === 'failed' && !isStoreFailing) {
      log.error({ failure: committed.failure.kind }, `${committed.failure.message}. ${committed.failure.remedy}.`);
    }
    if (committed.kind === 'ok' && isStoreFailing) log.info({}, 'the record can be written again');
    isStoreFailing = committed.kind === 'failed';
    if (!isStoreFailing) unwritten.clear();
    return !isStoreFailing;
  }

  function settle(still: StillHost): void {
    const runId = still.runId;
    const committed = still.settle();
    if (committed?.kind === 'failed') log.error({ run: runId }, committed.failure.message);
    else if (committed !== null) log.info({ run: runId, still: still.still.id }, `run over: ${still.run.state}`);
  }

  function announce(still: StillHost, turn: Turn, atMs: number): void {
    const topics = topicsOf(still.still.id);
    for (const event of turn.events) {
      if (event.kind === 'order') outlet.event(topics.orderAnswer, JSON.stringify(announcer.answer(event)));
      if (event.kind === 'alarm') {
        outlet.retain(topics.alarm(event.alarm), JSON.stringify(announcer.alarm(still.run, event, atMs)));
      }
      outlet.event(topics.event, JSON.stringify(announcer.event(event, atMs)));
      report(still, event);
      options.onEvent?.(still, event);
    }
    const decided = turn.events.some((event) => event.kind !== 'quality');
    sayState(still, atMs, decided);
    sayPoints(still, atMs);
    beat(still, atMs);
  }

  /** Only a scan that really ran beats, and not more often than anybody could watch. */
  function beat(still: StillHost, atMs: number): void {
    const id = still.still.id;
    const last = beats.get(id) ?? { scans: 0, atMs: Number.NEGATIVE_INFINITY };
    const scans = last.scans + 1;
    const due = atMs - last.atMs >= pointEveryMs;
    beats.set(id, { scans, atMs: due ? atMs : last.atMs });
    if (due) outlet.passing(topicsOf(id).heartbeat, JSON.stringify({ scan: scans, at: iso(atMs) }));
  }

  function sayState(still: StillHost, atMs: number, decided: boolean): void {
    const topics = topicsOf(still.still.id);
    sayOnce(topics.phase, still.run.phase, atMs, false);
    const last = said.get(topics.state);
    if (!decided && last !== undefined && atMs - last.at < pointEveryMs) return;
    const state = announcer.state(still.plant, still.run, still.runId, still.sinceMs);
    sayOnce(topics.state, JSON.stringify(state), atMs, true);
  }

  function sayOnce(topic: string, text: string, atMs: number, again: boolean): void {
    const last = said.get(topic);
    if (last?.text === text && (!again || atMs - last.at < sayAgainMs)) return;
    said.set(topic, { at: atMs, text });
    outlet.retain(topic, text);
  }

  function sayPoints(still: StillHost, atMs: number): void {
    const id = still.still.id;
    if (atMs - (pointsAt.get(id) ?? Number.NEGATIVE_INFINITY) < pointEveryMs) return;
    pointsAt.set(id, atMs);
    const topics = topicsOf(id);
    for (const point of Object.keys(still.still.points)) {
      outlet.passing(topics.point(point), JSON.stringify(announcer.point(still.plant, still.run, point, atMs)));
    }
  }

  function report(still: StillHost, event: Event): void {
    const { text } = announcer.reason(event.reason);
    const about = { still: still.still.id, kind: event.kind, engineS: Math.round(event.atS) };
    if (event.kind === 'phase')
      log.info({ ...about, from: event.from, to: event.to }, `${event.from} → ${event.to}: ${text}`);
    else if (event.kind === 'alarm') {
      const line = `alarm ${event.alarm} ${event.transition}: ${text}`;
      if (event.transition === 'raised') log.warn({ ...about, alarm: event.alarm }, line);
      else log.info({ ...about, alarm: event.alarm }, line);
    } else if (event.kind === 'trip' || event.kind === 'fault') log.warn(about, `${event.kind}: ${text}`);
    else log.info(about, `${event.kind}: ${text}`);
  }

  return {
    wake() {
      if (scheduled || isStopped) return;
      scheduled = true;
      setImmediate(() => turnAll(false));
    },
    start() {
      timer = setInterval(() => turnAll(true), options.tickMs);
      turnAll(true);
    },
    flush: () => turnAll(true),
    stop() {
      if (timer !== null) clearInterval(timer);
      turnAll(true);
      isStopped = true;
      journal.flush();
    },
  };
}

function driveKey(still: StillHost, command: Command): string {
  return `${still.still.id}/${command.drive}`;
}
