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
  leave(): void;
}

/** Two beats for readings are at least this far apart, so that a flood of messages costs no flood of scans [ms]. */
export const readingGapMs = 50;

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

/**
 * A clock for simulated stills, which stands still while the computer is busy: a reading that could not be made must not
 * be missed.
 *
 * @param longestMs the most it moves between two looks
 */
export function createPatientClock(nowMs: () => number, longestMs: number): () => number {
  let lookedMs = nowMs();
  let shownMs = lookedMs;
  return () => {
    const atMs = nowMs();
    shownMs += Math.min(atMs - lookedMs, longestMs);
    lookedMs = atMs;
    return shownMs;
  };
}

interface Place {
  readonly member: Member;
  lastMs: number;
  waits: (() => void) | null;
  ordered: boolean;
  left: boolean;
}

export interface Pulse {
  join(member: Member): Joined;
  readonly size: number;
}

export function createPulse(timers: Timers): Pulse {
  const places = new Set<Place>();
  let stop: (() => void) | null = null;
  let intervalMs = 0;

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
    // A little early is on time: two timers never agree to the millisecond.
    for (const place of [...places]) if (nowMs - place.lastMs >= place.member.periodMs * 0.99) beat(place);
  }

  return {
    get size() {
      return places.size;
    },
    join(member) {
      const place: Place = { member, lastMs: timers.nowMs(), waits: null, ordered: false, left: false };
      places.add(place);
      rhythm();
      return {
        readingsCame() {
          if (place.waits !== null || place.ordered || place.left) return;
          const restMs = readingGapMs - (timers.nowMs() - place.lastMs);
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

/** The clock all simulated stills of this Node-RED share; real ones go by the real one. */
const patientMs = createPatientClock(nodeTimers.nowMs, 100);

export function clockFor(speed: number): () => number {
  return speed > 1 ? patientMs : nodeTimers.nowMs;
}
