import type { ShiftCurve } from '../physics';
import type { Fraction, Phase, Recipe, Step } from '../recipe/schema';
import type { Drive, Point, Still } from '../still/schema';

/** Why something was decided, as data: worded at the edge by `words`. */
export interface Reason {
  readonly code: string;
  readonly numbers: Readonly<Record<string, number | string>>;
  /** The reasons this one rests on, e.g. the tests of a condition. */
  readonly because?: readonly Reason[];
}

/** What the feed already knew to be wrong with a reading. */
export type ReadingFault =
  | 'missing'
  | 'null'
  | 'text'
  | 'not-a-number'
  | 'infinite'
  | 'empty'
  | 'unknown-token'
  | 'retained'
  | 'sentinel'
  | 'checksum'
  | 'too-large'
  | 'unit'
  | 'offline';

/** A value from a point as it arrived; `value` is in the unit of the point's kind, uncorrected. */
export interface Reading {
  readonly point: string;
  readonly value: number | null;
  /** Arrival on the engine's clock [s]. */
  readonly atS: number;
  readonly fault?: ReadingFault;
}

export type OrderKind =
  | 'start'
  | 'hold'
  | 'resume'
  | 'stop'
  | 'abort'
  | 'reset'
  | 'cut'
  | 'decline-cut'
  | 'undo-cut'
  | 'spout-moved'
  | 'receiver-emptied'
  | 'acknowledge'
  | 'shelve'
  | 'unshelve'
  | 'out-of-service'
  | 'return-to-service'
  | 'attend'
  | 'next-jar'
  | 'note';

/** What an operator says. */
export interface Order {
  readonly id: string;
  readonly kind: OrderKind;
  readonly by: string;
  /** Given at the still itself, or from elsewhere. */
  readonly from: 'still' | 'remote';
  /** Alarm, receiver or other thing meant. */
  readonly target?: string;
  readonly text?: string;
  readonly forS?: number;
}

export interface Input {
  /** Engine time [s], monotonic. */
  readonly now: number;
  readonly readings: readonly Reading[];
  readonly orders: readonly Order[];
  /** Readings and orders that came since the last scan and were too many to take. */
  readonly dropped?: number;
}

export type DriveValue = number | string;

/** What we tell a drive. 0 off or closed, 1 on or open, shares between; a receiver's name for a diverter. */
export interface Command {
  readonly id: string;
  readonly drive: string;
  readonly value: DriveValue;
  readonly issuedAtS: number;
  readonly ttlS: number;
  /** A repetition that feeds the device-side dead-man; not journaled. */
  readonly repeat: boolean;
  /** Towards the safe state: never waits for the store. */
  readonly safe: boolean;
  readonly reason: Reason;
}

/** ISA-88 state of the run; where the liquid is, is the phase. */
export type RunState = 'idle' | 'running' | 'held' | 'stopping' | 'complete' | 'stopped' | 'aborted';

export type AlarmTransition =
  | 'raised'
  | 'returned'
  | 'acknowledged'
  | 'cleared'
  | 'shelved'
  | 'unshelved'
  | 'out-of-service'
  | 'returned-to-service'
  | 'suppressed'
  | 'unsuppressed';

/** The temperatures a decision rests on, where it rests on one. */
export interface CutFigures {
  readonly vapourTempC: number | null;
  readonly thresholdHereC: number | null;
  readonly thresholdAtReferenceC: number | null;
  readonly airPressureHPa: number | null;
}

interface EventBase {
  readonly atS: number;
  readonly reason: Reason;
}
export type Event = EventBase &
  (
    | {
        readonly kind: 'phase';
        readonly from: Phase;
        readonly to: Phase;
        readonly asked: boolean;
        readonly figures: CutFigures;
      }
    | { readonly kind: 'state'; readonly from: RunState; readonly to: RunState }
    | { readonly kind: 'cut-asked'; readonly from: Phase; readonly to: Phase; readonly figures: CutFigures }
    | { readonly kind: 'cut-suspended' | 'cut-restored' | 'cut-declined'; readonly phase: Phase }
    | { readonly kind: 'cut-undone'; readonly from: Phase; readonly to: Phase }
    | { readonly kind: 'receiver'; readonly from: string | null; readonly to: string | null }
    | { readonly kind: 'spout-asked'; readonly to: string }
    | { readonly kind: 'surge'; readonly state: 'diverted' | 'returned' | 'asked' }
    | {
        readonly kind: 'alarm';
        readonly alarm: string;
        readonly transition: AlarmTransition;
        readonly priority: Priority;
        /** False while the alarm is shelved, suppressed or out of service: written down, but nobody is called. */
        readonly announced?: boolean;
      }
    | { readonly kind: 'trip'; readonly trip: string; readonly state: 'tripped' | 'reset' }
    | { readonly kind: 'order'; readonly order: Order; readonly accepted: boolean }
    | { readonly kind: 'quality'; readonly point: string; readonly quality: Quality }
    | { readonly kind: 'jar'; readonly number: number; readonly figures: CutFigures; readonly volumeL: number | null }
    | { readonly kind: 'fault' }
  );

export type Priority = 'critical' | 'high' | 'medium' | 'low';
export type Quality = 'good' | 'never' | 'stale' | 'bad' | 'range' | 'jump';

/** One point as the scan sees it: frozen for the scan. */
export interface Seen {
  readonly quality: Quality;
  /** Last good value, corrected by the calibration; null before the first. */
  readonly value: number | null;
  /** Arrival of the last good reading [s]. */
  readonly goodAtS: number | null;
  /** Arrival of the last reading of any quality [s]. */
  readonly atS: number | null;
  readonly fault: ReadingFault | 'range' | 'jump' | 'stale' | null;
  /** Since when the quality has not been good [s]; null while good. */
  readonly badSinceS: number | null;
  /** A jump waiting to be believed: its value, when it began, how many readings agree. */
  readonly jump: { readonly value: number; readonly sinceS: number; readonly count: number } | null;
  /** Spacing of good readings, smoothed [s]. */
  readonly spacingS: number | null;
}
export type Image = Readonly<Record<string, Seen>>;

/** Despiked, exponentially weighted local line through a temperature. */
export interface Line {
  readonly atS: number;
  readonly s0: number;
  readonly s1: number;
  readonly s2: number;
  readonly t0: number;
  readonly t1: number;
  /** Readings since the line was (re)started. */
  readonly count: number;
  readonly sinceS: number;
  /** Readings set aside as spikes, waiting to be believed together: all on the same side. */
  readonly aside: readonly { readonly atS: number; readonly value: number }[];
  /** Smoothed size of the residuals, for the spike limit [K]. */
  readonly scatter: number;
}

export type VolumeSource = 'measured' | 'receivers' | 'flow' | 'heat' | 'none';

export interface Produced {
  readonly source: VolumeSource;
  /** Since the start of the run [L]. */
  readonly volumeL: number;
  /** Pure alcohol since the start [L at 20 °C], where a strength was known. */
  readonly alcoholL: number;
  readonly rateLPerH: number;
  readonly byFraction: Readonly<Record<Fraction, { readonly volumeL: number; readonly alcoholL: number }>>;
  readonly byReceiver: Readonly<Record<string, number>>;
  /** Meter value at the last scan, for totals that count by themselves. */
  readonly meterL: Readonly<Record<string, number>>;
  /** Energy delivered to the boiler since the start [J]. */
  readonly energyJ: number;
}

export interface Estimate {
  readonly lines: Readonly<Record<string, Line>>;
  /** Probes that read but are not to be believed for a cut, by the alarms that stand. */
  readonly doubted?: readonly string[];
  readonly pressure: {
    readonly medianHPa: number | null;
    readonly samples: readonly number[];
    readonly lastSampleS: number | null;
    /** From a barometer, from the altitude, or nowhere. */
    readonly source: 'barometer' | 'held' | 'altitude' | 'none';
  };
  readonly vapourTempC: number | null;
  readonly vapourSlopeKPerS: number | null;
  readonly boilerTempC: number | null;
  readonly boilerSlopeKPerS: number | null;
  /** Strength of the distillate now; null where nothing tells. */
  readonly strengthAbv: number | null;
  readonly strengthBy: 'parrot' | 'vapour-temp' | null;
  /** Settled plateau of the vapour at the reference pressure [°C]; null until one was seen. */
  readonly plateauC: number | null;
  /** The phase in which that plateau settled. */
  readonly plateauPhase: Phase | null;
  /** Span for the settled test: recent vapour estimates at the reference pressure, one a 15 s. */
  readonly recent: readonly { readonly atS: number; readonly tempC: number }[];
  readonly produced: Produced;
  /** What lies ahead; not in records of before it was. */
  readonly forecast?: Forecast;
}

/** When the next cut comes: from the moment it was worked out, with one standard uncertainty [s]; or why that cannot be told. */
export type CutTime =
  | { readonly kind: 'in'; readonly inS: number; readonly sigmaS: number }
  | { readonly kind: 'unknown'; readonly why: string };

/** Alcohol left in the boiler and what the boiler probe reads above the boiling point of that, with their covariance. */
export interface ChargeForecast {
  readonly alcoholL: number;
  readonly offsetK: number;
  readonly varL2: number;
  readonly covLK: number;
  readonly varK2: number;
  /** Alcohol counted as come over at the last look [L]. */
  readonly countedL: number;
}

/** Measured volume against what the heat should have brought, both fading alike. */
export interface FlowForecast {
  /** Volume at the last look [L]; null before the first. */
  readonly atL: number | null;
  readonly measuredL: number;
  readonly modelL: number;
  readonly weightS: number;
}

/** What lies ahead, as far as it can be told; worked out every ten seconds. */
export interface Forecast {
  readonly atS: number | null;
  /** Step of the plan it is for. */
  readonly step: number;
  readonly charge: ChargeForecast | null;
  readonly flow: FlowForecast;
  readonly next: CutTime;
}

/** What is remembered of one test of the current step's condition, by its path in the tree. */
export interface TestMemory {
  readonly met: boolean;
  readonly seenUnmet: boolean;
}

export interface CutMemory {
  /** The vapour front is past the probe: what is unmet from now on is really unmet. */
  readonly frontPassed: boolean;
  readonly tests: Readonly<Record<string, TestMemory>>;
  /** Since when the whole condition, guard included, has held [s]. */
  readonly metSinceS: number | null;
  /** What makes it met was already met when the phase began. */
  readonly metOnEntry: boolean;
  /** Since when a figure has been past where the cut is plausible, the cut not being due [s]. */
  readonly overdueSinceS: number | null;
  readonly asked: boolean;
  /** Asked and declined: do not ask again before it was unmet once more. */
  readonly declined: boolean;
  /** The cut of this step may only be asked (after an undo). */
  readonly askOnly: boolean;
  readonly suspended: boolean;
  readonly suspendedSinceS: number | null;
}

export interface SurgeMemory {
  readonly divertedSinceS: number | null;
  readonly divertedAtL: number;
  readonly count: number;
  readonly puked: boolean;
}

export interface Spout {
  /** Fraction at the spout: follows the phase after the hold-up. */
  readonly fraction: Fraction | null;
  readonly pending: { readonly fraction: Fraction | null; readonly sinceS: number; readonly sinceL: number } | null;
}

export interface DriveMemory {
  readonly value: DriveValue;
  readonly commandedAtS: number;
  /** When the present value was first commanded [s]. */
  readonly changedAtS: number;
  readonly reason: Reason;
}

export interface AlarmMemory {
  readonly active: boolean;
  /** Condition true since [s]; null while false. */
  readonly trueSinceS: number | null;
  readonly falseSinceS: number | null;
  readonly acknowledged: boolean;
  /** Latched and not yet cleared. */
  readonly standing: boolean;
  readonly raisedAtS: number | null;
  readonly shelvedUntilS: number | null;
  readonly outOfService: boolean;
  readonly suppressed: boolean;
  readonly reason: Reason | null;
  /** Times of the last few raisings, for rates and chattering. */
  readonly raisings: readonly number[];
}

/** One moment of the last minutes, for the rules that look at movement. */
export interface WatchSample {
  readonly atS: number;
  readonly boilerC: number | null;
  readonly vapourC: number | null;
  readonly strengthAbv: number | null;
  readonly heatW: number;
}

/** How one temperature probe has behaved. */
export interface ProbeWatch {
  readonly goodAtS: number;
  readonly value: number;
  /** The reading before it [°C]: who goes back to it has not leapt, but the one between was wild. */
  readonly beforeC?: number;
  /** The very same value since [s], and what the heat had given and what should move along stood at when it began. */
  readonly sameSinceS: number;
  readonly sameEnergyJ: number;
  readonly sameBesideC: number | null;
  /** Smallest step it was seen to make [K]; null before the first. */
  readonly stepK: number | null;
  /** A leap that may still turn out a spike: from where [°C], and how many readings have stayed there since. */
  readonly leap: { readonly fromC: number; readonly count: number } | null;
  /** Last leap further than the place can change that stayed: when, and by how much [K]. */
  readonly jumpedAtS: number | null;
  readonly jumpK: number;
  /** Reads what a digital thermometer gives when it has just been powered, and did not come there step by step; since [s]. */
  readonly powerOnSinceS: number | null;
}

/** How fast the skin of an element climbs: smoothed, and by the last step alone [K/s]. */
export interface SkinWatch {
  readonly atS: number;
  readonly value: number;
  readonly perS: number;
  readonly lastPerS?: number;
}

/** What the safety rules remember of the last minutes; bounded, plain JSON. */
export interface Watch {
  readonly atS: number;
  readonly startedAtS: number | null;
  /** A scan that came late: when, and how long after the one before [s]. */
  readonly lateAtS: number | null;
  readonly lateS: number;
  readonly samples: readonly WatchSample[];
  readonly probes: Readonly<Record<string, ProbeWatch>>;
  /** Skin of the element: last reading, and how fast it climbs. */
  readonly skins: Readonly<Record<string, SkinWatch>>;
  /** Start of the heat-up that is measured: boiler temperature and energy then. */
  readonly heatUp: { readonly atS: number; readonly tempC: number; readonly energyJ: number } | null;
  /** Heat on without a break since, and vapour at the head since [s]. */
  readonly heatSinceS: number | null;
  readonly vapourSinceS: number | null;
  /** Boiler at the boiling point of its charge, heat on, and no vapour at the head: for how long [s]. */
  readonly boilingBlindS: number;
  /** Distillate last seen to come: when, how much by then, and how much the heat should have brought since [L]. */
  readonly drip: { readonly atS: number; readonly volumeL: number; readonly expectedL: number };
  /** What the heat can have boiled off since the start [L], and what a joule of it brings over now [L]. */
  readonly boiledL: number;
  readonly boiledLPerJ: number;
  /** Boiling point of what should be left in the boiler: the highest and the lowest it can be [°C]. */
  readonly bubbleC: number | null;
  readonly bubbleLowC: number | null;
  readonly bubbleAtS: number;
  /** What stood in a receiver when it was closed [L]. */
  readonly closedL: Readonly<Record<string, number>>;
  /** Probes not to be believed for a cut now, and since when [s]. */
  readonly doubted: Readonly<Record<string, number>>;
}

export interface Trip {
  readonly id: string;
  readonly atS: number;
  readonly reason: Reason;
}

/** Where a held run was, and how far it has come back since it was resumed. */
export interface Resume {
  /** Vapour temperature at the reference pressure when it was held; null where unknown. */
  readonly targetVapourC: number | null;
  /** Resumed and re-heating into feints; false while still held. */
  readonly reheating: boolean;
  readonly sinceS: number;
  readonly sinceL: number;
  /** Back at the target since [s]. */
  readonly backSinceS: number | null;
}

/** All that is remembered of a run; plain JSON. */
export interface Run {
  readonly now: number;
  readonly state: RunState;
  readonly phase: Phase;
  /** Index of the current step in the plan; −1 before the first and after the last. */
  readonly step: number;
  readonly startedAtS: number | null;
  readonly phaseSinceS: number;
  readonly phaseSinceL: number;
  readonly stateReason: Reason;
  readonly image: Image;
  readonly estimate: Estimate;
  readonly cut: CutMemory;
  readonly surge: SurgeMemory;
  readonly spout: Spout;
  /** The receiver that is open by our word or the operator's; null where none. */
  readonly receiver: string | null;
  /** A switch of receivers under way. */
  readonly switching: {
    readonly from: string | null;
    readonly to: string;
    readonly sinceS: number;
    readonly step: 'opening' | 'closing';
  } | null;
  /** The receiver the operator was asked to move the spout to. */
  readonly spoutAsked: string | null;
  /** A receiver that did not follow its last switch; becomes a trip. */
  readonly stuckReceiver: { readonly atS: number; readonly reason: Reason } | null;
  readonly lastCut: { readonly step: number; readonly atS: number } | null;
  readonly resume: Resume | null;
  readonly drives: Readonly<Record<string, DriveMemory>>;
  readonly alarms: Readonly<Record<string, AlarmMemory>>;
  readonly trips: readonly Trip[];
  readonly firstOut: string | null;
  /** Last time heat may have gone in [s]; for the run-on. */
  readonly heatAtS: number | null;
  readonly attendedAtS: number | null;
  readonly jar: { readonly number: number; readonly sinceL: number; readonly sinceS: number } | null;
  readonly commandCount: number;
  readonly watch?: Watch;
}

/** A step of the recipe, compiled for this still: thresholds as curves over pressure, by the test's path. */
export interface PlannedStep {
  readonly step: Step;
  readonly curves: Readonly<Record<string, ShiftCurve>>;
  /** Deadbands of tests that stand for a temperature but are written in another unit [K], by the test's path; older plans lack it. */
  readonly deadbandsK?: Readonly<Record<string, number>>;
  readonly receiver: string | null;
  /** Longest span a settled test of this step looks back over [s]; 0 without one. */
  readonly settledOverS: number;
  /** The vapour temperatures between which the cut is plausible, as curves over pressure. */
  readonly window: { readonly from: ShiftCurve; readonly to: ShiftCurve } | null;
}

export interface Charge {
  readonly volumeL: number;
  readonly strengthAbv: number;
}

/** The still, its recipe and its charge: fixed for a run. Plain JSON, so the record can keep it. */
export interface Plant {
  readonly still: Still;
  readonly recipe: Recipe | null;
  readonly variant: string | null;
  readonly charge: Charge | null;
  readonly plan: readonly PlannedStep[];
  /** The run the recipe came from: vapour temperature at the reference pressure over the share of alcohol come over. */
  readonly profile?: readonly ProfilePoint[];
}

export interface ProfilePoint {
  readonly sharePercent: number;
  readonly vapourTempC: number;
}

export interface ScanResult {
  readonly run: Run;
  readonly commands: readonly Command[];
  readonly events: readonly Event[];
}

/** A point or drive with its name. */
export type Named<T> = T & { readonly id: string };
export type { Drive, Fraction, Phase, Point, Recipe, Step, Still };
