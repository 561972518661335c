import { type Draft, hold, note } from '../engine/course';
import { meterOf } from '../engine/hot';
import type { AlarmMemory, AlarmTransition, Event, Plant, Reason, Run, Watch } from '../engine/types';
import { alarmRules } from './index';
import { type AlarmRule, type AlarmVerdict, alarmId } from './rule';
import { followWatch } from './watch';

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

/** Life-cycle state by ISA-18.2 / IEC 62682; `latched` is acknowledged and gone, and waits for the reset. */
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

/** One alarm of one still. */
export interface Watched {
  readonly id: string;
  readonly rule: AlarmRule;
  readonly instance: string;
}

const watchedOf = new WeakMap<Plant['still'], readonly Watched[]>();

/** Every alarm this still can have, worked out once; those that trip stand first, so that the first-out is the cause. */
export function alarmsOf(plant: Plant): readonly Watched[] {
  const known = watchedOf.get(plant.still);
  if (known !== undefined) return known;
  const all = alarmRules.flatMap((rule) =>
    rule.instances(plant).map((instance) => ({ id: alarmId(rule, instance), rule, instance })),
  );
  watchedOf.set(plant.still, all);
  return all;
}

/** Takes rules out of a still that nothing is commanded on, a log that is played again: they compare our word with the world. */
export function leaveOut(plant: Plant, ids: readonly string[]): void {
  const kept = alarmsOf(plant).filter(({ rule }) => !ids.includes(rule.id));
  watchedOf.set(plant.still, kept);
}

const raisingsKept = 10;

/** Evaluates every alarm of the still, and lets those with an interlock trip. A trip latches; silence does not undo it. */
export function watchAlarms(plant: Plant, draft: Draft): Draft {
  const watch = followWatch(plant, draft.run);
  const run: Run = { ...draft.run, watch };
  const all = alarmsOf(plant);
  let memories = stillKnown(run.alarms, all);
  const events: Event[] = [];
  const raised: { readonly one: Watched; readonly reason: Reason }[] = [];
  // One context for all, changed from rule to rule: none of them keeps it.
  const context = { plant, run, watch, now: run.now, instance: '', active: false };
  for (const one of all) {
    const before = memories[one.id] ?? alarmNormal;
    context.instance = one.instance;
    context.active = before.active;
    const verdict = one.rule.judge(context);
    const suppressed = isSuppressed(one.rule, run, memories);
    if (verdict.on !== true && isAtRest(before) && suppressed === before.suppressed) continue;
    const { memory, transitions } = stepAlarm(one.rule, before, verdict, {
      now: run.now,
      suppressed,
      confirmed: one.rule.confirm !== true || isConfirmed(plant, run, one.instance, before),
    });
    if (memory !== before) {
      if (memories === run.alarms) memories = { ...memories };
      memories[one.id] = memory;
    }
    const reason = memory.reason ?? before.reason ?? verdict.reason;
    for (const transition of transitions) {
      events.push(alarmEvent(one.id, one.rule, transition, run.now, reason, isAnnounced(memory)));
      if (transition === 'raised') raised.push({ one, reason });
    }
  }
  const doubted = doubtedPoints(plant, memories, watch.doubted, run.now);
  const watched: Run = { ...run, alarms: memories, watch: doubted === watch.doubted ? watch : { ...watch, doubted } };
  return raised.reduce(
    (before, { one, reason }) => answer(plant, before, one, reason),
    note({ ...draft, run: watched }, ...events),
  );
}

/** Nothing of it is under way: no clock, no shelf, nothing standing that could return. */
function isAtRest(memory: AlarmMemory): boolean {
  return !memory.active && memory.trueSinceS === null && memory.shelvedUntilS === null;
}

/** Alarms of points that were taken out of the still are forgotten. */
function stillKnown(alarms: Run['alarms'], all: readonly Watched[]): Record<string, AlarmMemory> {
  const count = Object.keys(alarms).length;
  if (count <= all.length) return alarms;
  const ids = new Set(all.map((one) => one.id));
  return Object.fromEntries(Object.entries(alarms).filter(([id]) => ids.has(id)));
}

/** What an alarm does by itself when it is raised: it may trip, and it may be the first of its group. */
function answer(plant: Plant, draft: Draft, { id, rule }: Watched, reason: Reason): Draft {
  const trips = rule.interlock === 'heat-off';
  const first = isFirstOut(draft.run, trips, rule) ? { ...draft, run: { ...draft.run, firstOut: id } } : draft;
  return trips ? trip(plant, first, id, reason) : first;
}

/** First-out: the alarm that tripped first while a trip stands; else the first of those that stand. */
function isFirstOut(run: Run, trips: boolean, rule: AlarmRule): boolean {
  if (trips) return run.trips.length === 0;
  const first = run.firstOut === null ? undefined : run.alarms[run.firstOut];
  return rule.priority !== 'low' && run.trips.length === 0 && first?.standing !== true;
}

/** A latched interlock: heat off until acknowledged, gone and ordered to resume. */
export function trip(plant: Plant, draft: Draft, id: string, reason: Reason): Draft {
  const { run } = draft;
  if (run.trips.some((standing) => standing.id === id)) return draft;
  const event: Event = { kind: 'trip', atS: run.now, trip: id, state: 'tripped', reason };
  const tripped = note({ ...draft, run: { ...run, trips: [...run.trips, { id, atS: run.now, reason }] } }, event);
  return hold(plant, tripped, { code: 'held.trip', numbers: { trip: id }, because: [reason] });
}

/** A second reading has come since the condition was first seen; what has nothing to be read again needs none. */
function isConfirmed(plant: Plant, run: Run, instance: string, memory: AlarmMemory): boolean {
  const witness = witnessOf(plant, instance);
  if (witness === null) return true;
  const goodAtS = run.image[witness]?.goodAtS ?? null;
  return memory.trueSinceS !== null && goodAtS !== null && goodAtS > memory.trueSinceS;
}

/** The point whose readings tell of an instance: itself, or the meter or the report of a drive. */
function witnessOf(plant: Plant, instance: string): string | null {
  const drive = plant.still.drives[instance];
  if (drive === undefined) return instance;
  return meterOf(plant, instance) ?? drive.reported ?? null;
}

function isSuppressed(rule: AlarmRule, run: Run, alarms: Readonly<Record<string, AlarmMemory>>): boolean {
  if (rule.suppressedIn.includes(run.phase)) return true;
  return rule.suppressedBy?.some((id) => alarms[id]?.active === true) === true;
}

/** The points that standing alarms cast doubt on, each since when. */
function doubtedPoints(
  plant: Plant,
  alarms: Readonly<Record<string, AlarmMemory>>,
  before: Watch['doubted'],
  now: number,
): Watch['doubted'] {
  const doubted: Record<string, number> = {};
  for (const { id, rule, instance } of alarmsOf(plant)) {
    if (rule.doubts === undefined || alarms[id]?.active !== true) continue;
    for (const point of rule.doubts(plant, instance)) doubted[point] = before[point] ?? now;
  }
  const points = Object.keys(doubted);
  const same = points.length === Object.keys(before).length && points.every((point) => before[point] !== undefined);
  return same ? before : doubted;
}

export interface AlarmMoment {
  readonly now: number;
  /** By phase, or by another alarm that says it all. */
  readonly suppressed: boolean;
  /** False while a single reading stands alone. */
  readonly confirmed: boolean;
}

/** One step of one alarm's life: also for alarms a host raises about itself (store, clock, link). */
export function stepAlarm(
  rule: Pick<AlarmRule, 'onDelayS' | 'offDelayS' | 'latched'>,
  before: AlarmMemory,
  verdict: AlarmVerdict,
  moment: AlarmMoment,
): { memory: AlarmMemory; transitions: AlarmTransition[] } {
  const { now } = moment;
  const transitions: AlarmTransition[] = [];
  let memory = timed(withFlags(before, moment, transitions), verdict.on, now);
  if (!memory.active && isDue(memory.trueSinceS, verdict.on === true && moment.confirmed, rule.onDelayS, now)) {
    transitions.push('raised');
    const raisings = [...memory.raisings, now].slice(-raisingsKept);
    const raised = { active: true, standing: true, acknowledged: false, raisedAtS: now, reason: verdict.reason };
    memory = { ...memory, ...raised, raisings };
  } else if (memory.active && isDue(memory.falseSinceS, verdict.on === false, rule.offDelayS, now)) {
    transitions.push('returned');
    const stands = !memory.acknowledged || rule.latched;
    const over = stands ? {} : { reason: null, raisedAtS: null };
    memory = { ...memory, active: false, falseSinceS: null, standing: stands, ...over };
    if (!stands) transitions.push('cleared');
  }
  return { memory, transitions };
}

function isDue(sinceS: number | null, so: boolean, delayS: number, now: number): boolean {
  return so && sinceS !== null && now - sinceS >= delayS;
}

/** Since when the condition is so, and of a standing one since when it is not; what cannot be told leaves the clocks running. */
function timed(memory: AlarmMemory, on: boolean | null, now: number): AlarmMemory {
  if (on === null) return memory;
  const trueSinceS = on ? (memory.trueSinceS ?? now) : null;
  const falseSinceS = on || !memory.active ? null : (memory.falseSinceS ?? now);
  if (trueSinceS === memory.trueSinceS && falseSinceS === memory.falseSinceS) return memory;
  return { ...memory, trueSinceS, falseSinceS };
}

function withFlags(before: AlarmMemory, moment: AlarmMoment, transitions: AlarmTransition[]): AlarmMemory {
  let memory = before;
  if (memory.shelvedUntilS !== null && !(moment.now < memory.shelvedUntilS)) {
    memory = { ...memory, shelvedUntilS: null };
    transitions.push('unshelved');
  }
  if (moment.suppressed !== memory.suppressed) {
    memory = { ...memory, suppressed: moment.suppressed };
    if (memory.standing) transitions.push(moment.suppressed ? 'suppressed' : 'unsuppressed');
  }
  return memory;
}

export function alarmEvent(
  id: string,
  rule: Pick<AlarmRule, 'priority'>,
  transition: AlarmTransition,
  now: number,
  reason: Reason,
  announced: boolean,
): Event {
  return { kind: 'alarm', atS: now, alarm: id, transition, priority: rule.priority, reason, announced };
}
