import { type Draft, note } from '../engine/course';
import type { AlarmMemory, AlarmTransition, Order } from '../engine/types';
import { ruleOfAlarm } from './index';
import { alarmEvent } from './life-cycle';

const longestShelfS = 8 * 3600;
const usualShelfS = 1800;

/** Orders about alarms; `all` acknowledges everything that stands. Null where the alarm meant is not known. */
export function obeyAlarmOrder(draft: Draft, order: Order): Draft | null {
  const { run } = draft;
  const all = order.kind === 'acknowledge' && (order.target === undefined || order.target === 'all');
  const targets = all ? Object.keys(run.alarms).filter((id) => run.alarms[id]?.standing) : [order.target ?? ''];
  let next = draft;
  for (const target of targets) {
    const rule = ruleOfAlarm(target);
    const memory = run.alarms[target];
    if (rule === null || memory === undefined) return null;
    const { memory: changed, transitions } = apply(order, memory, run.now);
    const reason = { code: `alarm.${order.kind}`, numbers: { by: order.by, alarm: target } };
    next = note(
      { ...next, run: { ...next.run, alarms: { ...next.run.alarms, [target]: changed } } },
      ...transitions.map((transition) => alarmEvent(target, rule, transition, run.now, reason)),
    );
  }
  return next;
}

function apply(
  order: Order,
  memory: AlarmMemory,
  now: number,
): { memory: AlarmMemory; transitions: AlarmTransition[] } {
  switch (order.kind) {
    case 'acknowledge':
      if (!memory.standing) return { memory, transitions: [] };
      if (memory.active)
        return { memory: { ...memory, acknowledged: true }, transitions: memory.acknowledged ? [] : ['acknowledged'] };
      return {
        memory: { ...memory, acknowledged: true, standing: false, reason: null, raisedAtS: null },
        transitions: memory.acknowledged ? ['cleared'] : ['acknowledged', 'cleared'],
      };
    case 'shelve':
      return {
        memory: { ...memory, shelvedUntilS: now + Math.min(order.forS ?? usualShelfS, longestShelfS) },
        transitions: ['shelved'],
      };
    case 'unshelve':
      return {
        memory: { ...memory, shelvedUntilS: null },
        transitions: memory.shelvedUntilS === null ? [] : ['unshelved'],
      };
    case 'out-of-service':
      return { memory: { ...memory, outOfService: true }, transitions: ['out-of-service'] };
    case 'return-to-service':
      return {
        memory: { ...memory, outOfService: false },
        transitions: memory.outOfService ? ['returned-to-service'] : [],
      };
    default:
      return { memory, transitions: [] };
  }
}
