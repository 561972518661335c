import type { Hazard } from '../../lib/alarms/rule';
import type { Plant, Run } from '../../lib/engine/types';
import type { Phase } from '../../lib/recipe/schema';
import type { FaultPlan } from '../../simulators/faults';
import type { Random } from '../../simulators/model';
import type { Site } from '../../simulators/site';
import type { StillType } from './stills';

/** The truth at a scan, and what the engine made of it. */
export interface View {
  readonly site: Site;
  readonly plant: Plant;
  readonly run: Run;
  readonly before: Run;
  readonly atS: number;
  /** The trouble is being made now. */
  readonly isOn: boolean;
  /** A decision waits to be written down before its command may leave. */
  readonly isWaiting: boolean;
}

export interface Draw {
  readonly random: Random;
  readonly type: StillType;
  readonly plant: Plant;
  readonly fromS: number;
  readonly untilS: number;
}

/** What the campaign does besides injecting faults: to the program, to its disk, by the people. */
export interface Act {
  readonly atS: number;
  readonly kind: 'kill' | 'freeze' | 'disk-full' | 'hold' | 'leave';
  readonly forS: number;
}

/**
 * What must come of it, the least that counts as safe: heat told off; less heat; the run held; no cut made; no power at
 * the element; somebody told; nothing at all, for it is no trouble to speak of.
 */
export type Safe = 'heat-off' | 'less-heat' | 'held' | 'no-cut' | 'device-off' | 'told' | 'carries-on';

/** One kind of trouble: what is done to the still, from when on it is a hazard, and what must see it. */
export interface Case {
  readonly name: string;
  readonly hazard: Hazard | null;
  readonly stills: readonly StillType[];
  readonly phases: readonly Phase[];
  /** How long it lasts at the most [s]. */
  readonly lastsS: number;
  faults(draw: Draw): readonly FaultPlan[];
  acts?(draw: Draw): readonly Act[];
  /** The hazard is there: from now on the stated time counts. */
  onset(view: View): boolean;
  /** Over again by itself before anybody had to tell of it: the stated time then counts anew from the next onset. */
  isPast?(view: View): boolean;
  /** Rules whose alarm tells of it. */
  readonly answers: readonly string[];
  /** Rules whose stated time is promised; the quickest that this still has counts. */
  readonly promisedBy: readonly string[];
  readonly safe: Safe;
  /** Where the devices and not an alarm make it safe: how soon after the onset [s]. Judged even where nothing can see it. */
  readonly safeWithinS?: number;
  /** Why this still cannot see it, or sees it only in part; null where it must. */
  unseen(type: StillType, faults: readonly FaultPlan[]): string | null;
  /** After it the run cannot be finished, whoever orders: why. */
  readonly spoils?: string;
}

const always = () => null;

export function trouble(one: Omit<Case, 'stills' | 'phases' | 'unseen' | 'faults'> & Partial<Case>): Case {
  return {
    stills: ['pot', 'column', 'bare', 'stripping'],
    phases: ['foreshots', 'heads', 'hearts', 'tails'],
    faults: () => [],
    unseen: always,
    ...one,
  };
}

/** Power that really goes in [W]. */
export function powerW(view: View): number {
  return view.site.state.powerW;
}

/** The highest share of heat that any drive was told last. */
export function commandedHeat(run: Run, plant: Plant): number {
  let most = 0;
  for (const id in plant.still.drives) {
    const value = plant.still.drives[id]?.kind === 'heat' ? run.drives[id]?.value : undefined;
    if (typeof value === 'number') most = Math.max(most, value);
  }
  return most;
}

export function boils(view: View): boolean {
  return view.site.state.boiledMolPerS > 1e-4;
}

/** Skin of the hottest element [°C]. */
export function skinC(site: Site): number {
  return Math.max(...Object.values(site.state.sources).map((source) => source.tempC));
}

/** Longest a drive may be on its way, or a device may take to answer, beside what the still says of it [s]. */
const easeS = 2;

/**
 * A drive stands otherwise than it was told, longer than it needs to get there. Only what some point can tell: a drive
 * that reports, and heat with a meter, told off or told more than half.
 */
export function standsWrong({ plant, run, before, site }: View): boolean {
  return Object.entries(plant.still.drives).some(([id, drive]) => {
    const memory = run.drives[id];
    if (memory === undefined || before.drives[id]?.value !== memory.value) return false;
    const travelS = 'travelS' in drive ? drive.travelS : 0;
    if (run.now - memory.changedAtS < travelS + drive.answerS + easeS) return false;
    if (drive.kind === 'heat') {
      const isMetered = Object.values(plant.still.points).some(({ kind }) => kind === 'heat-power');
      if (!isMetered || typeof memory.value !== 'number') return false;
      return memory.value === 0 ? site.state.powerW > 0 : memory.value >= 0.5 && site.state.powerW === 0;
    }
    if (drive.reported === undefined) return false;
    const told = drive.kind === 'diverter' ? drive.positions.indexOf(String(memory.value)) : memory.value;
    return site.drives.drives[id]!.position !== told;
  });
}

/** Rules that tell of a drive that does not do as it was told. */
export const disobedience: readonly string[] = [
  'heat-not-coming',
  'heat-not-stopping',
  'heat-mismatch',
  'drive-mismatch',
  'receiver-stuck',
  'receiver-closed',
  'coolant-not-on',
];
