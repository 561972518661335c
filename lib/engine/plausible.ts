import { alcoholSharePercent } from '../cuts/alcohol-share';
import { thresholdAt } from '../physics';
import type { Estimate, PlannedStep, Plant, Reason } from './types';

/** How a cut stands to where it was tasted: on the other axis than the one that decides it. */
export interface Plausible {
  /** Why the cut would disagree beyond the stated uncertainty; null where it agrees, or nothing can be told. */
  readonly disagrees: Reason | null;
  /** A figure is past its upper end although the cut is not due yet. */
  readonly overdue: Reason | null;
}

const nothingToTell: Plausible = { disagrees: null, overdue: null };

/**
 * Compares the vapour temperature (moved to the air pressure of the moment) and the share of alcohol with the windows the
 * recipe states for the end of this phase. What cannot be known now is not held against the cut.
 */
export function judgePlausible(plant: Plant, planned: PlannedStep, estimate: Estimate, inPhaseS: number): Plausible {
  const { plausible } = planned.step;
  if (plausible === undefined) return nothingToTell;
  const found = [vapour(planned, estimate, inPhaseS), share(plant, planned, estimate)];
  return {
    disagrees: found.find((one) => one !== null && one.side !== 'within')?.reason ?? null,
    overdue: found.find((one) => one !== null && one.side === 'above')?.reason ?? null,
  };
}

type Side = 'below' | 'within' | 'above';
type Found = { readonly side: Side; readonly reason: Reason } | null;

function sideOf(value: number, from: number, to: number): Side {
  return value < from ? 'below' : value > to ? 'above' : 'within';
}

/**
 * A line through a temperature that leapt overshoots for minutes: until it moves no faster than this the vapour is not held against a cut [K/s], unless
 * it still does so long into the phase [s].
 */
const calmKPerS = 0.01;
const calmAtLatestS = 300;

function vapour(planned: PlannedStep, estimate: Estimate, inPhaseS: number): Found {
  const window = planned.window;
  const { vapourTempC: tempC, pressure } = estimate;
  const isLeaping = Math.abs(estimate.vapourSlopeKPerS ?? 0) > calmKPerS && inPhaseS < calmAtLatestS;
  if (isLeaping || window === null || tempC === null || pressure.medianHPa === null) return null;
  const [fromC, toC] = [thresholdAt(window.from, pressure.medianHPa), thresholdAt(window.to, pressure.medianHPa)];
  return { side: sideOf(tempC, fromC, toC), reason: { code: 'plausible.vapour', numbers: { tempC, fromC, toC } } };
}

function share(plant: Plant, planned: PlannedStep, estimate: Estimate): Found {
  const window = planned.step.plausible?.sharePercent;
  const sharePercent = alcoholSharePercent(plant.charge, estimate.produced.alcoholL);
  if (window === undefined || sharePercent === null || estimate.produced.source === 'none') return null;
  const numbers = { sharePercent, fromPercent: window.from, toPercent: window.to };
  return { side: sideOf(sharePercent, window.from, window.to), reason: { code: 'plausible.share', numbers } };
}
