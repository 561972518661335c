import type { Plant, Priority, Reason, Run } from '../engine/types';
import type { Phase } from '../recipe/schema';
import type { PointKind } from '../still/schema';

/** What an alarm sees: the run with this scan's image and estimate. */
export interface AlarmContext {
  readonly plant: Plant;
  readonly run: Run;
  readonly now: number;
  /** The point, drive or receiver this alarm is for; empty where there is one for the still. */
  readonly instance: string;
  /** Standing now: for the deadband. */
  readonly active: boolean;
}

/** `on` is null where it cannot be told: the alarm then stays as it is. */
export interface AlarmVerdict {
  readonly on: boolean | null;
  readonly reason: Reason;
}

/** Figures that fire or clear the alarm when fed for long enough: value by point kind. */
export type AlarmExample = Readonly<Partial<Record<PointKind, number>>>;

/** A condition an operator must answer: one file each, one line in the index. */
export interface AlarmRule {
  readonly id: string;
  readonly priority: Priority;
  readonly onDelayS: number;
  readonly offDelayS: number;
  /** Stays until acknowledged, even when the condition has gone. */
  readonly latched: boolean;
  /** What it does by itself; the guidance tells people the rest. */
  readonly interlock: 'heat-off' | null;
  /** Phases in which it says nothing (it is still evaluated); never for one with an interlock. */
  readonly suppressedIn: readonly Phase[];
  /** May wake somebody at night. */
  readonly wakes: boolean;
  /** The hazards of the still it sees, for the coverage table. */
  readonly hazards: readonly string[];
  /** Points, drives or receivers it stands for on this still; `['']` for one, `[]` where the still cannot have it. */
  instances(plant: Plant): readonly string[];
  judge(context: AlarmContext): AlarmVerdict;
  readonly example: { readonly fires: AlarmExample; readonly clears: AlarmExample };
}

export function alarmId(rule: AlarmRule, instance: string): string {
  return instance === '' ? rule.id : `${rule.id}:${instance}`;
}

/** Points of a kind, by name. */
export function pointsOf(plant: Plant, kind: PointKind): string[] {
  return Object.keys(plant.still.points).filter((id) => plant.still.points[id]?.kind === kind);
}
