import type { AlarmState } from '../../lib/alarms/life-cycle';
import type { OrderKind, Priority, Quality, RunState } from '../../lib/engine/types';
import type { Fraction, Phase } from '../../lib/recipe/schema';
import type { PointKind } from '../../lib/still/schema';

/**
 * What the page shows, as plain JSON. Temperatures are °C, volumes litres, strengths per cent: the page is an edge.
 * `null` is not known; nothing old is ever given as if it were fresh.
 */
export interface TempView {
  readonly point: string | null;
  /** As read, corrected by the calibration and smoothed: what the cuts go by. */
  readonly tempC: number | null;
  readonly atReferenceC: number | null;
  readonly slopeKPerMin: number | null;
  readonly quality: Quality | 'none';
  readonly fault: string | null;
  /** The last good value and its age, for a probe that reads no more. */
  readonly lastC: number | null;
  readonly lastAgoS: number | null;
}

/** One test of what ends the phase: how things stand, and how far it is. */
export interface FarView {
  readonly text: string;
  readonly unit: 'C' | 'K' | 'L' | '%' | '% vol' | 's';
  readonly have: number;
  readonly want: number;
  /** Never negative; 0 when it is met. */
  readonly toGo: number;
  /** At the present pace, a straight line [s]; null where it does not move that way. */
  readonly etaS: number | null;
}

export interface NextView {
  readonly to: Phase;
  readonly toSaid: string;
  readonly when: string;
  readonly tests: readonly FarView[];
  /** What the cut must wait for besides. */
  readonly guard: FarView | null;
  /** When it comes, in words: `in about 12 min (9–16)`; or why that cannot be told. */
  readonly expected: string;
  readonly suspended: boolean;
  readonly heldS: number;
  readonly holdS: number;
  readonly thresholdHereC: number | null;
  readonly thresholdAtReferenceC: number | null;
}

export interface AlarmView {
  readonly id: string;
  readonly name: string;
  readonly priority: Priority;
  readonly state: AlarmState;
  readonly text: string;
  readonly what: string | null;
  readonly doNow: string | null;
  readonly takesHeatOff: boolean;
  readonly acknowledged: boolean;
  readonly shelvedForS: number | null;
  readonly suppressed: boolean;
  readonly outOfService: boolean;
  readonly firstOut: boolean;
  readonly raisedAgoS: number | null;
}

/** Something the engine wants a person to answer. */
export type AskView =
  | { readonly kind: 'cut'; readonly from: string; readonly to: string; readonly why: string }
  | { readonly kind: 'surge'; readonly from: string; readonly to: string; readonly why: string }
  | { readonly kind: 'spout'; readonly to: string; readonly why: string };

export interface ReceiverView {
  readonly id: string;
  readonly takes: readonly Fraction[];
  readonly volumeL: number;
  readonly capacityL: number;
  readonly open: boolean;
  readonly opening: boolean;
}

export interface FractionView {
  readonly fraction: Fraction;
  readonly volumeL: number;
  readonly alcoholL: number;
  readonly strengthVolPercent: number | null;
  readonly sharePercent: number | null;
}

export interface DecisionView {
  /** Number that tells it from the others of its list. */
  readonly n: number;
  readonly kind: string;
  /** Into the run [s]; null outside of one. */
  readonly intoS: number | null;
  /** Wall time, where it was heard as it happened; ISO 8601. */
  readonly at: string | null;
  readonly text: string;
  readonly grave: boolean;
}

export interface StillView {
  readonly id: string;
  readonly name: string;
  readonly kind: 'pot' | 'column';
  readonly state: RunState;
  readonly stateSaid: string;
  readonly phase: Phase;
  readonly phaseSaid: string;
  readonly since: string;
  readonly reason: string;
  /** Engine seconds a second: anything but 1 is a simulated still. */
  readonly speed: number;
  readonly nowS: number;
  readonly run: {
    readonly id: string | null;
    readonly recipe: string;
    readonly variant: string | null;
    /** Only stripping and spirit runs give a product. */
    readonly potable: boolean;
    readonly startedS: number | null;
    readonly intoS: number | null;
    readonly inPhaseS: number;
    readonly chargeL: number | null;
    readonly chargeVolPercent: number | null;
  } | null;
  readonly referenceHPa: number;
  readonly vapour: TempView;
  readonly boiler: TempView;
  readonly airPressureHPa: number | null;
  readonly airPressureFrom: string;
  readonly strengthVolPercent: number | null;
  readonly strengthBy: 'parrot' | 'vapour-temp' | null;
  readonly next: NextView | null;
  /** A resumed run on its way back to where it was. */
  readonly comingBack: boolean;
  readonly produced: {
    readonly volumeL: number;
    readonly alcoholL: number;
    readonly rateLPerH: number;
    readonly sharePercent: number | null;
    readonly from: string;
    readonly fractions: readonly FractionView[];
  };
  readonly receivers: readonly ReceiverView[];
  readonly drives: readonly {
    readonly id: string;
    readonly kind: string;
    readonly text: string;
    readonly why: string;
  }[];
  readonly points: readonly PointView[];
  readonly alarms: readonly AlarmView[];
  readonly trips: readonly { readonly id: string; readonly text: string }[];
  readonly asks: readonly AskView[];
  /** Somebody must answer; null where the still does not ask. */
  readonly attendance: { readonly everyS: number; readonly dueInS: number | null } | null;
  readonly jar: { readonly number: number; readonly volumeL: number; readonly sinceS: number } | null;
  /** Orders that could be carried out now; the engine has the last word. */
  readonly can: readonly OrderKind[];
  readonly undoForS: number | null;
  /** Orders from elsewhere may also make things less safe. */
  readonly remoteOrders: boolean;
  readonly decisions: readonly DecisionView[];
}

export interface PointView {
  readonly id: string;
  readonly kind: PointKind;
  readonly what: string;
  readonly value: number | null;
  readonly unit: string;
  readonly quality: Quality;
  readonly fault: string | null;
  readonly agoS: number | null;
}

/** Lines of a plot: one row a moment, oldest first; gaps are null. */
export interface TrendView {
  /** Engine time of the run's start [s]; null where there is no run. */
  readonly startedS: number | null;
  readonly referenceHPa: number;
  readonly atS: readonly number[];
  readonly vapourC: readonly (number | null)[];
  readonly vapourAtReferenceC: readonly (number | null)[];
  readonly boilerC: readonly (number | null)[];
  readonly phases: readonly { readonly atS: number; readonly to: Phase; readonly toSaid: string }[];
}

export interface RecipeView {
  readonly name: string;
  readonly about: string | null;
  readonly kind: string;
  readonly potable: boolean;
  readonly variants: readonly { readonly name: string; readonly about: string | null }[];
  readonly needsCharge: boolean;
  readonly usualChargeL: number | null;
  readonly usualChargeVolPercent: number | null;
}
