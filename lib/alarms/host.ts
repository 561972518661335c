import type { Priority } from '../engine/types';

/**
 * Alarms a host raises about itself: what the engine cannot see. They go through the same life cycle (`stepAlarm`) and
 * have the same guidance; a host that cannot write its journal gives the order `hold`.
 */
export interface HostAlarm {
  readonly id: string;
  readonly priority: Priority;
  readonly onDelayS: number;
  readonly offDelayS: number;
  readonly latched: boolean;
  readonly wakes: boolean;
}

export const hostAlarms = {
  'store-failing': { id: 'store-failing', priority: 'high', onDelayS: 0, offDelayS: 5, latched: false, wakes: false },
  'disk-nearly-full': {
    id: 'disk-nearly-full',
    priority: 'medium',
    onDelayS: 60,
    offDelayS: 60,
    latched: false,
    wakes: false,
  },
  'clock-jumped': { id: 'clock-jumped', priority: 'low', onDelayS: 0, offDelayS: 60, latched: false, wakes: false },
  'broker-lost': { id: 'broker-lost', priority: 'high', onDelayS: 10, offDelayS: 10, latched: false, wakes: false },
  'feed-flooding': {
    id: 'feed-flooding',
    priority: 'medium',
    onDelayS: 0,
    offDelayS: 60,
    latched: false,
    wakes: false,
  },
} as const satisfies Readonly<Record<string, HostAlarm>>;

export type HostAlarmName = keyof typeof hostAlarms;
