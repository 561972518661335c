import { ruleOfAlarm } from '../../lib/alarms';
import { alarmNormal, alarmState, isAnnounced } from '../../lib/alarms/life-cycle';
import { referenceHPa } from '../../lib/engine/estimate';
import type { AlarmMemory, Event, Plant, Run } from '../../lib/engine/types';
import { shiftVapourTemp } from '../../lib/physics';
import { pointKinds } from '../../lib/still/schema';
import { type AlarmMessage, chargeMessage, type EventMessage, nextMessage, type StateMessage } from '../../lib/wire';
import { type Saying, sayGuidance, sayReason } from '../../lib/words';

/** Words and wall time for what the engine says; the time is handed in. */
export interface Edge {
  readonly saying: Saying;
  /** ISO time of a moment of the engine [s]. */
  readonly iso: (atS: number) => string;
  /** Alarms only: there is no run whose phases could silence one. */
  readonly watchOnly: boolean;
}

/** A point as the last scan saw it. */
export interface PointView {
  readonly value: number | null;
  readonly unit: string;
  readonly quality: string;
}

/** An alarm that stands. */
export interface AlarmView {
  readonly alarm: string;
  readonly priority: string;
  readonly state: string;
  readonly text: string;
}

/** The state of a run as the state output carries it: that of the daemon's state topic, and what a dashboard wants besides. */
export interface StateView extends StateMessage {
  readonly still: string;
  readonly stillName: string;
  readonly boilerTempC: number | null;
  readonly strengthVolPercent: number | null;
  readonly collectedL: number;
  readonly alcoholL: number;
  readonly rateLPerH: number;
  readonly fractions: Readonly<Record<string, { readonly volumeL: number; readonly alcoholL: number }>>;
  readonly points: Readonly<Record<string, PointView>>;
  readonly drives: Readonly<Record<string, number | string>>;
  readonly alarms: readonly AlarmView[];
  readonly asked: boolean;
  readonly spoutAsked: string | null;
  readonly runTimeS: number | null;
}

export function sayEvent(event: Event, edge: Edge): EventMessage {
  const { atS, reason, ...rest } = event;
  return {
    ...rest,
    at: edge.iso(atS),
    reason: { code: reason.code, text: sayReason(reason, edge.saying) },
  } as EventMessage;
}

export type AlarmEvent = Extract<Event, { kind: 'alarm' }>;

export function sayAlarm(
  run: Run,
  event: AlarmEvent,
  edge: Edge,
): AlarmMessage & { readonly interlock: string | null; readonly wakes: boolean } {
  const memory = run.alarms[event.alarm] ?? alarmNormal;
  const rule = ruleOfAlarm(event.alarm);
  const guidance = sayGuidance(event.alarm, edge.saying);
  return {
    alarm: event.alarm,
    active: memory.active,
    acknowledged: memory.acknowledged,
    shelved: memory.shelvedUntilS !== null,
    suppressed: memory.suppressed,
    outOfService: memory.outOfService,
    priority: event.priority,
    transition: event.transition,
    reason: { code: event.reason.code, text: sayReason(event.reason, edge.saying) },
    what: guidance?.means ?? '',
    doNow: guidance?.now ?? '',
    at: edge.iso(event.atS),
    interlock: rule?.interlock ?? null,
    wakes: rule?.wakes ?? false,
  };
}

/** A still that has been this warm is in use, run or no run [°C]. */
const warmC = 40;

function isWarm(plant: Plant, run: Run): boolean {
  return Object.entries(plant.still.points).some(([id, { kind }]) => {
    const value = run.image[id]?.value ?? null;
    return (kind === 'vapour-temp' || kind === 'boiler-temp') && value !== null && value >= warmC;
  });
}

/**
 * Whether an alarm is for people to hear now. A still that is only watched has no phases: what is silent while a run
 * is idle is told there all the same, as soon as the still is warm.
 */
export function isHeard(plant: Plant, run: Run, alarm: string, watchOnly: boolean): boolean {
  const memory = run.alarms[alarm] ?? alarmNormal;
  if (isAnnounced(memory)) return true;
  const rule = ruleOfAlarm(alarm);
  if (!watchOnly || memory.shelvedUntilS !== null || memory.outOfService || rule === null) return false;
  const repeats = rule.suppressedBy?.some((id) => run.alarms[id]?.active === true) === true;
  return !repeats && isWarm(plant, run);
}

/** Alarms an operator has to know of: standing, and neither shelved nor suppressed. */
export function standingAlarms(
  plant: Plant,
  run: Run,
  watchOnly: boolean,
): readonly (readonly [string, AlarmMemory])[] {
  return Object.entries(run.alarms).filter(([id, memory]) => memory.standing && isHeard(plant, run, id, watchOnly));
}

function viewAlarms(plant: Plant, run: Run, edge: Edge): AlarmView[] {
  return standingAlarms(plant, run, edge.watchOnly).map(([alarm, memory]) => ({
    alarm,
    priority: ruleOfAlarm(alarm)?.priority ?? 'medium',
    state: alarmState(memory),
    text: memory.reason === null ? alarm : sayReason(memory.reason, edge.saying),
  }));
}

function viewPoints(plant: Plant, run: Run): Record<string, PointView> {
  return Object.fromEntries(
    Object.entries(plant.still.points).map(([id, point]) => {
      const seen = run.image[id];
      return [id, { value: seen?.value ?? null, unit: pointKinds[point.kind].unit, quality: seen?.quality ?? 'never' }];
    }),
  );
}

export function viewState(plant: Plant, run: Run, edge: Edge): StateView {
  const { vapourTempC, boilerTempC, strengthAbv, pressure, produced } = run.estimate;
  const pressureHPa = pressure.medianHPa;
  return {
    still: plant.still.id,
    stillName: plant.still.name,
    state: run.state,
    phase: run.phase,
    since: edge.iso(run.phaseSinceS),
    recipe: plant.recipe?.name ?? null,
    variant: plant.variant,
    run: null,
    reason: { code: run.stateReason.code, text: sayReason(run.stateReason, edge.saying) },
    receiver: run.receiver,
    vapourTempC,
    vapourTempAtReferenceC:
      vapourTempC === null || pressureHPa === null
        ? null
        : shiftVapourTemp(vapourTempC, pressureHPa, referenceHPa(plant)),
    airPressureHPa: pressureHPa,
    next: nextMessage(plant, run, edge.saying),
    charge: chargeMessage(plant, run),
    boilerTempC,
    strengthVolPercent: strengthAbv === null ? null : strengthAbv * 100,
    collectedL: produced.volumeL,
    alcoholL: produced.alcoholL,
    rateLPerH: produced.rateLPerH,
    fractions: produced.byFraction,
    points: viewPoints(plant, run),
    drives: Object.fromEntries(Object.entries(run.drives).map(([id, memory]) => [id, memory.value])),
    alarms: viewAlarms(plant, run, edge),
    asked: run.cut.asked || run.surge.puked,
    spoutAsked: run.spoutAsked === run.receiver ? null : run.spoutAsked,
    runTimeS: run.startedAtS === null ? null : run.now - run.startedAtS,
  };
}
