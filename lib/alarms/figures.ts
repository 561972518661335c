import type { AlarmMemory, Run } from '../engine/types';
import { ruleOfAlarm } from './index';
import { alarmState, isAnnounced } from './life-cycle';

/** Ten minutes, the span alarm rates are counted over. */
export const spanS = 600;
/** An operator can deal with about one alarm in ten minutes; more than ten are a flood. Source: ISA-18.2 / IEC 62682, common targets. */
export const floodAbove = 10;
/** Raised three times within a minute: it chatters. Source: as above. */
const chatterCount = 3;
const chatterS = 60;
/** Active for longer than a day: it says nothing any more. Source: as above. */
export const standingS = 24 * 3600;

export interface AlarmFigures {
  /** Announced raisings in the last ten minutes. */
  readonly lastTenMinutes: number;
  readonly isFlood: boolean;
  /** Active now, acknowledged or not; silenced ones counted apart. */
  readonly active: number;
  readonly unacknowledged: number;
  readonly silenced: number;
  /** Raised three times within one minute of the last ten. */
  readonly chattering: readonly string[];
  /** Active without a break for longer than a day. */
  readonly standing: readonly string[];
  /** Share of the announced raisings by priority, the few that matter first. */
  readonly byPriority: Readonly<Record<'critical' | 'high' | 'medium' | 'low', number>>;
}

/**
 * How much the alarms ask of the operator now: rate, flood, chattering, standing, as ISA-18.2 / IEC 62682 count them.
 *
 * @param run as the last scan left it
 * @param now engine time [s]
 * @returns counts; an alarm that was raised more than ten times in ten minutes counts as ten
 */
export function alarmFigures(run: Run, now: number = run.now): AlarmFigures {
  const byPriority = { critical: 0, high: 0, medium: 0, low: 0 };
  let lastTenMinutes = 0;
  let active = 0;
  let unacknowledged = 0;
  let silenced = 0;
  const chattering: string[] = [];
  const standing: string[] = [];
  for (const [id, memory] of Object.entries(run.alarms)) {
    const recent = memory.raisings.filter((atS) => now - atS < spanS);
    if (isAnnounced(memory)) {
      lastTenMinutes += recent.length;
      byPriority[ruleOfAlarm(id)?.priority ?? 'low'] += recent.length;
    } else if (memory.active) silenced += 1;
    if (memory.active) active += 1;
    const state = alarmState(memory);
    if (state === 'unacknowledged' || state === 'returned-unacknowledged') unacknowledged += 1;
    if (isChattering(recent)) chattering.push(id);
    if (isStanding(memory, now)) standing.push(id);
  }
  return {
    lastTenMinutes,
    isFlood: lastTenMinutes > floodAbove,
    active,
    unacknowledged,
    silenced,
    chattering,
    standing,
    byPriority,
  };
}

export function isChattering(raisings: readonly number[]): boolean {
  return raisings.some(
    (atS, index) => (raisings[index + chatterCount - 1] ?? Number.POSITIVE_INFINITY) - atS <= chatterS,
  );
}

function isStanding(memory: AlarmMemory, now: number): boolean {
  return memory.active && memory.raisedAtS !== null && now - memory.raisedAtS > standingS;
}
