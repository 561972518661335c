import { type HostAlarmName, hostAlarms } from '../../lib/alarms/host';
import { alarmNormal, alarmState, stepAlarm } from '../../lib/alarms/life-cycle';
import type { AlarmMemory, AlarmTransition, Reason } from '../../lib/engine/types';
import type { AlarmMessage, EventMessage } from '../../lib/wire';
import { type Saying, sayGuidance, sayName, sayReason } from '../../lib/words';
import type { AlarmView } from '../page/views';

export function isOwnAlarm(name: string): name is HostAlarmName {
  return Object.hasOwn(hostAlarms, name);
}

const names = Object.keys(hostAlarms) as readonly HostAlarmName[];

/** An alarm that has changed, as it is to be said. */
export interface OwnAlarmChange {
  readonly alarm: AlarmMessage;
  readonly event: EventMessage;
}

export interface OwnAlarms {
  /** How things stand with what an alarm is about: why it is so, or null where it is not; its delays are kept by `turn`. */
  set(name: HostAlarmName, reason: Reason | null): void;
  /** Something that happened at once and is over: raises the alarm, which then returns by its delay. */
  happened(name: HostAlarmName, reason: Reason): void;
  /** Takes time on: whatever has stood for long enough is raised or returns. */
  turn(): void;
  /** Somebody has seen one, or all of them. False where none of that name stands. */
  acknowledge(name?: HostAlarmName): boolean;
  readonly standing: readonly HostAlarmName[];
  /** Every one as it is now, for a reader who comes late. */
  readonly messages: () => readonly AlarmMessage[];
  /** Those that stand, for the page. */
  readonly views: () => readonly AlarmView[];
}

export interface OwnAlarmOptions {
  readonly saying: Saying;
  readonly nowIso: () => string;
  /** Seconds the delays are counted in. */
  readonly nowS: () => number;
  readonly changed: (change: OwnAlarmChange) => void;
}

const moment = { suppressed: false, confirmed: true } as const;
const normal: Reason = { code: 'alarm.normal', numbers: {} };

/** The life cycle of the engine's alarms, for those of the host. */
export function createOwnAlarms(options: OwnAlarmOptions): OwnAlarms {
  const { saying, nowIso, nowS } = options;
  const memories = new Map<HostAlarmName, AlarmMemory>();
  const conditions = new Map<HostAlarmName, Reason>();
  const memoryOf = (name: HostAlarmName): AlarmMemory => memories.get(name) ?? alarmNormal;

  function messageOf(
    name: HostAlarmName,
    memory: AlarmMemory,
    transition: AlarmTransition,
    reason: Reason,
  ): AlarmMessage {
    const guidance = sayGuidance(name, saying);
    return {
      alarm: name,
      active: memory.active,
      acknowledged: memory.acknowledged,
      shelved: false,
      suppressed: false,
      outOfService: false,
      priority: hostAlarms[name].priority,
      transition,
      reason: { code: reason.code, text: sayReason(reason, saying) },
      what: guidance?.means ?? '',
      doNow: guidance?.now ?? '',
      at: nowIso(),
    };
  }

  function move(name: HostAlarmName, memory: AlarmMemory, transition: AlarmTransition, reason: Reason): void {
    memories.set(name, memory);
    const alarm = messageOf(name, memory, transition, reason);
    const { priority, at } = alarm;
    options.changed({ alarm, event: { kind: 'alarm', alarm: name, transition, priority, at, reason: alarm.reason } });
  }

  function step(name: HostAlarmName): void {
    const reason = conditions.get(name) ?? null;
    const before = memoryOf(name);
    if (reason === null && before === alarmNormal) return;
    const verdict = { on: reason !== null, reason: reason ?? before.reason ?? normal };
    const { memory, transitions } = stepAlarm(hostAlarms[name], before, verdict, { ...moment, now: nowS() });
    memories.set(name, memory);
    for (const transition of transitions) move(name, memory, transition, verdict.reason);
  }

  return {
    set(name, reason) {
      if (reason === null) conditions.delete(name);
      else conditions.set(name, reason);
      step(name);
    },
    happened(name, reason) {
      conditions.set(name, reason);
      step(name);
      conditions.delete(name);
    },
    turn() {
      for (const name of names) step(name);
    },
    acknowledge(name) {
      const meant = names.filter((one) => !memoryOf(one).acknowledged && (name ?? one) === one);
      for (const one of meant) {
        const memory = memoryOf(one);
        const stays = memory.active ? {} : { standing: false, reason: null, raisedAtS: null };
        move(one, { ...memory, acknowledged: true, ...stays }, 'acknowledged', memory.reason ?? normal);
      }
      return meant.length > 0;
    },
    get standing() {
      return names.filter((name) => memoryOf(name).standing);
    },
    messages: () =>
      names.map((name) => {
        const memory = memoryOf(name);
        return messageOf(name, memory, memory.active ? 'raised' : 'cleared', memory.reason ?? normal);
      }),
    views: () => names.flatMap((name) => viewOf(name, memoryOf(name), nowS(), saying) ?? []),
  };
}

/** As the page shows the alarms of a still. */
function viewOf(name: HostAlarmName, memory: AlarmMemory, nowS: number, saying: Saying): AlarmView | null {
  const state = alarmState(memory);
  if (state === 'normal') return null;
  const guidance = sayGuidance(name, saying);
  return {
    id: name,
    name: sayName(name, saying),
    priority: hostAlarms[name].priority,
    state,
    text: memory.reason === null ? name : sayReason(memory.reason, saying),
    what: guidance?.means ?? null,
    doNow: guidance?.now ?? null,
    takesHeatOff: false,
    acknowledged: memory.acknowledged,
    shelvedForS: null,
    suppressed: false,
    outOfService: false,
    firstOut: false,
    raisedAgoS: memory.raisedAtS === null ? null : nowS - memory.raisedAtS,
  };
}
