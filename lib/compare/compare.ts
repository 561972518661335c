import type { Reason } from '../engine/types';
import { explainDifference, type LikelyCause } from './causes';
import {
  type Departure,
  departuresOf,
  type Envelope,
  envelopeOf,
  offNumbers,
  type Tolerance,
  usualTolerance,
} from './envelope';
import { compareFractions, type FractionDifference, sayableFractions } from './fractions';
import type { ComparedRun } from './profile';

/** A run beside the run its recipe came from. */
export interface Comparison {
  readonly reference: string;
  readonly run: string;
  readonly envelope: Envelope;
  readonly departures: readonly Departure[];
  readonly fractions: readonly FractionDifference[];
  readonly causes: readonly LikelyCause[];
  /** All of it as data to be worded, the fractions first. */
  readonly findings: readonly Reason[];
}

/** How two runs are compared. */
export interface CompareOptions {
  /** Further good runs of the recipe, for the envelope. */
  readonly others?: readonly ComparedRun[];
  readonly tolerance?: Tolerance;
  readonly isPot?: boolean;
}

function departureReason(departure: Departure): Reason {
  const { quantity, side, fromSharePercent, toSharePercent, worst, worstAtPercent } = departure;
  const { sharePercent: _, ...numbers } = offNumbers(quantity, worst, worstAtPercent);
  return {
    code: `compare.left-${quantity}-${side}`,
    numbers: { ...numbers, fromSharePercent, toSharePercent, worstAtPercent },
  };
}

/**
 * Compares a run with the run its recipe came from, on the axis of the charge's alcohol come over and not of time: where it leaves the envelope, how
 * the fractions differ, and what most likely made it so.
 *
 * @param reference the run the recipe came from
 * @param run another run of the recipe
 * @returns the comparison; runs recorded at different reference pressures are compared as they are, so move them first
 */
export function compareRuns(reference: ComparedRun, run: ComparedRun, options: CompareOptions = {}): Comparison {
  const tolerance = options.tolerance ?? usualTolerance;
  const envelope = envelopeOf([reference, ...(options.others ?? [])], tolerance);
  const departures = departuresOf(envelope, run);
  const fractions = compareFractions(reference, run);
  const causes = explainDifference(reference, run, options.isPot ?? true, tolerance);
  const said = [...sayableFractions(fractions), ...departures.map(departureReason), ...causes.map((one) => one.reason)];
  const findings = said.length > 0 ? said : [{ code: 'compare.alike', numbers: {} }];
  return { reference: reference.id, run: run.id, envelope, departures, fractions, causes, findings };
}
