import type { Command } from '../../lib/engine/types';
import { type Saying, sayReason } from '../../lib/words';
import { type Edge, viewState } from './announce';
import type { StillClock } from './clock';
import type { Keep } from './keep';
import type { Message } from './message-value';
import { type CommandRow, commandMessage, type OutMessage, type Said, sayScan } from './messages-out';
import { createOutbox } from './outbox';
import { type Joined, type Pulse, periodFor } from './pulse';
import { isUnderWay, type Scanned, type Session } from './session';
import { type Status, statusOf } from './status';
import { createToldOnce } from './told-once';
import { sayTrouble, type Trouble, trouble } from './troubles';

/** What a station says to whatever hosts it. */
export interface Host {
  send(said: Partial<Said> & { readonly state?: OutMessage }): void;
  status(status: Status): void;
  warn(text: string): void;
  /** A recipe that came in a message; the trouble where it cannot be used. */
  recipe(document: unknown): Trouble | null;
}

export interface StationSetup {
  readonly session: Session;
  readonly clock: StillClock;
  readonly monotonicMs: () => number;
  readonly wallMs: () => number;
  readonly keep: Keep;
  readonly pulse: Pulse;
  readonly commands: readonly CommandRow[];
  readonly saying: Saying;
  readonly watchOnly: boolean;
  readonly stateEveryS: number;
  readonly host: Host;
}

export type Done = (error?: Error) => void;

/** A run or a watch at work: messages in, scans in the rhythm of the pulse, messages out, the run written down. */
export interface Station {
  take(message: Message, done: Done): void;
  /** Scans now; by the pulse, and by tests in virtual time. */
  beat(): void;
  /** The last words: drives safe (unless told otherwise), the run written down. */
  close(options: { readonly removed: boolean; readonly quiet: boolean }): readonly OutMessage[];
}

/** A temperature under the node changes at the most this often: every change is a message to every open editor [ms]. */
const showEveryMs = 500;
const withoutFigures = (text: string): string => text.replace(/\d+/g, '');

/** Saved this often while a run is under way, besides every decision [ms]. */
const saveEveryMs = 5000;

export function createStation(setup: StationSetup): Station {
  const { session, clock, host, keep, saying, wallMs, monotonicMs } = setup;
  const edge: Edge = { saying, iso: clock.iso, watchOnly: setup.watchOnly };
  const told = createToldOnce();
  const outbox = createOutbox();
  const answers = new Map<string, Done>();
  let messageCount = 0;
  let savedMs = monotonicMs();
  let stateMs = Number.NEGATIVE_INFINITY;
  let shown = '';
  let shownMs = Number.NEGATIVE_INFINITY;
  const joined: Joined = setup.pulse.join({ periodMs: periodFor(clock.speed), beat });

  const failure = (found: Trouble) => new Error(sayTrouble(found, saying.language.code));

  function news(troubles: readonly Trouble[]): Error | undefined {
    const fresh = troubles.filter((found) => told.tell(found));
    return fresh.length === 0
      ? undefined
      : new Error(fresh.map((found) => sayTrouble(found, saying.language.code)).join('; '));
  }

  function take(message: Message, done: Done): void {
    messageCount += 1;
    const id = typeof message._msgid === 'string' ? message._msgid : `m${messageCount}`;
    const outcome = session.take(message, id, clock.nowS(), wallMs());
    switch (outcome.kind) {
      case 'taken':
        for (const point of outcome.good) told.mended(point);
        joined.readingsCame();
        done(news(outcome.troubles));
        break;
      case 'ordered':
        answers.set(outcome.id, done);
        joined.orderCame();
        break;
      case 'recipe': {
        const wrong = host.recipe(outcome.document);
        done(wrong === null ? undefined : failure(wrong));
        break;
      }
      case 'refused': {
        const lasting = outcome.trouble.code === 'topic-unknown' || outcome.trouble.code === 'nothing-in-it';
        done(lasting ? news([outcome.trouble]) : failure(outcome.trouble));
        break;
      }
    }
  }

  /** Tells whoever gave an order what became of it. */
  function answer(scanned: Scanned): void {
    if (answers.size === 0) return;
    for (const event of scanned.events) {
      if (event.kind !== 'order') continue;
      const done = answers.get(event.order.id);
      if (done === undefined) continue;
      answers.delete(event.order.id);
      const why = sayReason(event.reason, saying);
      done(event.accepted ? undefined : failure(trouble('order-refused', '', { order: event.order.kind, why })));
    }
    // Whatever the engine did not answer was dropped in a flood; nobody waits for it for ever.
    for (const done of answers.values()) done();
    answers.clear();
  }

  function release(commands: readonly Command[]): void {
    if (commands.length === 0) return;
    host.send({ drives: commands.map((command) => commandMessage(command, setup.commands, edge)) });
  }

  /** Writes the run down; commands that wait for it leave afterwards, for want of a disk all the same. */
  function writeDown(waiting: readonly Command[]): void {
    savedMs = monotonicMs();
    const written = keep.save(session.saved());
    joined.waitFor(written);
    const leave = () => release(outbox.afterWriting(waiting, clock.nowS()));
    written.then(
      () => {
        told.mended('the disk');
        leave();
      },
      (error: unknown) => {
        const why = error instanceof Error ? error.message : String(error);
        const found = trouble('store-failing', 'the disk', { why });
        if (told.tell(found)) host.warn(sayTrouble(found, saying.language.code));
        leave();
      },
    );
  }

  function beat(): void {
    const scanned = session.scan(clock.nowS());
    const decided = scanned.events.length > 0 || scanned.commands.some((command) => !command.repeat);
    const atOnce = outbox.atOnce(scanned.commands, decided);
    const said = sayScan({ ...scanned, commands: atOnce }, setup.commands, edge);
    const due = scanned.events.length > 0 || monotonicMs() - stateMs >= setup.stateEveryS * 1000;
    if (due) stateMs = monotonicMs();
    host.send(due ? { ...said, state: stateOf(scanned) } : said);
    const waiting = scanned.commands.filter((command) => !atOnce.includes(command));
    if (decided || (isUnderWay(scanned.run) && monotonicMs() - savedMs >= saveEveryMs)) writeDown(waiting);
    answer(scanned);
    show(scanned);
  }

  function stateOf({ plant, run }: Scanned): OutMessage {
    return { topic: `${plant.still.id}/state`, payload: viewState(plant, run, edge) };
  }

  /** News at once; a temperature that only moved, not more often than people can read it. */
  function show(scanned: Scanned): void {
    const status = statusOf(scanned.plant, scanned.run, setup.watchOnly, saying);
    const look = `${status.fill}${status.shape}${status.text}`;
    const isNews = withoutFigures(look) !== withoutFigures(shown);
    if (look === shown || (!isNews && monotonicMs() - shownMs < showEveryMs)) return;
    shown = look;
    shownMs = monotonicMs();
    host.status(status);
  }

  return {
    take,
    beat,
    close({ removed, quiet }) {
      joined.leave();
      const last = quiet ? [] : session.farewell(clock.nowS());
      for (const done of answers.values()) done();
      answers.clear();
      try {
        if (removed && !isUnderWay(session.run)) keep.remove();
        else keep.saveNow(session.saved());
      } catch (error) {
        const why = error instanceof Error ? error.message : String(error);
        host.warn(sayTrouble(trouble('store-failing', 'the disk', { why }), saying.language.code));
      }
      return last.map((command) => commandMessage(command, setup.commands, edge));
    },
  };
}
