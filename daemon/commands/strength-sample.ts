import { abv60FFromMassFraction } from '../../lib/physics';
import { type Problem, problem } from '../../lib/problems';
import { correctHydrometer, type HydrometerReading, type StrengthBasis, strengthFromDensity } from '../../lib/proofing';
import { fail, flagOf, type Io, textOf } from './command';
import type { GivenStrength } from './quantity';
import { type Call, measuredOption, sampleTempOption, strengthOption } from './quantity-options';
import {
  abvOf,
  alignRows,
  caution,
  fixed,
  plainStrength,
  present,
  showAbv,
  showTemp,
  strengthRows,
} from './show-figures';

/** The reading as a fraction by volume on its instrument's own basis; null, with a problem, where the two don't fit. */
function readingOn(call: Call, given: GivenStrength): { readingAbv: number; basis: StrengthBasis } | null {
  const basis = textOf(call.options, 'basis')?.toUpperCase().replace(/[\s°]/g, '');
  const wrong = (message: string, remedy: string) => {
    call.problems.push(problem('--basis', textOf(call.options, 'basis'), message, remedy));
    return null;
  };
  if (basis !== undefined && basis !== '20C' && basis !== '60F') return wrong('is no basis', 'Give 20C or 60F');
  switch (given.scale) {
    case 'volume':
      return { readingAbv: given.fraction, basis: basis ?? '20C' };
    case 'volume60F':
    case 'proof':
      if (basis === '20C') return wrong('proof and %vol60F are of 60 °F', 'Leave --basis out, or write %vol');
      return { readingAbv: given.fraction, basis: '60F' };
    case 'mass':
      if (basis === '60F') return { readingAbv: abv60FFromMassFraction(given.massFraction), basis };
      return { readingAbv: abvOf(given.massFraction), basis: '20C' };
    case 'mole':
      call.problems.push(
        problem('--hydrometer', textOf(call.options, 'hydrometer'), 'no instrument shows moles', 'Give %vol or proof'),
      );
      return null;
  }
}

/** What 1 K in the sample's temperature is worth [fraction/K]; one-sided at the ends of the range. */
function abvPerK(reading: HydrometerReading): number {
  const at = (tempC: number) => {
    const found = correctHydrometer({ ...reading, tempC });
    return found.kind === 'ok' ? found.value.strengthAbv : null;
  };
  const [cold, warm] = [Math.max(reading.tempC - 0.5, -20), Math.min(reading.tempC + 0.5, 40)];
  const [inCold, inWarm] = [at(cold), at(warm)];
  return inCold === null || inWarm === null ? Number.NaN : (inCold - inWarm) / (warm - cold);
}

/** True strength from an alcoholometer and the sample's temperature. */
export function strengthFromHydrometer(call: Call, io: Io): number {
  const json = flagOf(call.options, 'json');
  const given = strengthOption(call, 'hydrometer');
  const tempC = neededSampleTemp(call);
  const on = given === null ? null : readingOn(call, given);
  if (call.problems.length > 0 || on === null || tempC === null) return fail(io, call.problems, json);
  const reading = { ...on, tempC };
  const found = correctHydrometer(reading);
  if (found.kind === 'bad')
    return fail(
      io,
      found.problems.map((one) => asTyped(call, one, 'hydrometer')),
      json,
    );
  call.cautions.push(...found.warnings.map((one) => asTyped(call, one, 'hydrometer')));
  const perK = abvPerK(reading);
  const worth = Number.isNaN(perK) ? 'some 0.3 % vol' : showAbv(Math.abs(perK));
  const remedy = 'Take it where the instrument floats: warm distillate in a parrot reads too strong';
  call.cautions.push(
    caution(`1 K in the sample's temperature is worth ${worth}`, remedy),
    caution('sugar, oak extract and other solids make the instrument read low', 'Distil a sample to be sure'),
  );
  const { massFraction } = found.value;
  const basisTempC = on.basis === '20C' ? '20 °C' : '60 °F';
  const plain = { from: 'hydrometer', ...reading, strength: plainStrength(massFraction), abvPerK: perK };
  const row = `${textOf(call.options, 'hydrometer')} at ${showTemp(call, tempC, 1)}, instrument true at ${basisTempC}`;
  return present(io, json, call, plain, alignRows([['reading', row], ...strengthRows('true strength', massFraction)]));
}

function neededSampleTemp(call: Call): number | null {
  if (textOf(call.options, 'temp') === undefined)
    call.problems.push(problem('--temp', undefined, 'is missing', "Give the sample's own temperature, such as 18.5C"));
  return sampleTempOption(call, 'temp');
}

/** A problem of the library under the name and with the text of the option it came from. */
function asTyped(call: Call, found: Problem, reading: 'hydrometer' | 'density'): Problem {
  const option = found.path === 'tempC' ? 'temp' : reading;
  const text = textOf(call.options, option);
  return { ...found, path: `--${option}`, ...(text === undefined ? {} : { value: `"${text}"` }) };
}

/** Strength from a density in vacuo. */
export function strengthFromDensityMeter(call: Call, io: Io): number {
  const json = flagOf(call.options, 'json');
  const densityKgM3 = measuredOption(call, 'density', 'density');
  const tempC = neededSampleTemp(call);
  if (call.problems.length > 0 || densityKgM3 === null || tempC === null) return fail(io, call.problems, json);
  const found = strengthFromDensity(densityKgM3, tempC);
  if (found.kind === 'bad')
    return fail(
      io,
      found.problems.map((one) => asTyped(call, one, 'density')),
      json,
    );
  call.cautions.push(caution('sugar, oak extract and other solids make a spirit denser', 'Distil a sample to be sure'));
  const { massFraction } = found.value;
  const plain = { from: 'density', densityKgM3, tempC, strength: plainStrength(massFraction) };
  const row = `${fixed(densityKgM3, 2)} kg/m³ at ${showTemp(call, tempC, 1)}`;
  return present(io, json, call, plain, alignRows([['density', row], ...strengthRows('strength', massFraction)]));
}
