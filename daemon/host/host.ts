import type { Command, Event, Reason } from '../../lib/engine/types';
import type { Drive } from '../../lib/still/schema';
import type { Journal, StoreFailure } from '../store';
import type { Announcer } from './announce';
import { createSpeaker } from './speaker';
import type { StillHost, Turn } from './still-host';
import { createWithheld, type Withheld } from './withheld';

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
  readonly monotonicMs?: () => number;
  /** Shortest time between two scans without readings [ms]. */
  readonly tickMs: number;
  /** Called after every turn with the stills that were scanned: for the watchdog of the system, and for a view. */
  readonly afterTurn?: (scanned: readonly StillHost[]) => void;
  readonly onEvent?: (still: StillHost, event: Event) => void;
  /** The record cannot be written any more, or again (null). */
  readonly onRecord?: (failure: StoreFailure | null) => void;
  /** Another process writes our runs now: it has the stills. */
  readonly onTakenOver?: () => void;
  /** The program itself is at fault: the one place where that is caught. Drives are to be made safe, then the end. */
  readonly onFault: (error: unknown) => void;
}

export interface Host {
  /** Something has arrived: scan once this event-loop turn is over. */
  wake(): void;
  start(): void;
  /** Tells every drive again what it was told last: after a link that was away. */
  tellAgain(): void;
  /** Scans whatever has arrived, now. */
  flush(): void;
  /** Scans once more, writes everything down, stops. */
  stop(): void;
}

/**
 * How long a command may wait for a store that is only busy, e.g. locked by a backup [engine s]: less than a valve takes to move, so that
 * the engine's belief of where it stands stays right.
 */
const waitForRecordS = 3;

/**
 * Runs the stills: at most one scan an event-loop turn and still, at least one a tick; one commit for all of them, then
 * the commands. Commands towards the safe state leave at once and wait for no disk.
 */
export function createHost(options: HostOptions): Host {
  const { stills, journal, outlet, announcer, log, wallClockMs } = options;
  const monotonicMs = options.monotonicMs ?? (() => performance.now());
  const { onEvent } = options;
  const speaker = createSpeaker({ outlet, announcer, log, monotonicMs, ...(onEvent === undefined ? {} : { onEvent }) });
  const withheld = createWithheld();
  let scheduled = false;
  let timer: NodeJS.Timeout | null = null;
  let isStopped = false;
  let failure: StoreFailure | null = null;

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
    const turns: { still: StillHost; result: Turn; rest: readonly Command[] }[] = [];
    for (const still of stills) {
      if (!everyone && !still.hasWork) continue;
      const result = still.turn();
      const [free, rest] = parted(still, result.commands);
      for (const command of coolantFirst(still, free)) tell(still, command);
      turns.push({ still, result, rest });
    }
    const written = commit();
    const rebuilt = written ? release() : new Set<StillHost>();
    for (const { still, result, rest } of turns) {
      for (const command of rebuilt.has(still) ? [] : rest) {
        if (written) tell(still, command);
        else withheld.add(still, command, monotonicMs());
      }
      speaker.say(still, result, wallClockMs());
      settle(still);
    }
    if (!written) holdOverdue();
    if (rebuilt.size > 0) wakeSoon(true);
    options.afterTurn?.(turns.map(({ still }) => still));
  };

  function tell(still: StillHost, command: Command): void {
    withheld.drop(still, command.drive);
    outlet.command(still, command, announcer.command(command), wallClockMs());
  }

  /** Commands that wait for no record, and those that do: all but the safe state, repetitions, and a still without a run. */
  function parted(still: StillHost, commands: readonly Command[]): readonly [readonly Command[], readonly Command[]] {
    const free = (command: Command) =>
      still.runId === null || command.safe || (command.repeat && !withheld.has(still, command.drive));
    return [commands.filter(free), commands.filter((command) => !free(command))];
  }

  function commit(): boolean {
    const committed = journal.commit();
    const before = failure;
    failure = committed.kind === 'failed' ? committed.failure : null;
    if (failure === null && before === null) return true;
    if (failure?.kind === 'taken-over' && before?.kind !== 'taken-over') options.onTakenOver?.();
    if (failure !== null && before === null) {
      log.error({ failure: failure.kind }, `${failure.message}. ${failure.remedy}.`);
      options.onRecord?.(failure);
    }
    if (failure === null) {
      log.info({}, 'the record can be written again');
      options.onRecord?.(null);
    }
    return failure === null;
  }

  const overdueMs = (still: StillHost): number => (waitForRecordS * 1000) / still.speed;

  /** The record can be written again: what was kept back leaves if it is fresh; else the run goes on as after a restart. */
  function release(): ReadonlySet<StillHost> {
    const overdue = withheld.overdue(monotonicMs(), overdueMs);
    const waiting = withheld.takeAll();
    for (const { still, command } of waiting) if (!overdue.has(still)) tell(still, command);
    if (overdue.size === 0) return overdue;
    const isFlushed = journal.flush().kind === 'ok';
    const rebuilt = new Set([...overdue].filter((still) => isFlushed && still.rebuild().kind === 'ok'));
    keepBack(waiting.filter(({ still }) => overdue.has(still) && !rebuilt.has(still)));
    for (const { still } of rebuilt) log.warn({ still: still.id }, 'the run goes on as after a restart: held');
    return rebuilt;
  }

  function keepBack(all: readonly Withheld[]): void {
    for (const { still, command, sinceMs } of all) withheld.add(still, command, sinceMs);
  }

  /** A run that wants something it cannot have is held: its drives are not where it believes them. */
  function holdOverdue(): void {
    for (const still of withheld.overdue(monotonicMs(), overdueMs)) {
      if (still.run.state !== 'running' || still.run.step < 0) continue;
      still.order({ order: 'hold', by: 'the daemon', text: 'the record cannot be written' }, 'still', 'record-failing');
      wakeSoon(false);
    }
  }

  function settle(still: StillHost): void {
    const runId = still.runId;
    const committed = still.settle();
    if (committed?.kind === 'ok') log.info({ run: runId, still: still.still.id }, `run over: ${still.run.state}`);
  }

  function wakeSoon(everyone: boolean): void {
    if (scheduled || isStopped) return;
    scheduled = true;
    setImmediate(() => turnAll(everyone));
  }

  return {
    wake: () => wakeSoon(false),
    start() {
      for (const still of stills) speaker.sayAlarms(still, wallClockMs());
      timer = setInterval(() => turnAll(true), options.tickMs);
      turnAll(true);
    },
    tellAgain() {
      if (isStopped) return;
      for (const still of stills) {
        const known = standing(still).filter((command) => command.safe || !withheld.has(still, command.drive));
        for (const command of coolantFirst(still, known)) tell(still, command);
      }
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

/** Whether a drive at this value can do no harm, whatever it was at before. */
function isSafeAt(drive: Drive | undefined, value: Command['value']): boolean {
  if (drive?.kind === 'coolant') return typeof value === 'number' && value > 0;
  return (drive?.kind === 'heat' || drive?.kind === 'contactor' || drive?.kind === 'take-off') && value === 0;
}

/** What every drive was told last, as commands of now. */
function standing(still: StillHost): readonly Command[] {
  return Object.entries(still.run.drives).map(([id, { value, reason }]): Command => {
    const drive = still.still.drives[id];
    return {
      id: `again-${Math.round(still.now() * 1000)}-${id}`,
      drive: id,
      value,
      issuedAtS: still.now(),
      ttlS: drive?.ttlS ?? 10,
      repeat: true,
      safe: isSafeAt(drive, value),
      reason: reason satisfies Reason,
    };
  });
}

/** In the order in which a still is made safe: coolant, then heat, then all else. */
function coolantFirst(still: StillHost, commands: readonly Command[]): readonly Command[] {
  const rank = ({ drive }: Command): number => {
    const kind = still.still.drives[drive]?.kind;
    return kind === 'coolant' ? 0 : kind === 'heat' || kind === 'contactor' ? 1 : 2;
  };
  return commands.length < 2 ? commands : commands.toSorted((a, b) => rank(a) - rank(b));
}
