import { densityKgM3, massFractionFromAbv } from '../physics';
import { type Checked, type Problem, problem, warning } from '../problems';
import { pureAlcoholOfEthanolL } from './alcohol';
import { checkAmount, checkSampleTemp, checkStrength } from './checks';

/** Spirit to be reduced: measured by volume at its temperature, or by mass. */
export type SpiritAmount =
  | { readonly kind: 'volume'; readonly volumeL: number; readonly tempC: number }
  | { readonly kind: 'mass'; readonly massKg: number };

/** One addition of water. */
export interface ReductionStep {
  readonly fromAbv: number;
  readonly toAbv: number;
  readonly waterKg: number;
  /** Water at its own temperature. */
  readonly waterL: number;
  /** The spirit after this step, at 20 °C. */
  readonly volume20L: number;
}

/** A reduction from one strength to another. */
export interface Reduction {
  readonly steps: readonly ReductionStep[];
  readonly waterKg: number;
  readonly waterL: number;
  readonly massKg: number;
  readonly volume20L: number;
  /** Litres that vanish: spirit and water, each at 20 °C, less the mixture at 20 °C. */
  readonly contractionL: number;
  readonly alcoholL: number;
}

/** What to reduce, and how. */
export interface ReductionRequest {
  readonly amount: SpiritAmount;
  readonly strengthAbv: number;
  readonly targetAbv: number;
  /** Strengths to stop at on the way, falling; none unless given. */
  readonly restsAbv?: readonly number[];
  /** Temperature of the water [°C, 0..40]; 20 unless given. */
  readonly waterTempC?: number;
}

/** Common practice, no single source: below this a spirit cut deep into the tails may cloud. */
const cloudingAbv = 0.42;

function massOf(amount: SpiritAmount, massFraction: number): number {
  return amount.kind === 'mass' ? amount.massKg : (amount.volumeL * densityKgM3(massFraction, amount.tempC)) / 1000;
}

function checkAmountOf(amount: SpiritAmount): readonly Problem[] {
  if (amount.kind === 'mass') return checkAmount('amount.massKg', amount.massKg);
  return [...checkAmount('amount.volumeL', amount.volumeL), ...checkSampleTemp('amount.tempC', amount.tempC)];
}

function checkRequest(request: ReductionRequest): readonly Problem[] {
  const problems = [
    ...checkAmountOf(request.amount),
    ...checkStrength('strengthAbv', request.strengthAbv),
    ...checkStrength('targetAbv', request.targetAbv),
  ];
  const waterTempC = request.waterTempC ?? 20;
  if (!(waterTempC >= 0 && waterTempC <= 40)) {
    problems.push(problem('waterTempC', waterTempC, 'water is liquid and in range from 0 to 40 °C', 'Give 0..40'));
  }
  if (request.targetAbv === 0)
    problems.push(problem('targetAbv', 0, 'no amount of water reaches 0', 'Give a strength above 0'));
  const strengths = [request.strengthAbv, ...(request.restsAbv ?? []), request.targetAbv];
  for (let i = 1; i < strengths.length; i++) {
    if (strengths[i]! <= strengths[i - 1]!) continue;
    const path = i === strengths.length - 1 ? 'targetAbv' : `restsAbv.${i - 1}`;
    const message = `is stronger than the ${strengths[i - 1]} before it`;
    problems.push(
      problem(
        path,
        strengths[i],
        message,
        'Water only makes weaker: give falling strengths, or blend with something stronger',
      ),
    );
  }
  return problems;
}

function cautions(request: ReductionRequest): readonly Problem[] {
  const found: Problem[] = [];
  if (request.targetAbv < cloudingAbv) {
    const message = 'a spirit cut deep into the tails may cloud below about 42 % vol (common practice)';
    found.push(warning('targetAbv', request.targetAbv, message, 'Try it in a glass first; reduce in steps, cool'));
  }
  if (request.strengthAbv - request.targetAbv > 0.2 && (request.restsAbv ?? []).length === 0) {
    const message = 'water added at once warms the spirit, and it may cloud';
    found.push(
      warning('targetAbv', request.targetAbv, message, 'Reduce in steps with days between them (common practice)'),
    );
  }
  return found;
}

/**
 * Water that brings a spirit down to a target strength, at once or with rests.
 *
 * Ethanol stays, so the mass of water is m (p1/p2 − 1), p the mass fractions; volumes follow from the densities, contraction with them. The sum
 * of the steps is the same as one step, for masses don't contract.
 *
 * @param request amount by volume at a temperature or by mass; strengths by volume at 20 °C [0..1]
 * @returns water by mass and by volume, the spirit after each step and in the end; or all problems
 * Accuracy: that of the strengths: 0.1 % vol in the spirit moves the water by about 0.25 %. Weigh the water if you can, check with an instrument after a
 * rest, and approach the last tenth in two steps. Pure ethanol and water only: sugar and solids change both volume and reading.
 * @example reduce({ amount: { kind: 'volume', volumeL: 10, tempC: 20 }, strengthAbv: 0.7, targetAbv: 0.42 })
 * Source: OIML R 22 densities.
 */
export function reduce(request: ReductionRequest): Checked<Reduction> {
  const problems = checkRequest(request);
  if (problems.length > 0) return { kind: 'bad', problems };
  const startFraction = massFractionFromAbv(request.strengthAbv);
  const startKg = massOf(request.amount, startFraction);
  const ethanolKg = startKg * startFraction;
  const waterKgPerL = densityKgM3(0, request.waterTempC ?? 20) / 1000;
  const steps: ReductionStep[] = [];
  let massKg = startKg;
  let fromAbv = request.strengthAbv;
  for (const toAbv of [...(request.restsAbv ?? []), request.targetAbv]) {
    const fraction = massFractionFromAbv(toAbv);
    const nextKg = ethanolKg / fraction;
    const waterKg = nextKg - massKg;
    steps.push({
      fromAbv,
      toAbv,
      waterKg,
      waterL: waterKg / waterKgPerL,
      volume20L: (1000 * nextKg) / densityKgM3(fraction, 20),
    });
    massKg = nextKg;
    fromAbv = toAbv;
  }
  const waterKg = massKg - startKg;
  const volume20L = steps[steps.length - 1]!.volume20L;
  const apartL = (1000 * startKg) / densityKgM3(startFraction, 20) + (1000 * waterKg) / densityKgM3(0, 20);
  const value: Reduction = {
    steps,
    waterKg,
    waterL: waterKg / waterKgPerL,
    massKg,
    volume20L,
    contractionL: apartL - volume20L,
    alcoholL: pureAlcoholOfEthanolL(ethanolKg),
  };
  return { kind: 'ok', value, warnings: cautions(request) };
}

/** Spirit and water for a wanted amount of finished spirit. */
export interface BottlingPlan {
  readonly spiritKg: number;
  readonly spirit20L: number;
  readonly waterKg: number;
  readonly water20L: number;
}

/**
 * Spirit and water needed for a volume at bottling strength: reduction read backwards.
 *
 * @param finishedL volume wanted at 20 °C [L]
 * @param finishedAbv strength wanted [0..1 at 20 °C]
 * @param strengthAbv strength of the spirit at hand [0..1 at 20 °C]
 * @returns spirit and water by mass and by volume at 20 °C, or all problems
 * Accuracy and source: as reduce.
 */
export function planBottling(finishedL: number, finishedAbv: number, strengthAbv: number): Checked<BottlingPlan> {
  const problems = [
    ...checkAmount('finishedL', finishedL),
    ...checkStrength('finishedAbv', finishedAbv),
    ...checkStrength('strengthAbv', strengthAbv),
  ];
  if (finishedAbv > strengthAbv) {
    problems.push(
      problem(
        'finishedAbv',
        finishedAbv,
        `is stronger than the spirit at hand (${strengthAbv})`,
        'Water only makes weaker',
      ),
    );
  }
  if (problems.length > 0) return { kind: 'bad', problems };
  const finishedFraction = massFractionFromAbv(finishedAbv);
  const spiritFraction = massFractionFromAbv(strengthAbv);
  const finishedKg = (finishedL * densityKgM3(finishedFraction, 20)) / 1000;
  const spiritKg = spiritFraction === 0 ? finishedKg : (finishedKg * finishedFraction) / spiritFraction;
  const waterKg = finishedKg - spiritKg;
  const value = {
    spiritKg,
    spirit20L: (1000 * spiritKg) / densityKgM3(spiritFraction, 20),
    waterKg,
    water20L: (1000 * waterKg) / densityKgM3(0, 20),
  };
  return { kind: 'ok', value, warnings: [] };
}
