import { hydrometerReadingAbv } from '../../lib/proofing';
import { type Command, fail, flagOf, type Io, misunderstood, textOf } from './command';
import { splitQuantities } from './quantity';
import { type Call, readCall, sampleTempOption, takeStrength } from './quantity-options';
import { alignRows, fixed, plainStrength, present, showAbv, showTemp, strengthRows } from './show-figures';
import { strengthFromDensityMeter, strengthFromHydrometer } from './strength-sample';
import { strengthFromTemperature } from './strength-temperature';

const help = `middlecut strength STRENGTH…                                  one scale to all others
middlecut strength --hydrometer READING --temp T [--basis 60F]  true strength of a sample
middlecut strength --density D --temp T                         strength from a density
middlecut strength --vapour T --pressure P                      strength of the vapour at the probe
middlecut strength --boiler T --pressure P                      strength of the liquid in the boiler

Strength from what was measured, on every scale: by volume at 20 °C and at 60 °F, US proof, by mass, mole fraction.
The two bases by volume differ by up to 0.1 % vol and are kept apart. Every number needs its unit: 92.4C, 198F,
955hPa, 28.2inHg, 62%vol, 62%vol60F, 124proof, 54%mass, 30%mol, 948.05kg/m3, 0.94805g/mL.

  --hydrometer READING  what the alcoholometer shows, in %vol (true at 20 °C), proof or %vol60F (true at 60 °F)
  --basis 20C|60F       the temperature at which an instrument in %vol is true, where it is not 20 °C
  --temp T              temperature of the sample itself, -20 to 40 °C
  --density D           density in vacuo, as a density meter shows it
  --vapour T            vapour probe; --boiler T a probe in the boiling liquid
  --pressure P          air pressure at the still, 500 to 1100 hPa, not reduced to sea level
  --altitude H          or the height above sea level (with --pressure: to see whether that was reduced)
  --uncertainty K       of the probe, 0.1K unless given
  --json                figures in full, with units in their names

Examples
  $ middlecut strength --hydrometer 192proof --temp 73F
  reading        192proof at 22.8 °C (73.0 °F), instrument true at 60 °F
  true strength  94.45 % vol at 20 °C = 94.44 % vol at 60 °F = 188.9 US proof
                 91.63 % mass, mole fraction 0.8106, 813.50 kg/m³ at 20 °C
  …

  $ middlecut strength --vapour 92.4C --pressure 955hPa
  vapour            92.40 °C at 955.0 hPa (93.99 °C at 1013.25 hPa)
  strength          48.34 % vol at 20 °C = 48.28 % vol at 60 °F = 96.6 US proof
                    40.88 % mass, mole fraction 0.2128, 933.35 kg/m³ at 20 °C
  ± 0.10 K          47.8 to 48.9 % vol
  over a liquid of  7.2 % vol
  …
`;

const spec = {
  hydrometer: { type: 'string' },
  basis: { type: 'string' },
  temp: { type: 'string' },
  density: { type: 'string' },
  vapour: { type: 'string' },
  boiler: { type: 'string' },
  pressure: { type: 'string' },
  altitude: { type: 'string' },
  uncertainty: { type: 'string' },
} as const;

const ways = ['hydrometer', 'density', 'vapour', 'boiler'] as const;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readCall(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'strength', read.message);
  const { call } = read;
  const given = ways.filter((way) => textOf(call.options, way) !== undefined);
  const words = call.options.positionals.join(' ');
  const [way] = given;
  if (given.length > 1) return misunderstood(io, 'strength', `give one of --${given.join(' and --')}, not both.`);
  if (way !== undefined && words !== '')
    return misunderstood(io, 'strength', `"${words}" is left over; write a quantity without spaces or in quotes.`);
  const stray = strayOption(call, way ?? 'conversion');
  if (stray !== null) return misunderstood(io, 'strength', stray);
  switch (way) {
    case 'hydrometer':
      return strengthFromHydrometer(call, io);
    case 'density':
      return strengthFromDensityMeter(call, io);
    case 'vapour':
    case 'boiler':
      return strengthFromTemperature(call, way, io);
    default:
      return words === ''
        ? misunderstood(io, 'strength', 'give a strength or a measurement.')
        : conversion(call, words, io);
  }
}

const companions: Readonly<Record<(typeof ways)[number] | 'conversion', readonly string[]>> = {
  hydrometer: ['temp', 'basis'],
  density: ['temp'],
  vapour: ['pressure', 'altitude', 'uncertainty'],
  boiler: ['pressure', 'altitude', 'uncertainty'],
  conversion: ['temp'],
};

/** An option that would go unread is a misunderstanding, not a detail. */
function strayOption(call: Call, way: keyof typeof companions): string | null {
  const known = [...companions[way], 'json', 'help', way];
  const stray = Object.keys(call.options.values).find((name) => !known.includes(name));
  const what = way === 'conversion' ? 'a strength alone' : `--${way}`;
  return stray === undefined ? null : `--${stray} does not go with ${what}.`;
}

function conversion(call: Call, words: string, io: Io): number {
  const json = flagOf(call.options, 'json');
  const texts = splitQuantities(words);
  const given = texts.map((text) => takeStrength(call, 'strength', text));
  const tempC = sampleTempOption(call, 'temp');
  if (call.problems.length > 0) return fail(io, call.problems, json);
  const rows: (readonly string[])[] = [];
  const strengths = given.flatMap((one, index) => {
    if (one === null) return [];
    rows.push(...strengthRows(texts[index] ?? '', one.massFraction));
    const shown = tempC === null ? {} : instruments(one.massFraction, tempC);
    if (tempC !== null) rows.push(['', instrumentLine(call, one.massFraction, tempC)]);
    return [{ given: texts[index], ...plainStrength(one.massFraction), ...shown }];
  });
  return present(io, json, call, { from: 'strength', strengths }, alignRows(rows));
}

function instruments(massFraction: number, tempC: number) {
  const reading20CAbv = hydrometerReadingAbv(massFraction, tempC, '20C');
  const reading60FAbv = hydrometerReadingAbv(massFraction, tempC, '60F');
  // Off the scale of the instrument there is no reading.
  const orNull = (value: number) => (Number.isNaN(value) ? null : value);
  return { tempC, reading20CAbv: orNull(reading20CAbv), reading60FAbv: orNull(reading60FAbv) };
}

function instrumentLine(call: Call, massFraction: number, tempC: number): string {
  const { reading20CAbv, reading60FAbv } = instruments(massFraction, tempC);
  const in20 = reading20CAbv === null ? 'off the scale' : showAbv(reading20CAbv, 1);
  const in60 = reading60FAbv === null ? 'off the scale' : `${fixed(200 * reading60FAbv, 1)} proof`;
  return `an alcoholometer at ${showTemp(call, tempC, 1)} shows ${in20} (true at 20 °C), ${in60} (true at 60 °F)`;
}

export const strength: Command = { help, run };
