import { referenceHPa } from '../../lib/engine/estimate';
import type { Command, Event, Plant, Reason, Run } from '../../lib/engine/types';
import { shiftBoilerTemp, shiftVapourTemp } from '../../lib/physics';
import { pointKinds } from '../../lib/still/schema';
import {
  type AlarmMessage,
  alarmsMessage,
  type EventMessage,
  type OrderAnswerMessage,
  type PointMessage,
  type ReasonMessage,
  type StateMessage,
} from '../../lib/wire';
import { alarmMessage, eventMessage, reasonMessage, stateMessage } from '../../lib/wire/said';
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

/** @param ownAlarms names of the host's own alarms that stand */
export function createAnnouncer(saying: Saying, ownAlarms: () => readonly string[] = () => []): Announcer {
  return {
    reason: (one) => reasonMessage(one, saying),
    state: (plant, run, runId, sinceMs) => ({
      ...stateMessage(plant, run, { since: iso(sinceMs), runId }, saying),
      alarmFigures: alarmsMessage(run, ownAlarms()),
    }),
    point: (plant, run, point, atMs) => pointMessage(plant, run, point, atMs),
    event: (event, atMs) => eventMessage(event, iso(atMs), saying),
    alarm: (run, event, atMs) => alarmMessage(run, event, iso(atMs), saying),
    answer: (event) => ({
      order: event.order.kind,
      id: event.order.id,
      accepted: event.accepted,
      why: [sayReason(event.reason, saying)],
    }),
    command: (command) => sayReason(command.reason, saying),
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
