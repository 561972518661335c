import { densityKgM3 } from '../../lib/physics';
import { problem } from '../../lib/problems';
import { massFromWeightKg, type SpiritAmount } from '../../lib/proofing';
import { type GivenStrength, measureOf, splitQuantities } from './quantity';
import { type Call, sampleTempIsFine, takeMeasured, takeStrength } from './quantity-options';

/** A spirit in words: how much, how strong, how warm. */
export interface Spirit {
  /** Null where no amount was given. Masses in vacuo. */
  readonly amount: SpiritAmount | null;
  readonly strength: GivenStrength;
  readonly tempC: number;
  readonly tempGiven: boolean;
  readonly text: string;
}

/** Reads a spirit such as `2.1L 68.2%vol 18C` or `12kg 124proof`; what a scale shows is taken as weight in air. */
export function takeSpirit(call: Call, field: string, text: string): Spirit | null {
  const pieces = splitQuantities(text.replace(/\bwater\b/i, ' 0%vol '));
  const taken: { amount?: string; strength?: string; temperature?: string } = {};
  const before = call.problems.length;
  for (const piece of pieces) {
    const unitText = /[^\d.,\s\u00a0\u202f\u2009+\-\u2212].*$/s.exec(piece)?.[0] ?? '';
    const measure = unitText === '' ? null : measureOf(unitText);
    const slot = measure === 'volume' || measure === 'mass' ? 'amount' : measure;
    const remedy = 'Write amount, strength and temperature: 2.1L 68.2%vol 18C';
    if (slot !== 'amount' && slot !== 'strength' && slot !== 'temperature') {
      const message = unitText === '' ? 'has no unit' : 'is no amount, strength or temperature';
      call.problems.push(problem(field, piece, message, remedy));
    } else if (taken[slot] !== undefined) call.problems.push(problem(field, text, `has two of ${slot}`, remedy));
    else taken[slot] = piece;
  }
  if (taken.strength === undefined && call.problems.length === before)
    call.problems.push(problem(field, text, 'has no strength', 'Write one, such as 68.2%vol or 124proof'));
  const strength = taken.strength === undefined ? null : takeStrength(call, field, taken.strength);
  const tempC = taken.temperature === undefined ? 20 : takeMeasured(call, field, taken.temperature, 'temperature');
  if (strength === null || tempC === null || call.problems.length > before) return null;
  if (!sampleTempIsFine(call, field, text, tempC)) return null;
  const amount = taken.amount === undefined ? null : takeAmount(call, field, taken.amount, strength, tempC);
  if (call.problems.length > before) return null;
  return { amount, strength, tempC, tempGiven: taken.temperature !== undefined, text };
}

function takeAmount(
  call: Call,
  field: string,
  text: string,
  strength: GivenStrength,
  tempC: number,
): SpiritAmount | null {
  const weighed = measureOf(text.replace(/^[+\-\u2212\d.,\s\u00a0\u202f\u2009]+/, '')) === 'mass';
  const value = takeMeasured(call, field, text, weighed ? 'mass' : 'volume');
  if (value === null) return null;
  if (!(value > 0)) {
    call.problems.push(problem(field, text, 'is no amount', 'Give more than 0'));
    return null;
  }
  if (!weighed) return { kind: 'volume', volumeL: value, tempC };
  return { kind: 'mass', massKg: massFromWeightKg(value, densityKgM3(strength.massFraction, tempC)) };
}
