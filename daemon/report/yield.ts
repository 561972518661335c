import type { Charge, VolumeSource } from '../../lib/engine/types';
import type { Problem } from '../../lib/problems';
import { balanceRun, type MeasuredAmount, pureAlcoholL, type RunBalance } from '../../lib/proofing';
import { type Fraction, fractions } from '../../lib/recipe/schema';
import type { RunSummary } from '../host/summary';
import type { AfterRun, Measured } from './after-run';

/** Where a figure comes from: a meter or an estimate during the run, or a hand afterwards. */
export type Origin = VolumeSource | 'hand';

/** A figure of a fraction, with its standard uncertainty. */
export interface Figure {
  readonly value: number;
  readonly uncertainty: number;
  readonly from: Origin;
}

export interface FractionTold {
  readonly fraction: Fraction;
  readonly volumeL: Figure;
  /** null where nothing told the strength. */
  readonly strengthAbv: Figure | null;
  readonly tempC: number;
  readonly alcoholL: number | null;
  readonly sharePercent: number | null;
  /** As metered or estimated during the run, kept beside what was measured afterwards. */
  readonly during: { readonly volumeL: number; readonly strengthAbv: number | null } | null;
}

export interface Yield {
  readonly charge: ChargeTold | null;
  readonly fractions: readonly FractionTold[];
  readonly totalL: number;
  readonly totalAlcoholL: number;
  readonly balance: RunBalance | null;
  /** Cautions of the balance, or why there is none. */
  readonly cautions: readonly Problem[];
  readonly isResidueMeasured: boolean;
}

export interface ChargeTold {
  readonly volumeL: number;
  readonly strengthAbv: number;
  readonly alcoholL: number;
  readonly from: 'stated' | 'hand';
}

/**
 * Standard uncertainty of a volume counted during the run, as a share of it. Common practice for meters; for the estimate
 * from the heat what a still with known losses repeats.
 */
export const volumeUncertaintyShare: Readonly<Record<VolumeSource, number>> = {
  measured: 0.01,
  receivers: 0.02,
  flow: 0.03,
  heat: 0.1,
  none: 0.1,
};

/** Standard uncertainty of a fraction's strength as the parrot or the vapour told it [fraction]. */
export const estimatedStrengthUncertaintyAbv = 0.02;

const byHand = { volumeShare: 0.005, strengthAbv: 0.002 } as const;

interface During {
  readonly volumeL: number;
  readonly strengthAbv: number | null;
  readonly from: VolumeSource;
}

/** What came of a run: fractions as estimated or metered, corrected by what was measured afterwards, and the balance of alcohol. */
export function tellYield(stated: Charge | null, summary: RunSummary | null, after: AfterRun): Yield {
  const charge = chargeOf(stated, after.measured.charge);
  const told = fractions.flatMap((fraction) => {
    const one = fractionOf(fraction, duringOf(summary, fraction), after.measured[fraction], charge);
    return one === null ? [] : [one];
  });
  return {
    charge,
    fractions: told,
    totalL: told.reduce((sum, one) => sum + one.volumeL.value, 0),
    totalAlcoholL: told.reduce((sum, one) => sum + (one.alcoholL ?? 0), 0),
    ...balanceOf(charge, after.measured, told),
    isResidueMeasured: isWhole(after.measured.residue),
  };
}

function chargeOf(stated: Charge | null, measured: Measured | undefined): ChargeTold | null {
  const volumeL = measured?.volumeL ?? stated?.volumeL;
  const strengthAbv = measured?.strengthAbv ?? stated?.strengthAbv;
  if (volumeL === undefined || strengthAbv === undefined) return null;
  const alcoholL = alcoholOf(volumeL, strengthAbv, measured?.tempC ?? 20);
  return { volumeL, strengthAbv, alcoholL, from: measured === undefined ? 'stated' : 'hand' };
}

function duringOf(summary: RunSummary | null, fraction: Fraction): During | null {
  const found = summary?.fractions.find((one) => one.fraction === fraction);
  if (summary === null || found === undefined) return null;
  const { volumeFrom } = summary;
  const from = Object.hasOwn(volumeUncertaintyShare, volumeFrom) ? (volumeFrom as VolumeSource) : 'none';
  return { volumeL: found.volumeL, strengthAbv: found.strengthAbv, from };
}

function fractionOf(
  fraction: Fraction,
  during: During | null,
  measured: Measured | undefined,
  charge: ChargeTold | null,
): FractionTold | null {
  const volumeL = volumeOf(during, measured);
  if (volumeL === null || (volumeL.value === 0 && measured === undefined)) return null;
  const strengthAbv = strengthOf(during, measured);
  const tempC = measured?.tempC ?? 20;
  const alcoholL = strengthAbv === null ? null : alcoholOf(volumeL.value, strengthAbv.value, tempC);
  const isShareKnown = alcoholL !== null && charge !== null && charge.alcoholL > 0;
  return {
    fraction,
    volumeL,
    strengthAbv,
    tempC,
    alcoholL,
    sharePercent: isShareKnown ? (100 * alcoholL) / charge.alcoholL : null,
    during: during === null ? null : { volumeL: during.volumeL, strengthAbv: during.strengthAbv },
  };
}

function volumeOf(during: During | null, measured: Measured | undefined): Figure | null {
  if (measured?.volumeL !== undefined) {
    const uncertainty = measured.volumeUncertaintyL ?? byHand.volumeShare * measured.volumeL;
    return { value: measured.volumeL, uncertainty, from: 'hand' };
  }
  if (during === null) return null;
  return {
    value: during.volumeL,
    uncertainty: volumeUncertaintyShare[during.from] * during.volumeL,
    from: during.from,
  };
}

function strengthOf(during: During | null, measured: Measured | undefined): Figure | null {
  if (measured?.strengthAbv !== undefined) {
    const uncertainty = measured.strengthUncertaintyAbv ?? byHand.strengthAbv;
    return { value: measured.strengthAbv, uncertainty, from: 'hand' };
  }
  if (during === null || during.strengthAbv === null) return null;
  return { value: during.strengthAbv, uncertainty: estimatedStrengthUncertaintyAbv, from: during.from };
}

/** Litres of pure alcohol at 20 °C; 0 for what the density formula cannot take. */
function alcoholOf(volumeL: number, strengthAbv: number, tempC: number): number {
  return strengthAbv === 0 || volumeL === 0 ? 0 : pureAlcoholL(volumeL, strengthAbv, tempC);
}

const isWhole = (one: Measured | undefined): one is Measured & { volumeL: number; strengthAbv: number } =>
  one?.volumeL !== undefined && one.strengthAbv !== undefined;

function balanceOf(
  charge: ChargeTold | null,
  measured: AfterRun['measured'],
  told: readonly FractionTold[],
): Pick<Yield, 'balance' | 'cautions'> {
  if (charge === null) return withoutBalance('charge', 'the charge was not stated', 'Measure it before the next run');
  const unknown = told.find((one) => one.strengthAbv === null);
  if (unknown !== undefined) {
    return withoutBalance(unknown.fraction, 'its strength is not known', 'Measure the strength and enter it');
  }
  const volumeSpread = spreadOf(
    told.map((one) => (isEstimate(one.volumeL) ? one.volumeL.uncertainty * (one.strengthAbv?.value ?? 0) : 0)),
  );
  const strengthSpread = spreadOf(
    told.map(({ volumeL, strengthAbv }) => (isEstimate(strengthAbv) ? strengthAbv.uncertainty * volumeL.value : 0)),
  );
  const balance = balanceRun(
    amountOf(charge.volumeL, charge.strengthAbv, measured.charge),
    told.map((one) => ({
      name: one.fraction,
      volumeL: one.volumeL.value,
      strengthAbv: one.strengthAbv?.value ?? 0,
      tempC: one.tempC,
      volumeUncertaintyL: one.volumeL.uncertainty * (isEstimate(one.volumeL) ? volumeSpread : 1),
      strengthUncertaintyAbv: (one.strengthAbv?.uncertainty ?? 0) * (isEstimate(one.strengthAbv) ? strengthSpread : 1),
    })),
    isWhole(measured.residue)
      ? amountOf(measured.residue.volumeL, measured.residue.strengthAbv, measured.residue)
      : undefined,
  );
  return balance.kind === 'ok'
    ? { balance: balance.value, cautions: balance.warnings }
    : { balance: null, cautions: balance.problems };
}

function withoutBalance(path: string, message: string, remedy: string): Pick<Yield, 'balance' | 'cautions'> {
  return { balance: null, cautions: [{ path, message, remedy, severity: 'warning' }] };
}

function amountOf(volumeL: number, strengthAbv: number, measured: Measured | undefined): MeasuredAmount {
  return {
    volumeL,
    strengthAbv,
    tempC: measured?.tempC ?? 20,
    ...(measured?.volumeUncertaintyL === undefined ? {} : { volumeUncertaintyL: measured.volumeUncertaintyL }),
    ...(measured?.strengthUncertaintyAbv === undefined
      ? {}
      : { strengthUncertaintyAbv: measured.strengthUncertaintyAbv }),
  };
}

const isEstimate = (figure: Figure | null): figure is Figure => figure !== null && figure.from !== 'hand';

/**
 * Volumes counted by one meter, or strengths told by one probe, are wrong together, so their errors add up; a sum in
 * quadrature would call them better than they are by this factor.
 */
function spreadOf(parts: readonly number[]): number {
  const quadrature = Math.hypot(...parts);
  return quadrature === 0 ? 1 : parts.reduce((sum, one) => sum + one, 0) / quadrature;
}
