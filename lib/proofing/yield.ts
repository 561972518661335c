import {
  abvFromMoleFraction,
  bubbleTempC,
  massFractionFromAbv,
  massFractionFromMoleFraction,
  molarMassGPerMol,
  moleFractionFromMassFraction,
  standardAirPressureHPa,
  vapourOverLiquid,
} from '../physics';
import { findRoot } from '../physics/root';
import { type Checked, type Problem, problem } from '../problems';
import { pureAlcoholOfEthanolL, type SpiritMass, spiritMass, spiritVolumeL } from './alcohol';
import { checkAmount, checkSampleTemp, checkStrength } from './checks';

/** A charge and where its distillation ends. */
export interface YieldRequest {
  readonly volumeL: number;
  readonly strengthAbv: number;
  readonly tempC: number;
  /** Strength at the spout at which collecting ends [0..1 at 20 °C]. */
  readonly untilAbv: number;
  /** Air pressure [hPa, 500..1100]; 1013.25 unless given. */
  readonly airPressureHPa?: number;
}

/** What a charge should yield. */
export interface ExpectedYield {
  readonly chargeAlcoholL: number;
  readonly firstDistillateAbv: number;
  readonly distillate20L: number;
  readonly distillateAbv: number;
  readonly alcoholL: number;
  /** Share of the charge's alcohol that has come over [0..1]. */
  readonly alcoholShare: number;
  readonly residue20L: number;
  readonly residueAbv: number;
  readonly residueBoilsAtC: number;
}

/** ln(n/n0) left in the boiler when its liquid goes from x0 down to x: Rayleigh's integral by Simpson's rule over ln x, where it is smooth. */
function lnLeft(x0: number, x: number, airPressureHPa: number): number {
  const intervals = 400;
  const from = Math.log(x0);
  const width = (Math.log(x) - from) / intervals;
  let guessC = bubbleTempC(x0, airPressureHPa);
  let sum = 0;
  for (let i = 0; i <= intervals; i++) {
    const here = Math.exp(from + i * width);
    guessC = bubbleTempC(here, airPressureHPa, guessC);
    const weight = i === 0 || i === intervals ? 1 : i % 2 === 1 ? 4 : 2;
    sum += (weight * here) / (vapourOverLiquid(here, airPressureHPa, guessC) - here);
  }
  return (sum * width) / 3;
}

function checkYield(request: YieldRequest): Problem[] {
  const problems = [
    ...checkAmount('volumeL', request.volumeL),
    ...checkStrength('strengthAbv', request.strengthAbv),
    ...checkSampleTemp('tempC', request.tempC),
    ...checkStrength('untilAbv', request.untilAbv),
  ];
  if (!(request.strengthAbv > 0 && request.strengthAbv <= 0.9)) {
    problems.push(
      problem(
        'strengthAbv',
        request.strengthAbv,
        'a charge to be distilled has 0 to 90 % vol',
        'Give the strength as a fraction',
      ),
    );
  }
  const airPressureHPa = request.airPressureHPa ?? standardAirPressureHPa;
  if (!(airPressureHPa >= 500 && airPressureHPa <= 1100)) {
    problems.push(
      problem('airPressureHPa', airPressureHPa, 'the model holds from 500 to 1100 hPa', 'Give station pressure in hPa'),
    );
  }
  return problems;
}

/**
 * What a charge should yield when distilled once without reflux, until the spout falls to a strength.
 *
 * Rayleigh: ln(n/n0) = ∫ dx / (y − x) along the equilibrium curve; alcohol by difference.
 *
 * @param request charge and end point
 * @returns distillate, residue and the share of alcohol come over; or all problems
 * Accuracy: the least a pot can do. Reflux in head and lyne arm makes the distillate stronger and smaller for the same alcohol; common practice finds the
 * alcohol recovered within about 5 %. Minor compounds are not counted.
 * @example expectYield({ volumeL: 60, strengthAbv: 0.3, tempC: 20, untilAbv: 0.2 })
 * Source: Lord Rayleigh, Phil. Mag. 4 (1902) 521; the equilibrium in lib/physics/accuracy.md.
 */
export function expectYield(request: YieldRequest): Checked<ExpectedYield> {
  const problems = checkYield(request);
  if (problems.length > 0) return { kind: 'bad', problems };
  const airPressureHPa = request.airPressureHPa ?? standardAirPressureHPa;
  const charge = spiritMass(request.volumeL, request.strengthAbv, request.tempC);
  const x0 = moleFractionFromMassFraction(massFractionFromAbv(request.strengthAbv));
  const spoutAbv = (x: number) => abvFromMoleFraction(vapourOverLiquid(x, airPressureHPa));
  const firstDistillateAbv = spoutAbv(x0);
  const xEnd = untilStrength(request, spoutAbv, x0);
  if (Number.isNaN(xEnd)) {
    const message = `the first distillate is already at ${firstDistillateAbv.toFixed(3)}`;
    return {
      kind: 'bad',
      problems: [problem('untilAbv', request.untilAbv, message, 'Give a lower strength, above 0')],
    };
  }
  const startKmol = charge.massKg / molarMassGPerMol(x0);
  const leftKmol = startKmol * Math.exp(lnLeft(x0, xEnd, airPressureHPa));
  const residueKg = leftKmol * molarMassGPerMol(xEnd);
  const residue = { massKg: residueKg, ethanolKg: residueKg * massFractionFromMoleFraction(xEnd) };
  return {
    kind: 'ok',
    value: yieldOf(charge, residue, firstDistillateAbv, bubbleTempC(xEnd, airPressureHPa)),
    warnings: [],
  };
}

function untilStrength(request: YieldRequest, spoutAbv: (x: number) => number, x0: number): number {
  if (!(request.untilAbv > 0 && request.untilAbv < spoutAbv(x0))) return Number.NaN;
  return findRoot((x) => spoutAbv(x) - request.untilAbv, 1e-9, x0);
}

function strengthOf(spirit: SpiritMass): number {
  const volume20L = spiritVolumeL(spirit, 20);
  return volume20L === 0 ? 0 : pureAlcoholOfEthanolL(spirit.ethanolKg) / volume20L;
}

function yieldOf(
  charge: SpiritMass,
  residue: SpiritMass,
  firstDistillateAbv: number,
  residueBoilsAtC: number,
): ExpectedYield {
  const distillate = { massKg: charge.massKg - residue.massKg, ethanolKg: charge.ethanolKg - residue.ethanolKg };
  return {
    chargeAlcoholL: pureAlcoholOfEthanolL(charge.ethanolKg),
    firstDistillateAbv,
    distillate20L: spiritVolumeL(distillate, 20),
    distillateAbv: strengthOf(distillate),
    alcoholL: pureAlcoholOfEthanolL(distillate.ethanolKg),
    alcoholShare: distillate.ethanolKg / charge.ethanolKg,
    residue20L: spiritVolumeL(residue, 20),
    residueAbv: strengthOf(residue),
    residueBoilsAtC,
  };
}
