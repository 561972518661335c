import { ruleOfAlarm } from '../../lib/alarms';
import { alarmNormal } from '../../lib/alarms/life-cycle';
import { referenceHPa } from '../../lib/engine/estimate';
import type { Command, Event, Plant, Reason, Run } from '../../lib/engine/types';
import { shiftBoilerTemp, shiftVapourTemp } from '../../lib/physics';
import { pointKinds } from '../../lib/still/schema';
import {
  type AlarmMessage,
  chargeMessage,
  type EventMessage,
  nextMessage,
  type OrderAnswerMessage,
  type PointMessage,
  type ReasonMessage,
  type StateMessage,
} from '../../lib/wire';
import { type Saying, sayReason } from '../../lib/words';

/** Puts what the engine says into the messages of our own topics: words and wall time are added here. */
export interface Announcer {
  reason(reason: Reason): ReasonMessage;
  state(plant: Plant, run: Run, runId: string | null, sinceMs: number): StateMessage;
  point(plant: Plant, run: Run, point: string, atMs: number): PointMessage;
  event(event: Event, atMs: number): EventMessage;
  alarm(run: Run, event: Extract<Event, { kind: 'alarm' }>, atMs: number): AlarmMessage;
  answer(event: Extract<Event, { kind: 'order' }>): OrderAnswerMessage;
  command(command: Command): string;
}

export const iso = (atMs: number): string => new Date(atMs).toISOString();

export function createAnnouncer(saying: Saying): Announcer {
  const reason = (one: Reason): ReasonMessage => ({ code: one.code, text: sayReason(one, saying) });
  return {
    reason,
    state: (plant, run, runId, sinceMs) => stateMessage(plant, run, runId, sinceMs, saying),
    point: (plant, run, point, atMs) => pointMessage(plant, run, point, atMs),
    event: (event, atMs) => {
      const { atS: _atS, reason: why, ...rest } = event;
      return { ...rest, at: iso(atMs), reason: reason(why) } as EventMessage;
    },
    alarm: (run, event, atMs) => alarmMessage(run, event, atMs, saying),
    answer: (event) => ({
      order: event.order.kind,
      id: event.order.id,
      accepted: event.accepted,
      why: [sayReason(event.reason, saying)],
    }),
    command: (command) => sayReason(command.reason, saying),
  };
}

function stateMessage(plant: Plant, run: Run, runId: string | null, sinceMs: number, saying: Saying): StateMessage {
  const { vapourTempC, pressure } = run.estimate;
  return {
    state: run.state,
    phase: run.phase,
    since: iso(sinceMs),
    recipe: plant.recipe?.name ?? null,
    variant: plant.variant,
    run: runId,
    reason: { code: run.stateReason.code, text: sayReason(run.stateReason, saying) },
    receiver: run.receiver,
    vapourTempC,
    vapourTempAtReferenceC:
      vapourTempC === null || pressure.medianHPa === null
        ? null
        : shiftVapourTemp(vapourTempC, pressure.medianHPa, referenceHPa(plant)),
    airPressureHPa: pressure.medianHPa,
    next: nextMessage(plant, run, saying),
    charge: chargeMessage(plant, run),
  };
}

function pointMessage(plant: Plant, run: Run, id: string, atMs: number): PointMessage {
  const point = plant.still.points[id];
  const seen = run.image[id];
  const pressureHPa = run.estimate.pressure.medianHPa;
  const value = seen?.value ?? null;
  const shift =
    point?.kind === 'vapour-temp' ? shiftVapourTemp : point?.kind === 'boiler-temp' ? shiftBoilerTemp : null;
  return {
    value,
    unit: point === undefined ? '' : pointKinds[point.kind].unit,
    quality: seen?.quality ?? 'never',
    fault: seen?.fault ?? null,
    atReference:
      shift === null || value === null || pressureHPa === null ? null : shift(value, pressureHPa, referenceHPa(plant)),
    at: iso(atMs),
  };
}

function alarmMessage(run: Run, event: Extract<Event, { kind: 'alarm' }>, atMs: number, saying: Saying): AlarmMessage {
  const memory = run.alarms[event.alarm] ?? alarmNormal;
  const rule = ruleOfAlarm(event.alarm);
  const guidance = (part: string) => sayReason({ code: `guidance.${rule?.id ?? ''}.${part}`, numbers: {} }, saying);
  return {
    alarm: event.alarm,
    active: memory.active,
    acknowledged: memory.acknowledged,
    shelved: memory.shelvedUntilS !== null,
    suppressed: memory.suppressed,
    outOfService: memory.outOfService,
    priority: event.priority,
    transition: event.transition,
    reason: { code: event.reason.code, text: sayReason(event.reason, saying) },
    what: guidance('what'),
    doNow: guidance('do'),
    at: iso(atMs),
  };
}
