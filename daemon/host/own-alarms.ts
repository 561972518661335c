import type { AlarmTransition, Priority, Reason } from '../../lib/engine/types';
import type { AlarmMessage, EventMessage } from '../../lib/wire';

/** Alarms the host raises about itself: of what the engine, which knows only readings, cannot know. */
export const ownAlarmPriorities = {
  'record-failing': 'high',
  'record-set-aside': 'high',
  'link-silent': 'high',
} as const satisfies Readonly<Record<string, Priority>>;
export type OwnAlarm = keyof typeof ownAlarmPriorities;

export function isOwnAlarm(name: string): name is OwnAlarm {
  return Object.hasOwn(ownAlarmPriorities, name);
}

/** An alarm that has changed, as it is to be said. */
export interface OwnAlarmChange {
  readonly alarm: AlarmMessage;
  readonly event: EventMessage;
}

interface Memory {
  readonly active: boolean;
  readonly acknowledged: boolean;
  readonly reason: Reason;
}

export interface OwnAlarms {
  /** Raises an alarm, or lets it return; nothing happens while it is so already. */
  set(name: OwnAlarm, reason: Reason | null): void;
  /** Somebody has seen one, or all of them. False where none of that name stands. */
  acknowledge(name?: OwnAlarm): boolean;
  readonly standing: readonly OwnAlarm[];
  /** Every one as it is now, for a reader who comes late. */
  readonly messages: () => readonly AlarmMessage[];
}

export interface OwnAlarmOptions {
  readonly wordsOf: (reason: Reason) => string;
  readonly nowIso: () => string;
  readonly changed: (change: OwnAlarmChange) => void;
}

const normal: Memory = { active: false, acknowledged: true, reason: { code: 'alarm.normal', numbers: {} } };

export function createOwnAlarms(options: OwnAlarmOptions): OwnAlarms {
  const { wordsOf, nowIso } = options;
  const memories = new Map<OwnAlarm, Memory>();
  const guidance = (name: OwnAlarm, part: 'what' | 'do') => wordsOf({ code: `guidance.${name}.${part}`, numbers: {} });

  function messageOf(name: OwnAlarm, memory: Memory, transition: AlarmTransition): AlarmMessage {
    return {
      alarm: name,
      active: memory.active,
      acknowledged: memory.acknowledged,
      shelved: false,
      suppressed: false,
      outOfService: false,
      priority: ownAlarmPriorities[name],
      transition,
      reason: { code: memory.reason.code, text: wordsOf(memory.reason) },
      what: guidance(name, 'what'),
      doNow: guidance(name, 'do'),
      at: nowIso(),
    };
  }

  function move(name: OwnAlarm, memory: Memory, transition: AlarmTransition): void {
    if (!memory.active && memory.acknowledged) memories.delete(name);
    else memories.set(name, memory);
    const alarm = messageOf(name, memory, transition);
    const { priority, reason, at } = alarm;
    options.changed({ alarm, event: { kind: 'alarm', alarm: name, transition, priority, at, reason } });
  }

  return {
    set(name, reason) {
      const before = memories.get(name) ?? normal;
      if (reason !== null && !before.active) move(name, { active: true, acknowledged: false, reason }, 'raised');
      if (reason === null && before.active) move(name, { ...before, active: false }, 'returned');
    },
    acknowledge(name) {
      const meant = [...memories].filter(([one, memory]) => !memory.acknowledged && (name ?? one) === one);
      for (const [one, memory] of meant) move(one, { ...memory, acknowledged: true }, 'acknowledged');
      return meant.length > 0;
    },
    get standing() {
      return [...memories.keys()];
    },
    messages: () =>
      Object.keys(ownAlarmPriorities).map((name) => {
        const memory = memories.get(name as OwnAlarm) ?? normal;
        return messageOf(name as OwnAlarm, memory, memory.active ? 'raised' : 'cleared');
      }),
  };
}
