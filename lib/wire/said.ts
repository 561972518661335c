import { ruleOfAlarm } from '../alarms';
import { alarmNormal } from '../alarms/life-cycle';
import { referenceHPa } from '../engine/estimate';
import type { Event, Plant, Reason, Run } from '../engine/types';
import { shiftVapourTemp } from '../physics';
import { type Saying, sayGuidance, sayReason } from '../words';
import type { AlarmMessage, EventMessage, ReasonMessage } from './messages';
import { chargeMessage, nextMessage, type StateMessage } from './state-message';

/** A reason with its words. */
export const reasonMessage = (reason: Reason, saying: Saying): ReasonMessage => ({
  code: reason.code,
  text: sayReason(reason, saying),
});

/**
 * An event of the engine as our topics and the nodes carry it.
 *
 * @param at ISO time by the host's clock
 */
export function eventMessage(event: Event, at: string, saying: Saying): EventMessage {
  const { atS: _atS, reason, ...rest } = event;
  return { ...rest, at, reason: reasonMessage(reason, saying) } as EventMessage;
}

/**
 * What became of an alarm, with what it means and what to do now.
 *
 * @param at ISO time by the host's clock
 */
export function alarmMessage(
  run: Run,
  event: Extract<Event, { kind: 'alarm' }>,
  at: string,
  saying: Saying,
): AlarmMessage {
  const memory = run.alarms[event.alarm] ?? alarmNormal;
  const guidance = sayGuidance(ruleOfAlarm(event.alarm)?.id ?? event.alarm, saying);
  return {
    alarm: event.alarm,
    active: memory.active,
    acknowledged: memory.acknowledged,
    shelved: memory.shelvedUntilS !== null,
    suppressed: memory.suppressed,
    outOfService: memory.outOfService,
    priority: event.priority,
    transition: event.transition,
    reason: reasonMessage(event.reason, saying),
    what: guidance?.means ?? '',
    doNow: guidance?.now ?? '',
    at,
  };
}

/**
 * How a run stands.
 *
 * @param since ISO time at which the phase began
 * @param runId id of the run in the record; null where it is in none
 */
export function stateMessage(
  plant: Plant,
  run: Run,
  { since, runId }: { readonly since: string; readonly runId: string | null },
  saying: Saying,
): StateMessage {
  const { vapourTempC, pressure } = run.estimate;
  const pressureHPa = pressure.medianHPa;
  return {
    state: run.state,
    phase: run.phase,
    since,
    recipe: plant.recipe?.name ?? null,
    variant: plant.variant,
    run: runId,
    reason: reasonMessage(run.stateReason, saying),
    receiver: run.receiver,
    vapourTempC,
    vapourTempAtReferenceC:
      vapourTempC === null || pressureHPa === null
        ? null
        : shiftVapourTemp(vapourTempC, pressureHPa, referenceHPa(plant)),
    airPressureHPa: pressureHPa,
    next: nextMessage(plant, run, saying),
    charge: chargeMessage(plant, run),
  };
}
