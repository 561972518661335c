import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { engine } from '../../daemon/host/restore';
import { openJournal, replayRun, valueOrThrow } from '../../daemon/store';
import type { Decision } from '../../lib/record';
import { type Running, runMiddlecut } from './daemon-process';
import { randomOf } from './random';
import { type HeardCommand, openStillroom, type Stillroom, valves, writeStillroom } from './stillroom';

/** One life of the daemon, from its start to its kill. */
export interface Life {
  readonly plan: 'while starting' | 'any time' | 'just after a decision';
  readonly livedMs: number;
  /** The still was hot by our word when this life began: a run was open and held. */
  readonly isTakenUp: boolean;
  /** From its start to heat told off; null where it did not live so long [ms]. */
  readonly heatOffMs: number | null;
  readonly coolantFirst: boolean | null;
  /** State and phase at the kill. */
  readonly killedIn: string;
  /** From the last decision that was heard to the kill [ms]. */
  readonly afterDecisionMs: number;
}

export interface Lane {
  readonly lives: readonly Life[];
  readonly runs: number;
  readonly eventsHeard: number;
  readonly decisionsKept: number;
  readonly restartsKept: number;
  readonly cuts: number;
  /** Whatever is not as it must be, in words. */
  readonly complaints: readonly string[];
}

const wait = (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms));

/** Somebody who works the still: starts it, resumes it when held, cuts and takes cuts back, and writes notes all the time. */
async function operate(room: Stillroom, isOver: () => boolean, taken: Set<string>): Promise<void> {
  let turn = 0;
  const say = async (said: object) => {
    const answer = await room.order(said, 400);
    if (answer.accepted) taken.add(answer.id);
    return answer;
  };
  while (!isOver()) {
    turn += 1;
    const seen = room.state();
    const act = async (): Promise<unknown> => {
      if (seen === null || seen.run === null) {
        await room.attend();
        return say({ order: 'start', chargeL: 50, chargeVolPercent: 29 });
      }
      if (seen.state === 'held') {
        await room.attend();
        await say({ order: 'acknowledge' });
        const { why } = await say({ order: 'resume' });
        // After some hundred lives of one run even a large receiver is full by the daemon's own reckoning.
        const full = why.join().match(/receiver full \(([a-z]+)\)/)?.[1];
        return full === undefined ? null : say({ order: 'receiver-emptied', target: full });
      }
      if (turn % 4 === 0) return say({ order: seen.phase === 'hearts' ? 'undo-cut' : 'cut' });
      return say({ order: 'note', text: `note ${turn}` });
    };
    // Nobody answers while the daemon is dead.
    await act().catch(() => undefined);
    await wait(20);
  }
}

async function liveAndDie(
  room: Stillroom,
  file: string,
  chance: () => number,
  daemonOf: (running: Running) => void,
): Promise<Life> {
  const from = room.commands.length;
  const isTakenUp = room.state()?.run != null;
  const bornMs = performance.now();
  const daemon = runMiddlecut(['serve', '--config', file]);
  daemonOf(daemon);
  const kind = chance();
  const plan = kind < 0.2 ? 'while starting' : kind < 0.65 ? 'any time' : 'just after a decision';
  const isUp = () => room.commands.length > from;
  if (plan === 'while starting') await wait(chance() * 700);
  else if (plan === 'any time') {
    await room.until('it is up', isUp, 8000);
    await wait(chance() * 1800);
  } else {
    const isCut = () => room.events('phase').some(({ atMs }) => atMs > bornMs);
    await room.until('it is up', isUp, 8000);
    await room.until('a cut is made', isCut, 3000).catch(() => undefined);
    await wait(chance() * 40);
  }
  const diedMs = performance.now();
  daemon.child.kill('SIGKILL');
  await daemon.exited;
  // What it had said before is still on its way to us.
  await wait(15);
  const said = room.commands.slice(from);
  const heat = said.find(({ drive }) => drive === 'element');
  const coolant = said.findIndex(({ drive }) => drive === 'coolant');
  const seen = room.state();
  const decided = room.events().at(-1)?.atMs ?? bornMs;
  return {
    plan,
    livedMs: diedMs - bornMs,
    isTakenUp,
    heatOffMs: heat === undefined ? null : heat.atMs - bornMs,
    coolantFirst: heat === undefined ? null : coolant >= 0 && coolant < said.indexOf(heat),
    killedIn: said.length === 0 ? 'starting' : `${seen?.state ?? '?'} ${seen?.phase ?? '?'}`,
    afterDecisionMs: diedMs - decided,
  };
}

/** An event without what only one side has: time, words. */
function keyOf(event: Readonly<Record<string, unknown>>): string {
  const sort = (value: unknown): unknown => {
    if (value === null || typeof value !== 'object') return value;
    if (Array.isArray(value)) return value.map(sort);
    const { at, atS, atMs, reason, ...rest } = value as Record<string, unknown>;
    const code = (reason as { code?: string } | undefined)?.code;
    const entries = Object.entries({ ...rest, ...(code === undefined ? {} : { code }) });
    return Object.fromEntries(entries.sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, member]) => [key, sort(member)]));
  };
  return JSON.stringify(sort(event));
}

export function counted(keys: Iterable<string>): Map<string, number> {
  const counts = new Map<string, number>();
  for (const key of keys) counts.set(key, (counts.get(key) ?? 0) + 1);
  return counts;
}

/** No heat in a life before somebody ordered it in that life; never heat with every receiver closed. */
function judgeCommands(commands: readonly HeardCommand[], room: Stillroom): string[] {
  const complaints: string[] = [];
  const ordered = room.events('order').filter((event) => event.accepted === true);
  const stands = new Map<string, unknown>();
  let tag = '';
  let bornMs = 0;
  for (const command of commands) {
    const owner = command.id.split('-')[0] ?? '';
    if (owner !== tag) {
      tag = owner;
      bornMs = command.atMs;
    }
    stands.set(command.drive, command.value);
    if (command.ageS > command.ttlS) complaints.push(`${command.id} came ${command.ageS} s late`);
    if (command.drive !== 'element' || command.value === 0) continue;
    const isOrdered = ordered.some(
      ({ order, atMs }) =>
        atMs >= bornMs && atMs <= command.atMs + 50 && ['start', 'resume'].includes((order as { kind: string }).kind),
    );
    if (!isOrdered) complaints.push(`${command.id}: heat on without an order in this life`);
    if (!valves.some((valve) => stands.get(valve) === 1))
      complaints.push(`${command.id}: heat on and all receivers closed`);
  }
  return complaints;
}

/** A change of a drive is written down before it leaves, but for what makes the still safe; a repetition need not be. */
function judgeLeft(kept: readonly Decision[], heard: readonly HeardCommand[]): string[] {
  const commands = kept.flatMap((one) => (one.kind === 'command' ? [one.command] : []));
  const numberOf = (id: string) => Number(id.slice(1));
  const isKept = (id: string, drive: string, value: unknown): boolean => {
    const before = commands.filter((one) => one.drive === drive && numberOf(one.id) <= numberOf(id));
    // Where its first message came too late to be sent, a repetition is the first that is heard.
    const last = before.reduce((latest, one) => Math.max(latest, numberOf(one.id)), 0);
    return before.some((one) => numberOf(one.id) === last && one.value === value);
  };
  const before = new Map<string, string>();
  return heard.flatMap(({ id, drive, value, reason }) => {
    const [life = '', ...rest] = id.split('-');
    const isAgain = rest[0] === 'again' || before.get(`${life} ${drive}`) === String(value);
    before.set(`${life} ${drive}`, String(value));
    const isPath = reason.includes('a hot still keeps one receiver open');
    const isSafe = (drive === 'element' && value === 0) || (drive === 'coolant' && value === 1) || isPath;
    if (isAgain || isSafe || isKept(rest.join('-'), drive, value)) return [];
    return [`command ${id} ${drive} ${value} left and was not kept: ${reason}`];
  });
}

function judgeRecord(folder: string, room: Stillroom, taken: ReadonlySet<string>): Omit<Lane, 'lives'> {
  const complaints: string[] = [];
  const journal = valueOrThrow(openJournal(join(folder, 'data', 'record.sqlite'), { readOnly: true, check: 'full' }));
  const runs = valueOrThrow(journal.runs());
  const kept: Decision[] = [];
  let restarts = 0;
  for (const { runId } of runs.toReversed()) {
    const chain = valueOrThrow(journal.verify(runId));
    if (chain.kind !== 'whole' || chain.lost) complaints.push(`${runId}: the chain is ${JSON.stringify(chain)}`);
    const replayed = valueOrThrow(replayRun(journal, runId, engine));
    if (replayed.kind !== 'same')
      complaints.push(`${runId}: replay differs: ${JSON.stringify(replayed).slice(0, 600)}`);
    let phase = 'idle';
    for (const one of journal.readDecisions(runId)) {
      if (one.kind === 'mark') {
        if (one.mark.mark === 'continued') restarts += 1;
        continue;
      }
      kept.push(one.decision);
      if (one.decision.kind !== 'event' || one.decision.event.kind !== 'phase') continue;
      const { from, to } = one.decision.event;
      if (from !== phase) complaints.push(`${runId}: ${from} → ${to} follows ${phase}`);
      phase = to;
    }
  }
  journal.close();
  const events = kept.flatMap((one) => (one.kind === 'event' ? [one.event] : []));
  const recorded = counted(events.map((event) => keyOf(event as unknown as Record<string, unknown>)));
  // Before a run and after it nothing is recorded.
  const inRun = room.events().filter(({ atMs }) => atMs >= (room.events('phase')[0]?.atMs ?? 0));
  const heard = counted(inRun.map(keyOf));
  for (const [key, count] of heard) {
    const known = recorded.get(key) ?? 0;
    if (known < count) complaints.push(`heard ${count} times, kept ${known} times: ${key.slice(0, 300)}`);
  }
  const answered = counted(
    events.flatMap((event) => (event.kind === 'order' && event.accepted ? [event.order.id] : [])),
  );
  for (const id of taken)
    if (answered.get(id) !== 1) complaints.push(`order ${id} was kept ${answered.get(id) ?? 0} times`);
  for (const [id, count] of answered) if (count > 1) complaints.push(`order ${id} was carried out ${count} times`);
  complaints.push(...judgeLeft(kept, room.commands));
  return {
    runs: runs.length,
    eventsHeard: inRun.length,
    decisionsKept: kept.length,
    restartsKept: restarts,
    cuts: events.filter((event) => event.kind === 'phase').length,
    complaints,
  };
}

export interface CampaignOptions {
  readonly brokerUrl: string;
  readonly folder: string;
  readonly id: string;
  readonly kills: number;
  readonly seed: number;
  readonly speed: number;
  readonly told?: (killed: number, life: Life) => void;
  /** Judging takes all this process has: it waits for this, so that another lane is not kept from its kills. */
  readonly beforeJudging?: () => Promise<unknown>;
}

/** Kills the daemon of one still again and again in the middle of its work, then compares its record with what was heard of it. */
export async function killAgainAndAgain(options: CampaignOptions): Promise<Lane> {
  const { brokerUrl, id, kills, speed } = options;
  const folder = join(options.folder, id);
  mkdirSync(folder, { recursive: true });
  const file = writeStillroom({ brokerUrl, folder, id, speed });
  const room = await openStillroom({ url: brokerUrl, id, deadManMs: 30_000 / speed });
  room.probes.vapourC = 78.5;
  room.probes.airHPa = 961;
  const { uniform } = randomOf(options.seed);
  const taken = new Set<string>();
  const lives: Life[] = [];
  let isOver = false;
  let daemon: Running | null = null;
  const operator = operate(room, () => isOver, taken);
  try {
    for (let kill = 0; kill < kills; kill += 1) {
      const life = await liveAndDie(room, file, uniform, (running) => {
        daemon = running;
      });
      lives.push(life);
      options.told?.(kill + 1, life);
    }
    // And once more to the end, to see that it can be resumed.
    const last = runMiddlecut(['serve', '--config', file]);
    daemon = last;
    const bornMs = performance.now();
    const isResumed = () =>
      room
        .events('order')
        .some(
          (event) =>
            event.atMs > bornMs && (event.order as { kind: string }).kind === 'resume' && event.accepted === true,
        );
    await room.until('the run is resumed', () => isResumed() && room.heater.isOn, 15_000);
    isOver = true;
    await operator;
    const code = await last.end('SIGTERM');
    await wait(50);
    await options.beforeJudging?.();
    const judged = judgeRecord(folder, room, taken);
    const complaints = [...judged.complaints, ...judgeCommands(room.commands, room)];
    if (code !== 0) complaints.push(`ended with ${code}: ${last.text().slice(-500)}`);
    return { ...judged, lives, complaints };
  } finally {
    isOver = true;
    await operator;
    await (daemon as Running | null)?.end('SIGKILL');
    await room.close();
  }
}

export function percentile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? Number.NaN;
}

/** As `killAgainAndAgain`, for several stills side by side over one broker. */
export function killInLanes(
  options: Omit<CampaignOptions, 'id' | 'beforeJudging'>,
  lanes: number,
): Promise<readonly Lane[]> {
  let busy = lanes;
  let allDone: () => void = () => undefined;
  const done = new Promise<void>((resolve) => {
    allDone = resolve;
  });
  const beforeJudging = (): Promise<void> => {
    busy -= 1;
    if (busy === 0) allDone();
    return done;
  };
  return Promise.all(
    Array.from({ length: lanes }, (_, lane) =>
      killAgainAndAgain({
        ...options,
        id: `pot-${lane + 1}`,
        kills: Math.ceil(options.kills / lanes),
        seed: options.seed * 1000 + lane,
        beforeJudging,
      }),
    ),
  );
}
