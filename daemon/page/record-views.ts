import type { PouringOrder } from '../../lib/jars/blind';
import type { ChangeoverReading, Verdict } from '../../lib/jars/sheet';
import type { Consensus } from '../../lib/jars/tasting';
import type { DecisionView, FractionView } from './views';

/** What the page shows of the record: runs, and the jar sheets beside them. */
export interface RunLine {
  readonly id: string;
  readonly still: string;
  readonly stillName: string;
  readonly kind: string;
  readonly recipe: string | null;
  readonly variant: string | null;
  readonly startedAt: string;
  readonly endedAt: string | null;
  /** null while the run is open. */
  readonly outcome: string | null;
  readonly heartsL: number | null;
  readonly heartsVolPercent: number | null;
  readonly simulated: boolean;
  /** What it came to cannot be read from the record any more. */
  readonly damaged: boolean;
}

export interface RunView extends RunLine {
  readonly potable: boolean;
  readonly lastedS: number | null;
  readonly chargeL: number | null;
  readonly chargeVolPercent: number | null;
  readonly startedBy: string | null;
  readonly fractions: readonly FractionView[];
  readonly volumeFrom: string | null;
  readonly totalL: number | null;
  readonly totalAlcoholL: number | null;
  readonly decisions: readonly DecisionView[];
  /** Decisions that are in the record but not shown. */
  readonly more: number;
  readonly jars: number;
  readonly head: string;
  readonly replayable: boolean;
}

export interface RunQuery {
  readonly still?: string | undefined;
  readonly text?: string | undefined;
  readonly offset?: number | undefined;
}

/** A reading at the changeover of two jars. */
export interface ChangeoverView extends ChangeoverReading {
  readonly vapourAtReferenceC: number | null;
}

/** What was measured of one jar afterwards, and the decision on it. */
export interface MeasuredView {
  readonly volumeL?: number;
  readonly strengthVolPercent?: number;
  readonly sampleTempC?: number;
  readonly note?: string;
  readonly verdict?: Verdict;
  readonly vapourTempC?: number;
  readonly boilerTempC?: number;
  readonly airPressureHPa?: number;
  readonly timeS?: number;
  /** Where the jar before has no end: of jar 1. */
  readonly start?: ChangeoverReading;
}

export interface TastingView {
  readonly taster: string;
  readonly nose?: string;
  readonly front?: string;
  readonly middle?: string;
  readonly back?: string;
  readonly descriptors?: readonly string[];
  readonly intensity?: number;
  readonly verdict?: Verdict;
}

/** Content with the revision it was saved as; 0 before the first. */
export interface Saved<T> {
  readonly revision: number;
  readonly savedAt: string | null;
  readonly content: T;
}

export interface JarView {
  readonly number: number;
  readonly start: ChangeoverView | null;
  /** null while the jar is filling. */
  readonly end: ChangeoverView | null;
  /** By the engine's meter or estimate, not by the distiller. */
  readonly countedL: number | null;
  readonly measured: Saved<MeasuredView>;
  readonly tastings: readonly Saved<TastingView>[];
  readonly consensus: Consensus | null;
}

export interface SheetAbout {
  readonly name: string;
  readonly run?: string;
  readonly startedAt?: string;
  readonly stillId?: string;
  readonly stillName: string;
  readonly stillKind: 'pot' | 'column';
  readonly holdUpL: number;
  readonly referenceHPa: number;
  readonly altitudeM?: number;
  readonly resolutionK?: number;
  readonly accuracyK?: number;
  readonly chargeL?: number;
  readonly chargeVolPercent?: number;
  readonly chargeWhat?: string;
  readonly heaterW?: number;
  readonly strengthReading?: 'as-read' | 'true';
  readonly foreshotsJars?: number;
}

export interface PouringView {
  readonly order: PouringOrder;
  readonly hidden: boolean;
  readonly glasses: readonly {
    readonly position: number;
    readonly jar: number;
    readonly hiddenNumber: number | null;
  }[];
}

export interface SheetView {
  readonly id: string;
  readonly about: Saved<SheetAbout>;
  /** Typed in from a run made by hand: its changeovers can be edited. */
  readonly byHand: boolean;
  /** The run still fills jars. */
  readonly open: boolean;
  readonly jars: readonly JarView[];
  readonly pouring: PouringView | null;
  readonly words: Readonly<Record<string, 'heads' | 'hearts' | 'tails'>>;
}

export interface SheetLine {
  readonly id: string;
  readonly name: string;
  readonly stillName: string;
  readonly savedAt: string | null;
  readonly open: boolean;
}
