import { type Draft, note } from '../engine/course';
import type { AlarmMemory, AlarmTransition, Order, Plant, Run } from '../engine/types';
import { ruleOfAlarm } from './index';
import { alarmEvent, alarmNormal, alarmsOf, isAnnounced } from './life-cycle';

/** A shelf is for a while, never for good [s]. */
export const longestShelfS = 8 * 3600;
const usualShelfS = 1800;

/** Orders about alarms; `all` acknowledges everything that stands. Null where the alarm meant is not known. */
export function obeyAlarmOrder(plant: Plant, draft: Draft, order: Order): Draft | null {
  const { run } = draft;
  const all = order.kind === 'acknowledge' && (order.target === undefined || order.target === 'all');
  const targets = all ? Object.keys(run.alarms).filter((id) => run.alarms[id]?.standing) : [order.target ?? ''];
  let next = draft;
  for (const target of targets) {
    const rule = alarmsOf(plant).find((one) => one.id === target)?.rule;
    if (rule === undefined) return null;
    const memory = run.alarms[target] ?? alarmNormal;
    const { memory: changed, transitions } = apply(order, memory, run.now);
    const reason = { code: `alarm.${order.kind}`, numbers: { by: order.by, alarm: target } };
    next = note(
      { ...next, run: { ...next.run, alarms: { ...next.run.alarms, [target]: changed } } },
      ...transitions.map((transition) => alarmEvent(target, rule, transition, run.now, reason, isAnnounced(changed))),
    );
  }
  return next;
}

/** Until when a shelf lasts: what was asked for, at most eight hours; nonsense is the usual half hour [s]. */
function shelfS(forS: number | undefined): number {
  if (forS === undefined || !Number.isFinite(forS) || forS <= 0) return usualShelfS;
  return Math.min(forS, longestShelfS);
}

interface Applied {
  readonly memory: AlarmMemory;
  readonly transitions: AlarmTransition[];
}

function apply(order: Order, memory: AlarmMemory, now: number): Applied {
  switch (order.kind) {
    case 'acknowledge':
      return acknowledge(memory);
    case 'shelve':
      return { memory: { ...memory, shelvedUntilS: now + shelfS(order.forS) }, transitions: ['shelved'] };
    case 'unshelve':
      return {
        memory: { ...memory, shelvedUntilS: null },
        transitions: memory.shelvedUntilS === null ? [] : ['unshelved'],
      };
    case 'out-of-service':
      return { memory: { ...memory, outOfService: true }, transitions: memory.outOfService ? [] : ['out-of-service'] };
    case 'return-to-service':
      return {
        memory: { ...memory, outOfService: false },
        transitions: memory.outOfService ? ['returned-to-service'] : [],
      };
    default:
      return { memory, transitions: [] };
  }
}

/** Acknowledging what is still there answers it; acknowledging what has gone clears it, latched or not. */
function acknowledge(memory: AlarmMemory): Applied {
  if (!memory.standing) return { memory, transitions: [] };
  if (memory.active)
    return { memory: { ...memory, acknowledged: true }, transitions: memory.acknowledged ? [] : ['acknowledged'] };
  return { memory: cleared(memory), transitions: memory.acknowledged ? ['cleared'] : ['acknowledged', 'cleared'] };
}

function cleared(memory: AlarmMemory): AlarmMemory {
  return { ...memory, acknowledged: true, standing: false, reason: null, raisedAtS: null };
}

/** The alarm that stands in the way of taking a trip back: still there, or not yet acknowledged. */
export function unansweredTrip(run: Run): { readonly trip: string; readonly why: 'active' | 'unacknowledged' } | null {
  for (const { id } of run.trips) {
    const memory = run.alarms[id];
    if (memory?.active === true) return { trip: id, why: 'active' };
    if (memory?.acknowledged === false) return { trip: id, why: 'unacknowledged' };
  }
  return null;
}

/** Takes all trips back, and with them the alarms that were acknowledged, have gone and only stayed latched. */
export function resetTrips(draft: Draft): Draft {
  const { run } = draft;
  let next: Draft = { ...draft, run: { ...run, trips: [], stuckReceiver: null } };
  for (const { id } of run.trips) {
    const reason = { code: 'trip.reset', numbers: { trip: id } };
    next = note(next, { kind: 'trip', atS: run.now, trip: id, state: 'reset', reason });
    const memory = run.alarms[id];
    const rule = ruleOfAlarm(id);
    if (memory === undefined || rule === null || memory.active || !memory.standing) continue;
    const changed = cleared(memory);
    const alarms = { ...next.run.alarms, [id]: changed };
    next = note(
      { ...next, run: { ...next.run, alarms } },
      alarmEvent(id, rule, 'cleared', run.now, reason, isAnnounced(changed)),
    );
  }
  return next;
}
