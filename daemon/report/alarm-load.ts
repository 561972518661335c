import { floodAbove, isChattering, spanS, standingS } from '../../lib/alarms/figures';
import type { AlarmTold } from './telling';

/** How much the alarms of a whole run asked of the operator. */
export interface AlarmLoad {
  /** Raised and announced. */
  readonly announced: number;
  /** Raised while shelved, suppressed or out of service: nobody was called. */
  readonly silent: number;
  /** Most announced raisings within any ten minutes. */
  readonly mostInTenMinutes: number;
  /** Announced raisings in ten minutes, over the whole run. */
  readonly meanInTenMinutes: number;
  /** More than ten within ten minutes: nobody can deal with that. */
  readonly isFlood: boolean;
  /** Raised three times within a minute, at any time of the run. */
  readonly chattering: readonly string[];
  /** Active without a break for longer than a day. */
  readonly standing: readonly string[];
}

/**
 * Counts the alarms of a run as ISA-18.2 / IEC 62682 count them: rate, flood, chattering, standing.
 *
 * @param alarms every raising of the run, in order
 * @param fromS start of the run [s]
 * @param toS its end, or its last scan [s]
 */
export function alarmLoadOf(alarms: readonly AlarmTold[], fromS: number, toS: number): AlarmLoad {
  const raisings = alarms.filter((one) => one.announced).map((one) => one.raisedAtS);
  const mostInTenMinutes = raisings.reduce(
    (most, atS, index) => Math.max(most, raisings.slice(index).filter((other) => other - atS < spanS).length),
    0,
  );
  const named = [...new Set(alarms.map((one) => one.alarm))];
  const raisedAt = (alarm: string) => alarms.filter((one) => one.alarm === alarm).map((one) => one.raisedAtS);
  const standing = alarms.filter((one) => (one.returnedAtS ?? toS) - one.raisedAtS > standingS);
  return {
    announced: raisings.length,
    silent: alarms.length - raisings.length,
    mostInTenMinutes,
    meanInTenMinutes: (raisings.length * spanS) / Math.max(spanS, toS - fromS),
    isFlood: mostInTenMinutes > floodAbove,
    chattering: named.filter((alarm) => isChattering(raisedAt(alarm))),
    standing: [...new Set(standing.map((one) => one.alarm))],
  };
}
