/*
 * The one place with timers. Nodes join; each is scanned when it asked for it and at least once in its period.
 */

/** What has timers: Node's own, or a test's. */
export interface Timers {
  readonly nowMs: () => number;
  readonly every: (ms: number, call: () => void) => () => void;
  readonly after: (ms: number, call: () => void) => () => void;
  readonly soon: (call: () => void) => void;
}

export interface Member {
  /** The longest time between two beats [ms]. */
  readonly periodMs: number;
  beat(): void;
}

export interface Joined {
  /** Readings came: beat soon, but not more often than every gap. */
  readingsCame(): void;
  /** An order came: beat in this turn of the event loop. */
  orderCame(): void;
  /** Something is on its way, to the disk for one: simulated time stands still until it is done. */
  waitFor(done: Promise<unknown>): void;
  leave(): void;
}

/** Two beats for readings are at least this far apart, so that a flood of messages costs no flood of scans [ms]. */
export const readingGapMs = 50;
/** Simulated time may run fast, but no beat comes sooner than this after the one before [ms]. */
export const shortestPeriodMs = 5;

export const nodeTimers: Timers = {
  nowMs: () => performance.now(),
  every: (ms, call) => {
    const timer = setInterval(call, ms);
    return () => clearInterval(timer);
  },
  after: (ms, call) => {
    const timer = setTimeout(call, ms);
    return () => clearTimeout(timer);
  },
  soon: (call) => {
    setImmediate(call);
  },
};

/** A clock for simulated stills: it moves only when the pulse ticks, and never far at once. */
interface SimulatedClock {
  shownMs: number;
  readonly longestMs: number;
}

/** A scan that came much later would find everything changed: simulated time moves on by this at a tick at most [engine s]. */
const longestTickS = 2;
/** Turns of the event loop a message may take from node to node until its answer is back; simulated time waits for it. */
const turnsUnderWay = 10;

interface Place {
  readonly member: Member;
  lastMs: number;
  waits: (() => void) | null;
  ordered: boolean;
  left: boolean;
}

export interface Pulse {
  join(member: Member): Joined;
  /**
   * The clock for a still of a speed: the real one, or one that all nodes of simulated stills share and that stands
   * still while the computer is busy or messages are under way: a valve that answers in a second of its own time does so
   * on any computer, however fast the time runs.
   */
  clock(speed: number): () => number;
  readonly size: number;
}

export function createPulse(timers: Timers): Pulse {
  const places = new Set<Place>();
  const clocks = new Map<number, SimulatedClock>();
  let stop: (() => void) | null = null;
  let intervalMs = 0;
  let tickedMs = timers.nowMs();
  let underWay = 0;

  /** Holds simulated time for some turns of the event loop. */
  function letArrive(turns: number): void {
    underWay += 1;
    const turn = (left: number): void => {
      if (left === 0) underWay -= 1;
      else timers.soon(() => turn(left - 1));
    };
    turn(turns);
  }

  function beat(place: Place): void {
    place.waits?.();
    place.waits = null;
    if (place.left) return;
    place.lastMs = timers.nowMs();
    place.member.beat();
  }

  function rhythm(): void {
    // Four looks a period, so that a beat for readings in between never stretches one to two periods.
    const wanted = Math.min(...[...places].map((place) => place.member.periodMs)) / 4;
    if (places.size > 0 && wanted === intervalMs) return;
    stop?.();
    stop = null;
    intervalMs = places.size === 0 ? 0 : wanted;
    if (places.size > 0) stop = timers.every(intervalMs, tick);
  }

  function tick(): void {
    const nowMs = timers.nowMs();
    if (underWay === 0 && clocks.size > 0) {
      for (const clock of clocks.values()) clock.shownMs += Math.min(nowMs - tickedMs, clock.longestMs);
      letArrive(turnsUnderWay);
    }
    tickedMs = nowMs;
    // A little early is on time: two timers never agree to the millisecond.
    for (const place of [...places]) if (nowMs - place.lastMs >= place.member.periodMs * 0.99) beat(place);
  }

  return {
    get size() {
      return places.size;
    },
    clock(speed) {
      if (speed <= 1) return timers.nowMs;
      const known = clocks.get(speed) ?? { shownMs: timers.nowMs(), longestMs: (longestTickS * 1000) / speed };
      clocks.set(speed, known);
      return () => known.shownMs;
    },
    join(member) {
      const place: Place = { member, lastMs: timers.nowMs(), waits: null, ordered: false, left: false };
      places.add(place);
      rhythm();
      return {
        readingsCame() {
          if (place.waits !== null || place.ordered || place.left) return;
          const gapMs = Math.min(readingGapMs, place.member.periodMs / 4);
          const restMs = gapMs - (timers.nowMs() - place.lastMs);
          place.waits = timers.after(Math.max(0, restMs), () => beat(place));
        },
        orderCame() {
          if (place.ordered || place.left) return;
          place.ordered = true;
          timers.soon(() => {
            place.ordered = false;
            beat(place);
          });
        },
        waitFor(done) {
          underWay += 1;
          const over = () => {
            underWay -= 1;
          };
          done.then(over, over);
        },
        leave() {
          place.left = true;
          place.waits?.();
          place.waits = null;
          places.delete(place);
          rhythm();
        },
      };
    },
  };
}

/** The pulse all nodes of this Node-RED share. */
export const pulse: Pulse = createPulse(nodeTimers);

/** How often a node of a still is to beat [ms]: once a second of the still's own time. */
export function periodFor(speed: number): number {
  return Math.max(shortestPeriodMs, 1000 / speed);
}
