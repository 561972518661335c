import type { Priority } from '../engine/types';

/**
 * Alarms a host raises about itself: of what the engine, which knows only readings, cannot know. They go through the same
 * life cycle (`stepAlarm`) and have the same guidance.
 */
export interface HostAlarm {
  readonly id: string;
  readonly priority: Priority;
  readonly onDelayS: number;
  readonly offDelayS: number;
  readonly latched: boolean;
  readonly wakes: boolean;
}

function rule<Id extends string>(id: Id, priority: Priority, onDelayS: number, offDelayS: number) {
  return { id, priority, onDelayS, offDelayS, latched: false, wakes: false } as const satisfies HostAlarm;
}

export const hostAlarms = {
  'store-failing': rule('store-failing', 'high', 0, 5),
  'record-set-aside': rule('record-set-aside', 'high', 0, 0),
  'link-silent': rule('link-silent', 'high', 0, 0),
  'disk-nearly-full': rule('disk-nearly-full', 'medium', 60, 60),
  'feed-flooding': rule('feed-flooding', 'medium', 0, 60),
  'clock-jumped': rule('clock-jumped', 'low', 0, 60),
} as const satisfies Readonly<Record<string, HostAlarm>>;

export type HostAlarmName = keyof typeof hostAlarms;
