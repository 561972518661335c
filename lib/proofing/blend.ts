import { densityKgM3, massFractionFromAbv } from '../physics';
import { type Checked, type Problem, problem } from '../problems';
import { proofGallonsOfEthanol, pureAlcoholOfEthanolL } from './alcohol';
import { checkAmountOrNone, checkSampleTemp, checkStrength } from './checks';
import { type Strength, strengthOfMassFraction } from './hydrometer';
import type { SpiritAmount } from './reduce';

/** One part of a blend: a jar, a cask, water (strength 0). */
export interface BlendPart {
  readonly amount: SpiritAmount;
  readonly strengthAbv: number;
}

/** What comes of putting parts together. */
export interface Blend {
  readonly massKg: number;
  readonly ethanolKg: number;
  readonly volume20L: number;
  readonly strength: Strength;
  readonly alcoholL: number;
  readonly proofGallons: number;
  /** Volumes of the parts at 20 °C less that of the blend at 20 °C; slightly negative where weak parts meet water. */
  readonly contractionL: number;
  /** Ethanol of each part as a share of the whole. */
  readonly alcoholShares: readonly number[];
}

function checkPart(part: BlendPart, index: number): readonly Problem[] {
  const path = `parts.${index}`;
  const problems = [...checkStrength(`${path}.strengthAbv`, part.strengthAbv)];
  if (part.amount.kind === 'mass') problems.push(...checkAmountOrNone(`${path}.massKg`, part.amount.massKg));
  else {
    problems.push(...checkAmountOrNone(`${path}.volumeL`, part.amount.volumeL));
    problems.push(...checkSampleTemp(`${path}.tempC`, part.amount.tempC));
  }
  return problems;
}

/**
 * Blends any number of parts, each measured at its own temperature or weighed.
 *
 * Masses and ethanol masses add up; strength and volume follow from the mass fraction by OIML R 22.
 *
 * @param parts amounts and strengths by volume at 20 °C [0..1]
 * @returns the blend, or all problems with their paths
 * Accuracy: that of the parts. Blending warms: let it settle to 20 °C before measuring. Water and ethanol only.
 * @example blend([{ amount: { kind: 'volume', volumeL: 1, tempC: 18 }, strengthAbv: 0.72 }, …])
 * Source: OIML R 22 densities.
 */
export function blend(parts: readonly BlendPart[]): Checked<Blend> {
  const problems = parts.flatMap(checkPart);
  if (parts.length === 0) problems.push(problem('parts', parts, 'there is nothing to blend', 'Give at least one part'));
  if (problems.length > 0) return { kind: 'bad', problems };
  let massKg = 0;
  let ethanolKg = 0;
  let apart20L = 0;
  const ethanolKgs: number[] = [];
  for (const { amount, strengthAbv } of parts) {
    const fraction = massFractionFromAbv(strengthAbv);
    const partKg =
      amount.kind === 'mass' ? amount.massKg : (amount.volumeL * densityKgM3(fraction, amount.tempC)) / 1000;
    massKg += partKg;
    ethanolKg += partKg * fraction;
    apart20L += (1000 * partKg) / densityKgM3(fraction, 20);
    ethanolKgs.push(partKg * fraction);
  }
  if (massKg === 0) {
    return {
      kind: 'bad',
      problems: [problem('parts', massKg, 'all parts are empty', 'Give at least one amount above 0')],
    };
  }
  const massFraction = Math.min(ethanolKg / massKg, 1);
  const volume20L = (1000 * massKg) / densityKgM3(massFraction, 20);
  const value: Blend = {
    massKg,
    ethanolKg,
    volume20L,
    strength: strengthOfMassFraction(massFraction),
    alcoholL: pureAlcoholOfEthanolL(ethanolKg),
    proofGallons: proofGallonsOfEthanol(ethanolKg),
    contractionL: apart20L - volume20L,
    alcoholShares: ethanolKgs.map((kg) => (ethanolKg === 0 ? 0 : kg / ethanolKg)),
  };
  return { kind: 'ok', value, warnings: [] };
}

/** How much of another liquid brings a spirit to a target. */
export interface Adjustment {
  readonly addKg: number;
  readonly add20L: number;
  readonly massKg: number;
  readonly volume20L: number;
}

/**
 * How much of a second liquid (stronger spirit, feints, water) brings a first to a target strength.
 *
 * Balance of ethanol: m2 = m1 (p1 − p) / (p − p2).
 *
 * @param first the spirit at hand
 * @param secondAbv strength of the liquid to add [0..1 at 20 °C]
 * @param targetAbv strength wanted [0..1 at 20 °C], between the two
 * @returns amount to add by mass and by volume at 20 °C, and the whole; or all problems
 * Accuracy and source: as blend.
 */
export function adjustTo(first: BlendPart, secondAbv: number, targetAbv: number): Checked<Adjustment> {
  const problems = [
    ...checkPart(first, 0),
    ...checkStrength('secondAbv', secondAbv),
    ...checkStrength('targetAbv', targetAbv),
  ];
  if (problems.length > 0) return { kind: 'bad', problems };
  const p1 = massFractionFromAbv(first.strengthAbv);
  const p2 = massFractionFromAbv(secondAbv);
  const p = massFractionFromAbv(targetAbv);
  const { amount } = first;
  const firstKg = amount.kind === 'mass' ? amount.massKg : (amount.volumeL * densityKgM3(p1, amount.tempC)) / 1000;
  const addKg = p1 === p ? 0 : (firstKg * (p1 - p)) / (p - p2);
  if (!(addKg >= 0 && Number.isFinite(addKg))) {
    const message = `does not lie between ${first.strengthAbv} and ${secondAbv}`;
    return { kind: 'bad', problems: [problem('targetAbv', targetAbv, message, 'Give a strength between the two')] };
  }
  const massKg = firstKg + addKg;
  const value = {
    addKg,
    add20L: (1000 * addKg) / densityKgM3(p2, 20),
    massKg,
    volume20L: (1000 * massKg) / densityKgM3(p, 20),
  };
  return { kind: 'ok', value, warnings: [] };
}
