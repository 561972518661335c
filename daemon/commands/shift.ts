import {
  abvFromMoleFraction,
  azeotrope,
  dewTempC,
  jointMoleFraction,
  liquidAtBubbleTemp,
  type ProbeLine,
  shiftBoilerTemp,
  shiftVapourTemp,
  standardAltitudeM,
  vapourAtDewTemp,
  waterBoilingPointC,
} from '../../lib/physics';
import { problem } from '../../lib/problems';
import { type Command, fail, flagOf, type Io, misunderstood, textOf } from './command';
import { splitQuantities } from './quantity';
import { type Call, readCall, takeMeasured, takePressureOrAltitude, textsOf } from './quantity-options';
import { alignRows, caution, fixed, present, showAbv, showPressure, showTemp } from './show-figures';

const help = `middlecut shift T… --from P [--to P]… [--probe vapour|boiler]

Moves a temperature from one air pressure to others: what the probe would read there, the vapour (or liquid) being the
same. Without --to, a table from 1040 to 700 hPa. Beside it, what a constant slope of 0.035 K/mmHg would say.

  T               temperature of the probe, 55 to 110 °C; may be several
  --from P        air pressure at which it was read, 500 to 1100 hPa, not reduced to sea level; or an altitude: 600m
  --to P          air pressure wanted, likewise; may be repeated
  --probe KIND    vapour (unless given) or boiler
  --json          figures in full, with units in their names

Examples
  $ middlecut shift 92.6C --from 1013.25hPa --to 955hPa
  vapour 92.60 °C at 1013.25 hPa: vapour of 54.8 % vol
  air pressure  standard at    vapour    moved  constant slope off by
     955.0 hPa        497 m  91.02 °C  −1.58 K                +0.05 K

  $ middlecut shift 198F --from 28.2inHg --to 2000ft --probe boiler
  boiler 92.22 °C (198.00 °F) at 955.0 hPa (28.20 inHg): liquid of 7.4 % vol
            air pressure  standard at                boiler    moved  constant slope off by
  942.1 hPa (27.82 inHg)        610 m  91.86 °C (197.35 °F)  −0.36 K                +0.02 K
  …
`;

const spec = {
  from: { type: 'string' },
  to: { type: 'string', multiple: true },
  probe: { type: 'string' },
} as const;

const tablePressuresHPa = [1040, 1020, 1013.25, 1000, 980, 960, 940, 920, 900, 850, 800, 700] as const;

/** A common rule: 0.035 K for each mmHg. */
const constantSlopeKPerHPa = 0.035 / 1.33322387415;

/** Temperatures over which the shift is tried by the tests [°C]. */
const tempBounds = { least: 55, most: 110, message: 'shifts are known from 55 to 110 °C' };

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readCall(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'shift', read.message);
  const { call } = read;
  const words = call.options.positionals.join(' ');
  if (words === '') return misunderstood(io, 'shift', 'give a temperature, such as 92.6C.');
  return shiftWords(call, words, io);
}

function shiftWords(call: Call, words: string, io: Io): number {
  const json = flagOf(call.options, 'json');
  const temps = splitQuantities(words).map((text) =>
    takeMeasured(call, 'temperature', text, 'temperature', tempBounds),
  );
  const line = takeLine(call);
  const fromHPa = takeFrom(call);
  const wanted = textsOf(call.options, 'to').map((text) => takePressureOrAltitude(call, '--to', text));
  if (call.problems.length > 0 || line === null || fromHPa === null) return fail(io, call.problems, json);
  const given = wanted.filter((hPa) => hPa !== null);
  const toHPas = given.length > 0 ? given : tablePressuresHPa;
  const shifts = temps.filter((tempC) => tempC !== null).map((tempC) => shiftOne(line, tempC, fromHPa, toHPas));
  call.cautions.push(...shifts.flatMap((one) => placeCautions(line, one, fromHPa)));
  const text = shifts.map((one) => show(call, line, one, fromHPa)).join('\n');
  return present(io, json, call, { probe: line, fromHPa, shifts: shifts.map(plain) }, text);
}

function takeLine(call: Call): ProbeLine | null {
  const text = textOf(call.options, 'probe') ?? 'vapour';
  if (text === 'vapour' || text === 'boiler') return text;
  call.problems.push(problem('--probe', text, 'is no kind of probe', 'Give vapour or boiler'));
  return null;
}

function takeFrom(call: Call): number | null {
  const text = textOf(call.options, 'from');
  if (text !== undefined) return takePressureOrAltitude(call, '--from', text);
  const remedy = 'Give the air pressure at which it was read, such as 955hPa, or an altitude, such as 600m';
  call.problems.push(problem('--from', undefined, 'is missing', remedy));
  return null;
}

interface Shifted {
  readonly tempC: number;
  /** Strength of the vapour (or liquid) it stands for; null outside the mixtures of ethanol and water. */
  readonly strengthAbv: number | null;
  readonly to: readonly {
    readonly airPressureHPa: number;
    readonly tempC: number;
    readonly ruleTempC: number;
  }[];
}

function shiftOne(line: ProbeLine, tempC: number, fromHPa: number, toHPas: readonly number[]): Shifted {
  const shiftTemp = line === 'vapour' ? shiftVapourTemp : shiftBoilerTemp;
  const compositionAt = line === 'vapour' ? vapourAtDewTemp : liquidAtBubbleTemp;
  const isMixture = tempC >= azeotrope(fromHPa).tempC && tempC <= waterBoilingPointC(fromHPa);
  return {
    tempC,
    strengthAbv: isMixture ? abvFromMoleFraction(compositionAt(tempC, fromHPa)) : null,
    to: toHPas.map((airPressureHPa) => ({
      airPressureHPa,
      tempC: shiftTemp(tempC, fromHPa, airPressureHPa),
      ruleTempC: tempC + constantSlopeKPerHPa * (airPressureHPa - fromHPa),
    })),
  };
}

function placeCautions(line: ProbeLine, shifted: Shifted, fromHPa: number) {
  const shown = `${fixed(shifted.tempC, 2)} °C`;
  if (shifted.tempC > waterBoilingPointC(fromHPa)) {
    const message = `${shown} is above the boiling point of water: moved as water would be`;
    return [
      caution(message, line === 'boiler' ? 'Sugar, salts or back-pressure do this' : 'Check probe and air pressure'),
    ];
  }
  if (shifted.tempC >= dewTempC(jointMoleFraction, fromHPa)) return [];
  const message = `${shown} is at or below the azeotrope: moved with it by convention, for light compounds are not modelled`;
  return [caution(message, 'Trust the nose there')];
}

function plain(shifted: Shifted) {
  const to = shifted.to.map((one) => ({ ...one, ruleLessExactK: one.ruleTempC - one.tempC }));
  return { tempC: shifted.tempC, strengthAbv: shifted.strengthAbv, to };
}

function show(call: Call, line: ProbeLine, shifted: Shifted, fromHPa: number): string {
  const what =
    shifted.strengthAbv === null
      ? ''
      : `: ${line === 'vapour' ? 'vapour' : 'liquid'} of ${showAbv(shifted.strengthAbv, 1)}`;
  const title = `${line} ${showTemp(call, shifted.tempC)} at ${showPressure(call, fromHPa)}${what}\n`;
  const rows = shifted.to.map((one) => {
    const rule = one.ruleTempC - one.tempC;
    const sign = Number(rule.toFixed(2)) > 0 ? '+' : '';
    return [
      showPressure(call, one.airPressureHPa),
      `${fixed(standardAltitudeM(one.airPressureHPa), 0)} m`,
      showTemp(call, one.tempC),
      `${fixed(one.tempC - shifted.tempC, 2)} K`,
      `${sign}${fixed(rule, 2)} K`,
    ];
  });
  const head = ['air pressure', 'standard at', line, 'moved', 'constant slope off by'];
  return `${title}${alignRows([head, ...rows], [0, 1, 2, 3, 4])}`;
}

export const shift: Command = { help, run };
