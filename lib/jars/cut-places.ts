import { type Changeover, type Moment, momentAt, type SheetFigures, strengthOfVapour } from './figures';
import type { Selection, VariantName } from './selection';

/** Where a cut lies in the development run, on every axis it can be carried on. */
export interface CutPlace {
  readonly cut: 'heads' | 'tails';
  /** Changeover of the sheet: 0 the start of jar 1. */
  readonly changeover: number;
  /** Collected at the spout when the jar was changed [L]; null where volumes are missing. */
  readonly spoutL: number | null;
  /** Collected when the liquid of the changeover passed the probe: less by the hold-up. */
  readonly probeL: number | null;
  /** At the probe, at the reference pressure [°C]. */
  readonly vapourAtReferenceC: number;
  readonly boilerAtReferenceC: number | null;
  /** Alcohol come over when the liquid passed the probe [% of the charge's]. */
  readonly sharePercent: number | null;
  /** Strength of the distillate at that moment, by its vapour [0..1]. */
  readonly strengthAbv: number;
  /** At the changeover itself, for a person who changes the spout by hand: as read and corrected, and the air pressure. */
  readonly readC: number;
  readonly stationHPa: number;
}

/** The two cuts of a variant. */
export interface VariantCuts {
  readonly variant: VariantName;
  readonly selection: Selection;
  readonly heads: CutPlace;
  readonly tails: CutPlace;
}

/** Where the liquid at the changeover passed the probe; the changeover itself where there is no hold-up. */
function atProbe(figures: SheetFigures, at: Changeover): Moment | null {
  const { holdUpL } = figures.sheet.still;
  const first = figures.changeovers[0];
  if (holdUpL === 0 || at.atL === null || first?.atL == null) return null;
  return momentAt(figures, Math.max(first.atL, at.atL - holdUpL));
}

/**
 * Places a cut at a changeover.
 *
 * With a hold-up between probe and spout the liquid that parted at the changeover passed the probe earlier: the cut is placed there, because the
 * engine cuts at the probe and lets the spout follow.
 *
 * @returns null where the changeover has no temperature at the reference pressure
 */
export function placeCut(figures: SheetFigures, cut: 'heads' | 'tails', changeover: number): CutPlace | null {
  const at = figures.changeovers[changeover];
  if (at === undefined || at.vapourAtReferenceC === null || at.stationHPa === null || at.vapourC === null) return null;
  const moment = atProbe(figures, at);
  const vapourAtReferenceC = moment === null ? at.vapourAtReferenceC : moment.vapourAtReferenceC;
  if (vapourAtReferenceC === null) return null;
  return {
    cut,
    changeover,
    spoutL: at.atL,
    probeL: moment?.atL ?? at.atL,
    vapourAtReferenceC,
    boilerAtReferenceC: moment === null ? at.boilerAtReferenceC : moment.boilerAtReferenceC,
    sharePercent: moment === null ? at.sharePercent : moment.sharePercent,
    strengthAbv: strengthOfVapour(vapourAtReferenceC, figures.referenceHPa),
    readC: at.vapourC,
    stationHPa: at.stationHPa,
  };
}

/** The cuts of a selection: heads at the changeover into its first jar, tails at the end of its last. */
export function placeCuts(figures: SheetFigures, selection: Selection): VariantCuts | null {
  const heads = placeCut(figures, 'heads', selection.firstJar - 1);
  const tails = placeCut(figures, 'tails', selection.lastJar);
  return heads === null || tails === null ? null : { variant: selection.variant, selection, heads, tails };
}
