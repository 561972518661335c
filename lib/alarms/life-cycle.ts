import { type Draft, hold, note } from '../engine/course';
import type { AlarmMemory, AlarmTransition, Event, Plant, Reason, Run } from '../engine/types';
import { alarmRules } from './index';
import { type AlarmRule, type AlarmVerdict, alarmId } from './rule';

export const alarmNormal: AlarmMemory = {
  active: false,
  trueSinceS: null,
  falseSinceS: null,
  acknowledged: true,
  standing: false,
  raisedAtS: null,
  shelvedUntilS: null,
  outOfService: false,
  suppressed: false,
  reason: null,
  raisings: [],
};

/** Life-cycle state by ISA-18.2 / IEC 62682. */
export type AlarmState = 'normal' | 'unacknowledged' | 'acknowledged' | 'returned-unacknowledged' | 'latched';

export function alarmState(memory: AlarmMemory): AlarmState {
  if (memory.active) return memory.acknowledged ? 'acknowledged' : 'unacknowledged';
  if (!memory.standing) return 'normal';
  return memory.acknowledged ? 'latched' : 'returned-unacknowledged';
}

/** Whether it may be announced: shelved, suppressed and out-of-service alarms are evaluated but silent. */
export function isAnnounced(memory: AlarmMemory): boolean {
  return memory.shelvedUntilS === null && !memory.outOfService && !memory.suppressed;
}

const raisingsKept = 10;

/** Evaluates every alarm of the still, and lets those with an interlock trip. A trip latches; silence does not undo it. */
export function watchAlarms(plant: Plant, draft: Draft): Draft {
  let next = draft;
  for (const rule of alarmRules) {
    for (const instance of rule.instances(plant)) next = watchOne(plant, next, rule, instance);
  }
  return next;
}

function watchOne(plant: Plant, draft: Draft, rule: AlarmRule, instance: string): Draft {
  const { run } = draft;
  const id = alarmId(rule, instance);
  const before = run.alarms[id] ?? alarmNormal;
  const verdict = rule.judge({ plant, run, now: run.now, instance, active: before.active });
  const { memory, transitions } = step(rule, before, verdict, run);
  if (memory === before && transitions.length === 0) return draft;
  const reason = memory.reason ?? verdict.reason;
  const events = transitions.map((transition) => alarmEvent(id, rule, transition, run.now, reason));
  const raised = transitions.includes('raised');
  const alarmed: Run = {
    ...run,
    alarms: { ...run.alarms, [id]: memory },
    firstOut: raised && run.firstOut === null && rule.priority !== 'low' ? id : run.firstOut,
  };
  const noted = note({ ...draft, run: alarmed }, ...events);
  return raised && rule.interlock !== null ? trip(plant, noted, id, reason) : noted;
}

/** A latched interlock: heat off until acknowledged, gone and ordered to resume. */
export function trip(plant: Plant, draft: Draft, id: string, reason: Reason): Draft {
  const { run } = draft;
  if (run.trips.some((standing) => standing.id === id)) return draft;
  const event: Event = { kind: 'trip', atS: run.now, trip: id, state: 'tripped', reason };
  const tripped = note({ ...draft, run: { ...run, trips: [...run.trips, { id, atS: run.now, reason }] } }, event);
  return hold(plant, tripped, { code: 'held.trip', numbers: { trip: id }, because: [reason] });
}

function step(
  rule: AlarmRule,
  before: AlarmMemory,
  verdict: AlarmVerdict,
  run: Run,
): { memory: AlarmMemory; transitions: AlarmTransition[] } {
  const now = run.now;
  const transitions: AlarmTransition[] = [];
  let memory = withFlags(rule, before, run, transitions);
  const on = verdict.on;
  const trueSinceS = on === true ? (memory.trueSinceS ?? now) : on === false ? null : memory.trueSinceS;
  const falseSinceS = on === false ? (memory.falseSinceS ?? now) : on === true ? null : memory.falseSinceS;
  if (trueSinceS !== memory.trueSinceS || falseSinceS !== memory.falseSinceS)
    memory = { ...memory, trueSinceS, falseSinceS };
  if (!memory.active && on === true && trueSinceS !== null && now - trueSinceS >= rule.onDelayS) {
    transitions.push('raised');
    const raisings = [...memory.raisings, now].slice(-raisingsKept);
    memory = {
      ...memory,
      active: true,
      standing: true,
      acknowledged: false,
      raisedAtS: now,
      reason: verdict.reason,
      raisings,
    };
  } else if (memory.active && on === false && falseSinceS !== null && now - falseSinceS >= rule.offDelayS) {
    transitions.push('returned');
    const stands = !memory.acknowledged || rule.latched;
    memory = { ...memory, active: false, standing: stands, ...(stands ? {} : { reason: null, raisedAtS: null }) };
    if (!stands) transitions.push('cleared');
  }
  return { memory, transitions };
}

function withFlags(rule: AlarmRule, before: AlarmMemory, run: Run, transitions: AlarmTransition[]): AlarmMemory {
  let memory = before;
  if (memory.shelvedUntilS !== null && run.now >= memory.shelvedUntilS) {
    memory = { ...memory, shelvedUntilS: null };
    transitions.push('unshelved');
  }
  const suppressed = rule.suppressedIn.includes(run.phase);
  if (suppressed !== memory.suppressed) {
    memory = { ...memory, suppressed };
    if (memory.standing) transitions.push(suppressed ? 'suppressed' : 'unsuppressed');
  }
  return memory;
}

export function alarmEvent(
  id: string,
  rule: AlarmRule,
  transition: AlarmTransition,
  now: number,
  reason: Reason,
): Event {
  return { kind: 'alarm', atS: now, alarm: id, transition, priority: rule.priority, reason };
}
