import { ruleOfAlarm } from '../../lib/alarms';
import { alarmNormal, alarmState, isAnnounced } from '../../lib/alarms/life-cycle';
import type { AlarmMemory, Event, Plant, Run } from '../../lib/engine/types';
import { pointKinds } from '../../lib/still/schema';
import type { AlarmMessage, StateMessage } from '../../lib/wire';
import { alarmMessage, stateMessage } from '../../lib/wire/said';
import { type Saying, sayReason } from '../../lib/words';

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

export type AlarmEvent = Extract<Event, { kind: 'alarm' }>;

/** What became of an alarm, as the alarms output carries it: that of the daemon's topic, and what a flow sorts by. */
export function sayAlarm(
  run: Run,
  event: AlarmEvent,
  edge: Edge,
): AlarmMessage & { readonly interlock: string | null; readonly wakes: boolean } {
  const rule = ruleOfAlarm(event.alarm);
  return {
    ...alarmMessage(run, event, edge.iso(event.atS), edge.saying),
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
  const { boilerTempC, strengthAbv, produced } = run.estimate;
  return {
    ...stateMessage(plant, run, { since: edge.iso(run.phaseSinceS), runId: null }, edge.saying),
    still: plant.still.id,
    stillName: plant.still.name,
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
