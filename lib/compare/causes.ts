import type { Reason } from '../engine/types';
import { type Tolerance, toleranceOf } from './envelope';
import { type ComparedRun, grid, type Profile, profileOf, type Quantity, quantities } from './profile';
import { type CauseOfDifference, type Signature, signaturesOf } from './signatures';

/** A likely reason for a difference, by how well its signature fits. */
export interface LikelyCause {
  readonly cause: CauseOfDifference;
  /** How much of it, in its own unit and sign: % vol, % of heat, 0.01 of reflux, K, hPa, % of share. */
  readonly amount: number;
  /** Share of the difference it explains alone [0..1]. */
  readonly explains: number;
  readonly reason: Reason;
}

/** Less of a cause than this is not worth naming. */
const leastAmount: Readonly<Record<CauseOfDifference, number>> = {
  'charge-strength': 0.2,
  'charge-misjudged': 0.2,
  heating: 2,
  reflux: 1,
  'vapour-probe': 0.1,
  'boiler-probe': 0.1,
  'air-pressure': 3,
  'share-counted': 1,
  'light-heads': 0.15,
};
const leastExplained = 0.5;

/** Field of the amount in the reason, so that it is worded with its unit. */
const amountField: Readonly<Record<CauseOfDifference, string>> = {
  'charge-strength': 'byVolPercent',
  'charge-misjudged': 'byVolPercent',
  heating: 'byPercent',
  reflux: 'byPercent',
  'vapour-probe': 'byK',
  'boiler-probe': 'byK',
  'air-pressure': 'byHPa',
  'share-counted': 'byPercent',
  'light-heads': 'byK',
};

interface Cell {
  readonly difference: number;
  readonly weight: number;
  readonly quantity: Quantity;
  readonly index: number;
}

/** Where both runs have a value: the difference, weighted by what counts as the same. */
function cellsOf(reference: ComparedRun, run: ComparedRun, tolerance: Tolerance): Cell[] {
  const was: Profile = profileOf(reference);
  const is: Profile = profileOf(run);
  const witnesses = quantities.filter(
    (quantity) => quantity !== 'strength' || (reference.strengthBy === 'parrot' && run.strengthBy === 'parrot'),
  );
  return witnesses.flatMap((quantity) =>
    grid.flatMap((share, index): Cell[] => {
      const before = was[quantity][index];
      const after = is[quantity][index];
      // At the very end of the run a small error of share is many kelvin: it would outshout everything else.
      if (before == null || after == null || share > 92) return [];
      const steep = ((was[quantity][index + 1] ?? before) - (was[quantity][index - 1] ?? before)) / 2;
      const sigma = Math.hypot(toleranceOf(quantity, before, tolerance), 0.5 * steep) / 2;
      return [{ difference: after - before, weight: 1 / sigma ** 2, quantity, index }];
    }),
  );
}

function misfit(cells: readonly Cell[], signature: Signature, amount: number): number {
  return cells.reduce((sum, { difference, weight, quantity, index }) => {
    const left = difference - amount * (signature.effect[quantity][index] ?? 0);
    return sum + weight * left * left;
  }, 0);
}

/** The amount of a cause that fits best: weighted least squares. */
function amountOf(cells: readonly Cell[], signature: Signature): number {
  let along = 0;
  let square = 0;
  for (const { difference, weight, quantity, index } of cells) {
    const effect = signature.effect[quantity][index] ?? 0;
    along += weight * effect * difference;
    square += weight * effect * effect;
  }
  return square > 0 ? along / square : 0;
}

function judge(cells: readonly Cell[], signature: Signature, whole: number): LikelyCause | null {
  const { cause } = signature;
  const amount = amountOf(cells, signature);
  const explains = 1 - misfit(cells, signature, amount) / whole;
  if (!(explains >= leastExplained) || Math.abs(amount) < leastAmount[cause]) return null;
  const reason: Reason = {
    code: `compare.cause-${cause}-${amount > 0 ? 'more' : 'less'}`,
    numbers: { [amountField[cause]]: Math.abs(amount), explainsPercent: 100 * explains },
  };
  return { cause, amount, explains, reason };
}

/** Takes the effect of a difference that was known beforehand away from the cells. */
function without(cells: readonly Cell[], signature: Signature | undefined, amount: number): Cell[] {
  if (signature === undefined || amount === 0) return [...cells];
  return cells.map((cell) => ({
    ...cell,
    difference: cell.difference - amount * (signature.effect[cell.quantity][cell.index] ?? 0),
  }));
}

/** What is known beforehand to differ: charge strength and heat per litre of charge. */
function knownOf(reference: ComparedRun, run: ComparedRun): { volPercent: number; heatPercent: number } {
  const volPercent = 100 * (run.charge.strengthAbv - reference.charge.strengthAbv);
  const sameSize = Math.abs(run.charge.volumeL / reference.charge.volumeL - 1) < 0.1;
  const heats = sameSize && run.heaterW !== null && reference.heaterW !== null;
  return { volPercent, heatPercent: heats ? 100 * (run.heaterW! / reference.heaterW! - 1) : 0 };
}

/** Runs that lie a quarter of the tolerance apart on the whole are the same, and there is nothing to explain. */
const quiet = 0.25;

/**
 * Why a run differs from its reference: every known cause is tried alone by its signature along the run.
 *
 * What the records say themselves (another charge, other heat) is taken away first. Then for each cause the amount is fitted by weighted least squares
 * and the share of the difference it explains is told. Causes that look alike (a probe that reads high and a barometer, a charge misjudged and a meter)
 * are both listed: the record cannot tell them apart.
 *
 * @param reference the run the recipe came from
 * @param run the run to explain
 * @param isPot whether the still is a pot
 * @param tolerance what counts as the same
 * @returns known differences first, then likely causes, the best first; empty where the runs are the same within the tolerance
 * Accuracy: signatures come from the one-number pot course; amounts are good to about a fifth.
 */
export function explainDifference(
  reference: ComparedRun,
  run: ComparedRun,
  isPot: boolean,
  tolerance: Tolerance,
): readonly LikelyCause[] {
  const signatures = signaturesOf(reference, isPot);
  const by = (cause: CauseOfDifference) => signatures.find((one) => one.cause === cause);
  const known = knownOf(reference, run);
  const raw = cellsOf(reference, run, tolerance);
  if (raw.length === 0) return [];
  const found: LikelyCause[] = [];
  if (Math.abs(known.volPercent) >= leastAmount['charge-strength'])
    found.push(knownCause('charge-strength', known.volPercent));
  if (Math.abs(known.heatPercent) >= leastAmount.heating) found.push(knownCause('heating', known.heatPercent));
  const cells = without(without(raw, by('charge-strength'), known.volPercent), by('heating'), known.heatPercent);
  const whole = cells.reduce((sum, cell) => sum + cell.weight * cell.difference ** 2, 0);
  // Weights are of half tolerances: a run at the quiet limit everywhere has (2 quiet)² a cell.
  if (whole / cells.length < (2 * quiet) ** 2) return found;
  const likely = signatures.flatMap((signature) => judge(cells, signature, whole) ?? []);
  return [...found, ...likely.sort((a, b) => b.explains - a.explains)];
}

function knownCause(cause: 'charge-strength' | 'heating', amount: number): LikelyCause {
  const code = `compare.known-${cause}-${amount > 0 ? 'more' : 'less'}`;
  return { cause, amount, explains: 1, reason: { code, numbers: { [amountField[cause]]: Math.abs(amount) } } };
}
