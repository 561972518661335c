import {
  abvFromMoleFraction,
  moleFractionFromMassFraction,
  standardAirPressureHPa,
  vapourOverLiquid,
} from '../../lib/physics';
import { problem } from '../../lib/problems';
import { type ExpectedYield, expectYield } from '../../lib/proofing';
import { fail, flagOf, type Io, misunderstood, textOf } from './command';
import { holdings } from './proof-holdings';
import { airPressureOption, type Call, strengthOption } from './quantity-options';
import type { Spirit } from './quantity-spirit';
import {
  abvOf,
  alignRows,
  caution,
  fixed,
  plainStrength,
  present,
  showAbv,
  showPressure,
  showTemp,
  showVolume,
} from './show-figures';

/** What a charge should yield when distilled once without reflux. */
export function chargeYield(call: Call, charge: Spirit, io: Io): number {
  const json = flagOf(call.options, 'json');
  if (charge.amount === null) return misunderstood(io, 'proof', 'give the amount of the charge, such as 60L.');
  const until = strengthOption(call, 'until');
  const air = airPressureOption(call);
  const airPressureHPa = air?.airPressureHPa ?? standardAirPressureHPa;
  const strengthAbv = abvOf(charge.strength.massFraction);
  const firstAbv = firstDistillate(charge.strength.massFraction, airPressureHPa);
  if (!(strengthAbv > 0 && strengthAbv <= 0.9)) {
    const remedy = 'Give the strength of the charge, such as 30%vol';
    call.problems.push(problem('spirit', charge.text, 'a charge to be distilled has above 0 to 90 % vol', remedy));
  } else if (until !== null && !(until.massFraction > 0 && abvOf(until.massFraction) < firstAbv)) {
    const message = `the first distillate of this charge has ${showAbv(firstAbv, 1)}, and it falls from there`;
    call.problems.push(problem('--until', textOf(call.options, 'until'), message, 'Give a lower strength, above 0'));
  }
  if (call.problems.length > 0 || until === null) return fail(io, call.problems, json);
  const { volumeL } = holdings(charge.amount, charge.strength, charge.tempC);
  const untilAbv = abvOf(until.massFraction);
  const found = expectYield({ volumeL, strengthAbv, tempC: charge.tempC, untilAbv, airPressureHPa });
  if (found.kind === 'bad') return fail(io, found.problems, json);
  call.cautions.push(
    caution(
      'the least a pot can do: reflux gives less and stronger distillate for the same alcohol',
      'Expect the alcohol within about 5 % (common practice)',
    ),
  );
  if (strengthAbv > 0.35) {
    const message = 'so strong a charge gives off flammable vapour in the filling: flash point 26 °C at 40 % vol';
    call.cautions.push(caution(message, 'Dilute it to 25 to 32 % vol (common practice)'));
  }
  const plain = {
    charge: { volumeL, tempC: charge.tempC, strength: plainStrength(charge.strength.massFraction) },
    untilAbv,
    airPressureHPa,
    ...found.value,
  };
  return present(io, json, call, plain, show(call, charge, volumeL, untilAbv, airPressureHPa, found.value));
}

function firstDistillate(massFraction: number, airPressureHPa: number): number {
  return abvFromMoleFraction(vapourOverLiquid(moleFractionFromMassFraction(massFraction), airPressureHPa));
}

function show(
  call: Call,
  charge: Spirit,
  volumeL: number,
  untilAbv: number,
  airPressureHPa: number,
  found: ExpectedYield,
): string {
  const { distillate20L, distillateAbv, alcoholL, alcoholShare, residue20L, residueAbv } = found;
  const held = `${fixed(found.chargeAlcoholL, 2)} L of pure alcohol`;
  const strength = showAbv(abvOf(charge.strength.massFraction), 1);
  return alignRows([
    ['charge', `${showVolume(call, volumeL)} at ${showTemp(call, charge.tempC, 1)} of ${strength}: ${held}`],
    ['first drops', showAbv(found.firstDistillateAbv, 1)],
    [
      `until ${showAbv(untilAbv, 1)}`,
      `${showVolume(call, distillate20L)} of ${showAbv(distillateAbv, 1)}: ${fixed(alcoholL, 2)} L of pure alcohol, ${fixed(100 * alcoholShare, 1)} % of the charge's`,
    ],
    [
      'left behind',
      `${showVolume(call, residue20L)} of ${showAbv(residueAbv, 2)}, boiling at ${showTemp(call, found.residueBoilsAtC, 1)} (${showPressure(call, airPressureHPa)})`,
    ],
  ]);
}
