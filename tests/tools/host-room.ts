import { createAnnouncer } from '../../daemon/host/announce';
import { createHost, type HostOptions } from '../../daemon/host/host';
import { createStillHost, type StillHost } from '../../daemon/host/still-host';
import { type Committed, type Journal, openJournal, valueOrThrow } from '../../daemon/store';
import { type Command, checkRecipe, checkStill, type Run } from '../../lib';
import { english } from '../../lib/words';
import { good, potDocument, potRecipe } from './plants';

/** A journal that can write nothing while it is told so. */
export function failingJournal(real: Journal): { journal: Journal; fail: (isFailing: boolean) => void } {
  let isFailing = false;
  const failure = { kind: 'full', message: 'the disk is full', remedy: 'Free some space' } as const;
  const failed = (): Committed => ({ kind: 'failed', failure, runs: [], waiting: real.waiting(), retryInMs: 1000 });
  const journal: Journal = {
    ...real,
    commit: () => (isFailing ? failed() : real.commit()),
    flush: () => (isFailing ? failed() : real.flush()),
  };
  return {
    journal,
    fail: (value) => {
      isFailing = value;
    },
  };
}

export interface Said {
  readonly how: 'retain' | 'event' | 'passing';
  readonly topic: string;
  readonly text: string;
}

/** A host with one still, its clocks moved by the test, and everything it says kept. */
export function hostRoom(more: Partial<HostOptions> & { readonly start?: Run } = {}) {
  let monotonicMs = 1000;
  let wallMs = Date.UTC(2026, 3, 1, 12);
  const { journal, fail } = failingJournal(valueOrThrow(openJournal(':memory:', { clockMs: () => monotonicMs })));
  const still: StillHost = createStillHost({
    still: good(checkStill({ ...potDocument, graceS: 100_000 })),
    recipes: [good(checkRecipe(potRecipe))],
    speed: 1,
    journal,
    wallClockMs: () => wallMs,
    monotonicMs: () => monotonicMs,
    resumed: null,
  });
  const told: Command[] = [];
  const said: Said[] = [];
  const note = (how: Said['how']) => (topic: string, text: string) => {
    said.push({ how, topic, text });
  };
  const host = createHost({
    stills: [still],
    journal,
    announcer: createAnnouncer(english),
    log: { info: () => undefined, warn: () => undefined, error: () => undefined },
    wallClockMs: () => wallMs,
    monotonicMs: () => monotonicMs,
    tickMs: 1e6,
    outlet: {
      retain: note('retain'),
      event: note('event'),
      passing: note('passing'),
      command: (_still, command) => {
        told.push(command);
      },
    },
    onFault: (error) => {
      throw error;
    },
    ...more,
  });
  let orders = 0;
  return {
    host,
    still,
    journal,
    told,
    said,
    fail,
    order(order: Parameters<StillHost['order']>[0]) {
      orders += 1;
      return still.order(order, 'still', `o${orders}`);
    },
    /** Seconds pass, one turn each, with readings of a still that is well. */
    pass(seconds: number, vapourC = 78.5) {
      for (let second = 0; second < seconds; second += 1) {
        monotonicMs += 1000;
        wallMs += 1000;
        still.put('vapour', vapourC + (second % 3) / 16, undefined, monotonicMs);
        still.put('boiler', 92 + (second % 5) / 16, undefined, monotonicMs);
        still.put('air', 961, undefined, monotonicMs);
        host.flush();
      }
    },
    jumpWallClock(ms: number) {
      wallMs += ms;
    },
    valueOf: (drive: string) => told.findLast((command) => command.drive === drive)?.value,
    nowMs: () => monotonicMs,
  };
}
