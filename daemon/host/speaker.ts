import { ruleOfAlarm } from '../../lib/alarms';
import { alarmNormal, alarmsOf } from '../../lib/alarms/life-cycle';
import type { Event } from '../../lib/engine/types';
import { topicsOf } from '../../lib/wire';
import { type Announcer, iso } from './announce';
import type { HostLog, Outlet } from './host';
import type { StillHost, Turn } from './still-host';

export interface SpeakerOptions {
  readonly outlet: Outlet;
  readonly announcer: Announcer;
  readonly log: HostLog;
  readonly monotonicMs: () => number;
  readonly onEvent?: (still: StillHost, event: Event) => void;
}

/** Says on our topics and in the log what a turn came to. How often is counted by the monotonic clock: the one on the wall may jump. */
export interface Speaker {
  say(still: StillHost, turn: Turn, atMs: number): void;
  /** Every alarm of a still as it stands, so that a word an earlier process left at the broker is not believed for ever. */
  sayAlarms(still: StillHost, atMs: number): void;
}

/** State is said again this often, so that a late or forgetful reader is right soon [ms]. */
const sayAgainMs = 10_000;
const pointEveryMs = 1000;

export function createSpeaker({ outlet, announcer, log, monotonicMs, onEvent }: SpeakerOptions): Speaker {
  const said = new Map<string, { readonly nowMs: number; readonly text: string }>();
  const pointsAt = new Map<string, number>();
  const beats = new Map<string, { readonly scans: number; readonly nowMs: number }>();

  function sayOnce(topic: string, text: string, nowMs: number, again: boolean): void {
    const last = said.get(topic);
    if (last?.text === text && (!again || nowMs - last.nowMs < sayAgainMs)) return;
    said.set(topic, { nowMs, text });
    outlet.retain(topic, text);
  }

  function sayState(still: StillHost, nowMs: number, decided: boolean): void {
    const topics = topicsOf(still.still.id);
    sayOnce(topics.phase, still.run.phase, nowMs, false);
    const last = said.get(topics.state);
    if (!decided && last !== undefined && nowMs - last.nowMs < pointEveryMs) return;
    const state = announcer.state(still.plant, still.run, still.runId, still.sinceMs);
    sayOnce(topics.state, JSON.stringify(state), nowMs, true);
  }

  function sayPoints(still: StillHost, nowMs: number, atMs: number): void {
    const id = still.still.id;
    if (nowMs - (pointsAt.get(id) ?? Number.NEGATIVE_INFINITY) < pointEveryMs) return;
    pointsAt.set(id, nowMs);
    const topics = topicsOf(id);
    for (const point of Object.keys(still.still.points)) {
      outlet.passing(topics.point(point), JSON.stringify(announcer.point(still.plant, still.run, point, atMs)));
    }
  }

  /** Only a scan that really ran beats, and not more often than anybody could watch. */
  function beat(still: StillHost, nowMs: number, atMs: number): void {
    const id = still.still.id;
    const last = beats.get(id) ?? { scans: 0, nowMs: Number.NEGATIVE_INFINITY };
    const scans = last.scans + 1;
    const due = nowMs - last.nowMs >= pointEveryMs;
    beats.set(id, { scans, nowMs: due ? nowMs : last.nowMs });
    if (due) outlet.passing(topicsOf(id).heartbeat, JSON.stringify({ scan: scans, at: iso(atMs) }));
  }

  return {
    say(still, turn, atMs) {
      const nowMs = monotonicMs();
      const topics = topicsOf(still.still.id);
      for (const event of turn.events) {
        if (event.kind === 'order') outlet.event(topics.orderAnswer, JSON.stringify(announcer.answer(event)));
        if (event.kind === 'alarm') {
          outlet.retain(topics.alarm(event.alarm), JSON.stringify(announcer.alarm(still.run, event, atMs)));
        }
        outlet.event(topics.event, JSON.stringify(announcer.event(event, atMs)));
        logEvent(still, event, announcer, log);
        onEvent?.(still, event);
      }
      const decided = turn.events.some((event) => event.kind !== 'quality');
      sayState(still, nowMs, decided);
      sayPoints(still, nowMs, atMs);
      beat(still, nowMs, atMs);
    },
    sayAlarms(still, atMs) {
      const topics = topicsOf(still.still.id);
      for (const { id: alarm, rule } of alarmsOf(still.plant)) {
        const memory = still.run.alarms[alarm] ?? alarmNormal;
        const event = {
          kind: 'alarm',
          atS: still.run.now,
          alarm,
          transition: memory.standing ? 'raised' : 'cleared',
          priority: ruleOfAlarm(alarm)?.priority ?? rule.priority,
          reason: memory.reason ?? { code: 'alarm.normal', numbers: {} },
        } as const;
        outlet.retain(topics.alarm(alarm), JSON.stringify(announcer.alarm(still.run, event, atMs)));
      }
    },
  };
}

function logEvent(still: StillHost, event: Event, announcer: Announcer, log: HostLog): void {
  const { text } = announcer.reason(event.reason);
  const about = { still: still.still.id, kind: event.kind, engineS: Math.round(event.atS) };
  if (event.kind === 'phase') {
    log.info({ ...about, from: event.from, to: event.to }, `${event.from} → ${event.to}: ${text}`);
  } else if (event.kind === 'alarm') {
    const line = `alarm ${event.alarm} ${event.transition}: ${text}`;
    if (event.transition === 'raised') log.warn({ ...about, alarm: event.alarm }, line);
    else log.info({ ...about, alarm: event.alarm }, line);
  } else if (event.kind === 'trip' || event.kind === 'fault') log.warn(about, `${event.kind}: ${text}`);
  else log.info(about, `${event.kind}: ${text}`);
}
