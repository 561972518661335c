import { driveNames, pointNames } from '../engine/names';
import { trusted } from '../engine/reading';
import type { Plant, Priority, Reason, Run, Watch } from '../engine/types';
import type { Phase } from '../recipe/schema';
import type { Drive, PointKind } from '../still/schema';

/** What can go wrong, as the coverage table counts it. */
export const hazards = [
  'bare-element',
  'wrong-charge',
  'scorching',
  'over-temperature',
  'coolant-lost',
  'blocked-path',
  'vacuum',
  'vapour-leak',
  'overflow',
  'stuck-valve',
  'heat-not-stopping',
  'puking',
  'lying-probe',
  'link-lost',
  'power-cut',
  'nobody-there',
  'wrong-pressure',
  'off-course',
] as const;
export type Hazard = (typeof hazards)[number];

/** What an alarm sees: the run with this scan's image and estimate. */
export interface AlarmContext {
  readonly plant: Plant;
  readonly run: Run;
  readonly watch: Watch;
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

/**
 * One firing and one clearing, as lines of a story on a fully equipped still: `boiler-temp 106`, `heat-power sticks`,
 * `product-temp rises 2 K/min`. The contract test plays them through the real scan.
 */
export interface AlarmExample {
  /** Where the run stands when it begins. */
  readonly from: 'idle' | 'heat-up' | 'heads' | 'hearts' | 'held' | 'cool-down';
  readonly still?: 'pot' | 'column' | 'twin-pot';
  readonly fires: readonly string[];
  readonly withinS: number;
  readonly clears: readonly string[];
  readonly clearsWithinS: number;
}

/** A condition an operator must answer: one file each, one line in the index. */
export interface AlarmRule {
  readonly id: string;
  readonly priority: Priority;
  readonly onDelayS: number;
  readonly offDelayS: number;
  /** How far back it must fall before it counts as gone, in the unit of what it watches; 0 where only time counts. */
  readonly deadband: number;
  /** Stays until acknowledged, even when the condition has gone. */
  readonly latched: boolean;
  /** What it does by itself: trips the heat, or asks for less while it lasts. The guidance tells people the rest. */
  readonly interlock: 'heat-off' | 'heat-reduce' | null;
  /** Phases in which it says nothing (it is still evaluated); never for one with an interlock. */
  readonly suppressedIn: readonly Phase[];
  /** Says nothing while one of these stands: it would only repeat it. */
  readonly suppressedBy?: readonly string[];
  /** May wake somebody at night. */
  readonly wakes: boolean;
  /** A second reading of the instance's point, or of a drive's meter or report, must bear the first out: one spike is no alarm. */
  readonly confirm?: boolean;
  /** The hazards it sees, for the coverage table, by which points, and how long it takes at the most [s]. */
  readonly hazards: readonly Hazard[];
  readonly sees: readonly PointKind[];
  readonly detectS: number;
  /** The same where it hangs on what this still has fitted. */
  detectsInS?(plant: Plant): number;
  /** Points, drives or receivers it stands for on this still; `['']` for one, `[]` where the still cannot have it. */
  instances(plant: Plant): readonly string[];
  judge(context: AlarmContext): AlarmVerdict;
  /** Points that are not believed for a cut while it stands. */
  doubts?(plant: Plant, instance: string): readonly string[];
  readonly example: AlarmExample;
}

export function alarmId(rule: AlarmRule, instance: string): string {
  return instance === '' ? rule.id : `${rule.id}:${instance}`;
}

const noReason: Reason = { code: 'alarm.none', numbers: {} };
/** Not so, and nothing to say about it. */
export const quiet: AlarmVerdict = { on: false, reason: noReason };
/** Cannot be told now. */
export const unknown: AlarmVerdict = { on: null, reason: noReason };

type Numbers = Readonly<Record<string, number | string | null | undefined>>;

/** So, for this reason, without the numbers that are not known; or quiet. */
export function when(on: boolean, code: string, numbers: Numbers): AlarmVerdict {
  if (!on) return quiet;
  const there: Record<string, number | string> = {};
  for (const [name, value] of Object.entries(numbers)) if (value !== null && value !== undefined) there[name] = value;
  return { on, reason: { code: `alarm.${code}`, numbers: there } };
}

/** Points of a kind, by name. */
export function pointsOf(plant: Plant, kind: PointKind): readonly string[] {
  return pointNames(plant.still, kind);
}

export function drivesOf(plant: Plant, kind: Drive['kind']): readonly string[] {
  return driveNames(plant.still, kind);
}

export function has(plant: Plant, ...kinds: readonly PointKind[]): boolean {
  return kinds.every((kind) => pointsOf(plant, kind).length > 0);
}

/** One for the still where it has all of these points, none where it lacks one. */
export function onceWith(...kinds: readonly PointKind[]): (plant: Plant) => readonly string[] {
  return (plant) => (has(plant, ...kinds) ? [''] : []);
}

/** Probes of the vapour and of the boiler: doubted together where nothing tells which of them lies. */
export function pairedPoints(plant: Plant): readonly string[] {
  return [...pointsOf(plant, 'vapour-temp'), ...pointsOf(plant, 'boiler-temp')];
}

/** Heat on, and the vapour has been at the head for some time: the still distils. */
export function isDistilling(context: AlarmContext, forS: number): boolean {
  const { watch, now } = context;
  if (watch.heatSinceS === null || watch.vapourSinceS === null) return false;
  return now - watch.heatSinceS >= forS && now - watch.vapourSinceS >= forS;
}

/** A run whose charge still is what was charged less what came over: running or held, and not at its end. */
export function isUnderWay(run: Run): boolean {
  return (run.state === 'running' || run.state === 'held') && run.step >= 0;
}

/** At or above a limit; once active, until it has fallen below it by the deadband. */
export function isAbove(value: number, limit: number, deadband: number, active: boolean): boolean {
  return value >= (active ? limit - deadband : limit);
}

export function isBelow(value: number, limit: number, deadband: number, active: boolean): boolean {
  return value <= (active ? limit + deadband : limit);
}

/** Trusted value of the instance's own point. */
export function ownValue(context: AlarmContext): number | null {
  return trusted(context.run.image[context.instance]);
}
