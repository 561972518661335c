import { alarmRules } from '../alarms';
import { type AlarmRule, type Hazard, hazards } from '../alarms/rule';
import { watchPlant } from '../engine/plant';
import type { Plant, Reason } from '../engine/types';
import type { Drive, PointKind, Still } from './schema';

/** A detector that works on this still. */
export interface Detector {
  readonly alarm: string;
  /** Points of this still it looks at; empty where it needs none. */
  readonly points: readonly string[];
  /** Takes the heat off by itself, asks for less, or only calls. */
  readonly does: 'heat-off' | 'heat-reduce' | 'calls';
  /** The longest it needs to see what it is there for [s]. */
  readonly withinS: number;
}

/** A detector this still could have. */
export interface Missing {
  readonly alarm: string;
  readonly kinds: readonly PointKind[];
  readonly withinS: number;
}

/**
 * `seen`: something acts in time; `late`: something acts, but after the harm can have begun; `calls`: people are called,
 * nothing acts by itself; `not`: nothing here sees it.
 */
export type Cover = 'seen' | 'late' | 'calls' | 'not';

export interface HazardCover {
  readonly hazard: Hazard;
  readonly cover: Cover;
  /** Quickest first. */
  readonly detectors: readonly Detector[];
  readonly missing: readonly Missing[];
  /** What is to be said about it on this still, honestly. */
  readonly notes: readonly Reason[];
}

/** How fast a bare element gains [K/s], and how far it is below its limit when it is bared: about 105 °C. */
const barePerS = 5;
const bareFromC = 105;
/** The slowest a detector may be to act in time [s]; hazards that are not listed can wait for any. */
const inTimeS: Partial<Record<Hazard, number>> = {
  'coolant-lost': 180,
  'blocked-path': 300,
  vacuum: 10,
  'vapour-leak': 60,
  'heat-not-stopping': 30,
  'stuck-valve': 30,
  overflow: 120,
  'lying-probe': 120,
  'wrong-charge': 600,
};

/**
 * Which hazards of a still its points and drives cover, by what, how fast, and what nothing covers.
 *
 * Every alarm rule says itself which hazards it sees and what it needs; what lies in the drives (switch-off by the
 * device itself, fail positions) and in the agreement with people (attendance) is added here.
 *
 * @param still as checked
 * @returns one entry a hazard, in the order of `hazards`
 */
export function coverageOf(still: Still): readonly HazardCover[] {
  const plant = watchPlant(still);
  return hazards.map((hazard) => {
    const rules = alarmRules.filter((rule) => rule.hazards.includes(hazard));
    const detectors = rules.flatMap((rule) => detectorsOf(plant, rule)).sort((a, b) => a.withinS - b.withinS);
    const missing = rules.flatMap((rule) => missingOf(plant, rule)).sort((a, b) => a.withinS - b.withinS);
    const notes = notesOf(still, hazard, detectors);
    return { hazard, cover: coverOf(still, hazard, detectors), detectors, missing, notes };
  });
}

function detectorsOf(plant: Plant, rule: AlarmRule): Detector[] {
  if (rule.instances(plant).length === 0) return [];
  const points = Object.keys(plant.still.points).filter((id) => rule.sees.includes(plant.still.points[id]!.kind));
  // A rule that goes by points and finds none of them here would see nothing.
  if (rule.sees.length > 0 && points.length === 0 && rule.id !== 'nobody-there' && rule.id !== 'attendance-due')
    return [];
  return [
    { alarm: rule.id, points, does: rule.interlock ?? 'calls', withinS: rule.detectsInS?.(plant) ?? rule.detectS },
  ];
}

function missingOf(plant: Plant, rule: AlarmRule): Missing[] {
  if (detectorsOf(plant, rule).length > 0 || rule.sees.length === 0) return [];
  const has = new Set(Object.values(plant.still.points).map((point) => point.kind));
  const kinds = rule.sees.filter((kind) => !has.has(kind));
  return kinds.length === 0 ? [] : [{ alarm: rule.id, kinds, withinS: rule.detectS }];
}

/** How long a detector may take to act before the harm begins [s]. */
export function inTime(still: Still, hazard: Hazard): number {
  if (hazard === 'bare-element') return (still.ratings.elementTempMaxC - bareFromC) / barePerS;
  return inTimeS[hazard] ?? Number.POSITIVE_INFINITY;
}

function coverOf(still: Still, hazard: Hazard, detectors: readonly Detector[]): Cover {
  if (hazard === 'link-lost') return heats(still).every(([, drive]) => drive.deadManS !== undefined) ? 'seen' : 'not';
  if (hazard === 'power-cut') return failsSafe(still) ? 'seen' : 'not';
  const acting = detectors.filter((detector) => detector.does !== 'calls');
  if (hazard === 'puking' && isPukingHidden(still)) return 'late';
  if (acting.some((detector) => detector.withinS <= inTime(still, hazard))) return 'seen';
  if (acting.length > 0) return 'late';
  return detectors.length > 0 ? 'calls' : 'not';
}

function heats(still: Still): [string, Extract<Drive, { kind: 'heat' }>][] {
  return Object.entries(still.drives).flatMap(([id, drive]) =>
    drive.kind === 'heat' ? [[id, drive] as [string, typeof drive]] : [],
  );
}

function failsSafe(still: Still): boolean {
  const drives = Object.values(still.drives);
  const coolant = drives.filter((drive) => drive.kind === 'coolant');
  const valves = drives.filter((drive) => drive.kind === 'receiver-valve');
  const pathStays =
    valves.length === 0 ||
    valves.some((drive) => drive.failPosition !== 'closed') ||
    (still.vent.unvalved && still.vent.feintsPathFailsOpen);
  return coolant.every((drive) => drive.failPosition === 'on') && pathStays;
}

/** Liquid carried over warms the head of a pot by little more than its vapour does in the course of a run. */
function isPukingHidden(still: Still): boolean {
  return still.kind === 'pot' && !Object.values(still.points).some(({ kind }) => kind === 'parrot-strength');
}

function note(code: string, numbers: Reason['numbers'] = {}): Reason {
  return { code: `coverage.${code}`, numbers };
}

function notesOf(still: Still, hazard: Hazard, detectors: readonly Detector[]): Reason[] {
  switch (hazard) {
    case 'bare-element':
      return bareElement(still, detectors);
    case 'heat-not-stopping':
      return heatThatStays(still);
    case 'link-lost':
      return heats(still).map(([id, drive]) =>
        drive.deadManS === undefined
          ? note('no-switch-off', { drive: id })
          : note('switches-itself-off', { drive: id, deadManS: drive.deadManS }),
      );
    case 'power-cut':
      return powerCut(still);
    case 'nobody-there':
      return still.attendanceS === undefined ? [note('no-attendance')] : [];
    case 'overflow':
      return detectors.some((detector) => detector.points.some((id) => still.points[id]?.kind === 'receiver-volume'))
        ? []
        : [note('overflow-computed')];
    case 'stuck-valve':
      return Object.entries(still.drives).flatMap(([id, drive]) =>
        (drive.kind === 'receiver-valve' || drive.kind === 'diverter') && drive.reported === undefined
          ? [note('unproven', { drive: id })]
          : [],
      );
    case 'puking':
      return isPukingHidden(still) ? [note('puking-hidden')] : [];
    case 'lying-probe':
      return [note('lies-slowly'), ...(still.kind === 'column' ? [note('plateau-hides-a-stuck-probe')] : [])];
    default:
      return [];
  }
}

function bareElement(still: Still, detectors: readonly Detector[]): Reason[] {
  const fires = heats(still).filter(([, drive]) => drive.source !== 'element');
  if (heats(still).length > 0 && fires.length === heats(still).length) return [note('no-element')];
  const quickest = detectors.find((detector) => detector.does === 'heat-off');
  const numbers = { gainK: barePerS, limitC: still.ratings.elementTempMaxC, inS: inTime(still, 'bare-element') };
  if (quickest === undefined) return [note('bare-element-unseen', numbers)];
  return quickest.withinS <= numbers.inS
    ? []
    : [note('bare-element-late', { ...numbers, quickestS: quickest.withinS })];
}

function heatThatStays(still: Still): Reason[] {
  const isMetered = Object.values(still.points).some(({ kind }) => kind === 'heat-power');
  const isSeen = isMetered || heats(still).every(([, drive]) => drive.reported !== undefined);
  const hasContactor = Object.values(still.drives).some((drive) => drive.kind === 'contactor');
  return [...(isSeen ? [] : [note('heat-unwatched')]), ...(hasContactor ? [] : [note('no-contactor')])];
}

function powerCut(still: Still): Reason[] {
  return Object.entries(still.drives).flatMap(([id, drive]) => {
    if (drive.kind === 'coolant') return [note(`coolant-fails-${drive.failPosition}`, { drive: id })];
    if (drive.kind === 'receiver-valve') return [note(`valve-fails-${drive.failPosition}`, { drive: id })];
    return [];
  });
}
