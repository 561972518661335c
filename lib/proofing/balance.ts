import { type Checked, type Problem, problem, warning } from '../problems';
import { pureAlcoholOfEthanolL, spiritMass } from './alcohol';
import { checkAmount, checkSampleTemp, checkStrength } from './checks';

/** An amount as measured: fraction, charge or residue. */
export interface MeasuredAmount {
  readonly volumeL: number;
  readonly strengthAbv: number;
  readonly tempC: number;
  /** Standard uncertainty of the volume [L]; 0.5 % unless given. */
  readonly volumeUncertaintyL?: number;
  /** Standard uncertainty of the strength [fraction]; 0.2 % vol unless given. */
  readonly strengthUncertaintyAbv?: number;
}

/** A fraction, by the name the distiller gives it. */
export interface MeasuredFraction extends MeasuredAmount {
  readonly name: string;
}

/** One line of a balance. */
export interface BalanceLine {
  readonly name: string;
  readonly alcoholL: number;
  readonly shareOfCharge: number;
  /** Share come over when this fraction ended. */
  readonly cumulativeShare: number;
}

/** Where the alcohol of a run went. */
export interface RunBalance {
  readonly chargeAlcoholL: number;
  readonly fractions: readonly BalanceLine[];
  readonly collectedAlcoholL: number;
  readonly comeOverShare: number;
  readonly residueAlcoholL: number;
  /** Charge less fractions less residue: losses, if positive. */
  readonly unaccountedAlcoholL: number;
  /** Standard uncertainty of the above. */
  readonly uncertaintyL: number;
  readonly verdict: 'closed' | 'missing' | 'excess';
}

function alcoholOf(amount: MeasuredAmount): { alcoholL: number; uncertaintyL: number } {
  const alcoholL = pureAlcoholOfEthanolL(spiritMass(amount.volumeL, amount.strengthAbv, amount.tempC).ethanolKg);
  const fromVolumeL = (amount.volumeUncertaintyL ?? 0.005 * amount.volumeL) * amount.strengthAbv;
  const fromStrengthL = (amount.strengthUncertaintyAbv ?? 0.002) * amount.volumeL;
  return { alcoholL, uncertaintyL: Math.hypot(fromVolumeL, fromStrengthL) };
}

function checkMeasured(path: string, amount: MeasuredAmount): Problem[] {
  const found = [
    ...checkStrength(`${path}.strengthAbv`, amount.strengthAbv),
    ...checkSampleTemp(`${path}.tempC`, amount.tempC),
  ];
  if (amount.volumeL >= 0 && Number.isFinite(amount.volumeL)) return found;
  return [...found, problem(`${path}.volumeL`, amount.volumeL, 'volume is negative or no number', 'Give 0 or more')];
}

/**
 * Balance of a run in litres of pure alcohol: charge, fractions in order, residue, what is unaccounted for.
 *
 * @param charge the charge as measured
 * @param fractions what came over, in order
 * @param residue what was left in the boiler; counted as unaccounted for when not given
 * @returns the balance with its uncertainty, or all problems. Verdict: closed within two standard uncertainties; else missing or in excess
 * Accuracy: uncertainties of volumes and strengths in quadrature.
 * Source: OIML R 22 densities; GUM (JCGM 100) for the uncertainty.
 */
export function balanceRun(
  charge: MeasuredAmount,
  fractions: readonly MeasuredFraction[],
  residue?: MeasuredAmount,
): Checked<RunBalance> {
  const problems = [
    ...checkAmount('charge.volumeL', charge.volumeL),
    ...checkMeasured('charge', charge),
    ...fractions.flatMap((fraction, i) => checkMeasured(`fractions.${i}`, fraction)),
    ...(residue === undefined ? [] : checkMeasured('residue', residue)),
  ];
  if (problems.length === 0 && charge.strengthAbv === 0) {
    problems.push(
      problem('charge.strengthAbv', 0, 'there is no alcohol to account for', 'Give the strength of the charge'),
    );
  }
  if (problems.length > 0) return { kind: 'bad', problems };
  const start = alcoholOf(charge);
  let square = start.uncertaintyL ** 2;
  let collectedAlcoholL = 0;
  const lines = fractions.map((fraction): BalanceLine => {
    const { alcoholL, uncertaintyL } = alcoholOf(fraction);
    square += uncertaintyL ** 2;
    collectedAlcoholL += alcoholL;
    const cumulativeShare = collectedAlcoholL / start.alcoholL;
    return { name: fraction.name, alcoholL, shareOfCharge: alcoholL / start.alcoholL, cumulativeShare };
  });
  const left = residue === undefined ? { alcoholL: 0, uncertaintyL: 0 } : alcoholOf(residue);
  const uncertaintyL = Math.sqrt(square + left.uncertaintyL ** 2);
  const unaccountedAlcoholL = start.alcoholL - collectedAlcoholL - left.alcoholL;
  const verdict =
    Math.abs(unaccountedAlcoholL) <= 2 * uncertaintyL ? 'closed' : unaccountedAlcoholL > 0 ? 'missing' : 'excess';
  const value: RunBalance = {
    chargeAlcoholL: start.alcoholL,
    fractions: lines,
    collectedAlcoholL,
    comeOverShare: collectedAlcoholL / start.alcoholL,
    residueAlcoholL: left.alcoholL,
    unaccountedAlcoholL,
    uncertaintyL,
    verdict,
  };
  return { kind: 'ok', value, warnings: balanceCautions(value, residue !== undefined) };
}

function balanceCautions(balance: RunBalance, residueMeasured: boolean): readonly Problem[] {
  const shownL = Number(balance.unaccountedAlcoholL.toFixed(3));
  if (balance.verdict === 'excess') {
    return [
      warning(
        'fractions',
        shownL,
        'more alcohol came over than was charged',
        'Measure volumes, strengths and temperatures again',
      ),
    ];
  }
  if (balance.verdict === 'missing' && residueMeasured) {
    const remedy = 'Look for a vapour leak before the next run (flammable), then for what stayed in the still';
    return [warning('fractions', shownL, 'litres of alcohol are missing beyond the uncertainty', remedy)];
  }
  if (!residueMeasured)
    return [
      warning('residue', undefined, 'residue not measured: what it holds counts as missing', 'Measure the stillage'),
    ];
  return [];
}
