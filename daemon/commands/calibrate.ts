import { boilingPoint, calibrateProbe, icePoint, type ProbeCalibration, pointCalibration } from '../../lib/calibrate';
import { standardAirPressureHPa, standardAltitudeM, waterSaturationHPa } from '../../lib/physics';
import { type Problem, problem, warning } from '../../lib/problems';
import { compareTwo } from './calibrate-compare';
import { type Command, fail, flagOf, type Io, misunderstood, textOf } from './command';
import {
  type AirPressure,
  airPressureBounds,
  type Call,
  neededAirPressure,
  readCall,
  takeDifferenceK,
  takeReadings,
} from './quantity-options';
import { alignRows, fixed, present, showPressure, showTemp } from './show-figures';

const help = `middlecut calibrate --ice "T…" --boiling "T…" --pressure P [--altitude H]
middlecut calibrate --compare "T T" [--uncertainty "K K"]

Calibrates a probe by two points: a stirred slush of crushed ice, and water boiling at today's air pressure (probe in
the steam). Prints the calibration block for the point in the still document. With --compare, whether two probes in the
same place agree.

  --ice "T…"            settled readings in ice, best five, half a minute apart: "0.31C 0.25C 0.31C"
  --boiling "T…"        settled readings in boiling water or its steam
  --pressure P          air pressure at the still, not reduced to sea level; or --altitude H alone, which is rougher
  --altitude H          height above sea level: to see whether the pressure was reduced to sea level
  --resolution K        smallest step of the probe, 0.0625K unless given
  --done-on DATE        date kept with the calibration, today unless given
  --compare "T T"       corrected readings of two probes
  --uncertainty "K K"   standard uncertainty of each, 0.1K unless given
  --json                figures in full, with units in their names

Examples
  $ middlecut calibrate --ice "0.31C 0.25C 0.31C" --boiling "98.62C 98.69C 98.62C" \\
      --pressure 955hPa --altitude 480m --done-on 2025-10-04
  ice          0.290 °C read (3), 0.000 °C true ± 0.040 K
  boiling      98.643 °C read (3), 98.324 °C true ± 0.073 K
  air          955.0 hPa
  corrected    reading × 0.999700 − 0.2899 °C
  uncertainty  0.074 K (standard, 75 to 100 °C)

  calibration:
    offset: -0.2899
    gain: 0.9997
    uncertainty: 0.074
    doneOn: '2025-10-04'

  $ middlecut calibrate --compare "92.4C 92.9C" --uncertainty "0.07K 0.1K"
  probes      disagree: more than three uncertainties apart
  difference  second less first 0.500 K ± 0.122 K
`;

const spec = {
  ice: { type: 'string', multiple: true },
  boiling: { type: 'string', multiple: true },
  pressure: { type: 'string' },
  altitude: { type: 'string' },
  resolution: { type: 'string' },
  'done-on': { type: 'string' },
  compare: { type: 'string', multiple: true },
  uncertainty: { type: 'string' },
} as const;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readCall(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'calibrate', read.message);
  const { call } = read;
  const [left] = call.options.positionals;
  if (left !== undefined)
    return misunderstood(io, 'calibrate', `"${left}" is left over; write readings in quotes: --ice "0.31C 0.25C".`);
  const has = (name: string) => call.options.values[name] !== undefined;
  if (has('compare')) {
    const stray = ['ice', 'boiling', 'pressure', 'altitude', 'resolution', 'done-on'].find(has);
    if (stray !== undefined) return misunderstood(io, 'calibrate', `--${stray} does not go with --compare.`);
    return compareTwo(call, io);
  }
  if (!has('ice') && !has('boiling')) return misunderstood(io, 'calibrate', 'give --ice and --boiling, or --compare.');
  if (has('uncertainty')) return misunderstood(io, 'calibrate', '--uncertainty goes with --compare.');
  return calibrateTwoPoints(call, io);
}

const bothPoints = 'Both points are needed: ice and boiling water';

function calibrateTwoPoints(call: Call, io: Io): number {
  const json = flagOf(call.options, 'json');
  const iceC = takeReadings(call, 'ice', bothPoints);
  const boilingC = takeReadings(call, 'boiling', bothPoints);
  const air = neededAirPressure(call);
  const resolutionK = takeDifferenceK(call, '--resolution', textOf(call.options, 'resolution') ?? '0.0625K');
  const doneOn = takeDate(call);
  if (call.problems.length > 0 || air === null || resolutionK === null) return fail(io, call.problems, json);
  call.cautions.push(...pressureCautions(call, air, iceC, boilingC));
  // The standard atmosphere misses the day's pressure by some 11 hPa (common practice); a barometer by about 1.
  const boiling = boilingPoint(boilingC, air.airPressureHPa, air.from === 'altitude' ? 11 : 1);
  const found = calibrateProbe(icePoint(iceC), boiling, { resolutionK }, doneOn);
  if (found.kind === 'bad') return fail(io, [...found.problems.map(asTyped), ...call.cautions], json);
  call.cautions.push(...found.warnings.map(asTyped));
  const calibration = rounded(found.value);
  const { gain, offset, uncertainty, low, high } = found.value;
  const plain = {
    gain,
    offsetK: offset,
    uncertaintyK: uncertainty,
    doneOn,
    airPressureHPa: air.airPressureHPa,
    low,
    high,
  };
  const text = show(call, found.value, air, calibration);
  return present(io, json, call, { ...plain, calibration }, text, showBlock(calibration));
}

function takeDate(call: Call): string {
  const text = textOf(call.options, 'done-on');
  if (text === undefined) return new Date().toISOString().slice(0, 10);
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text) || Number.isNaN(Date.parse(text)))
    call.problems.push(problem('--done-on', text, 'is no date', 'Write it as 2025-10-04'));
  return text;
}

const optionOf: Readonly<Record<string, string>> = {
  ice: '--ice',
  first: '--ice',
  boiling: '--boiling',
  second: '--boiling',
};

/** A problem of the library under the option it came from. */
function asTyped(found: Problem): Problem {
  const [start = '', ...rest] = found.path.split('.');
  const index = rest[0] === 'readingsC' ? ` reading ${Number(rest[1] ?? 0) + 1}` : '';
  return { ...found, path: `${optionOf[start] ?? start}${index}` };
}

/** A difference this large between the given pressure and that at which the readings would be right is worth a word [hPa]. */
const suspiciousHPa = 20;

function pressureCautions(
  call: Call,
  air: AirPressure,
  iceC: readonly number[],
  boilingC: readonly number[],
): readonly Problem[] {
  const likeSeaLevel = Math.abs(air.airPressureHPa / standardAirPressureHPa - 1) < 0.05;
  if (air.from === 'altitude' || !likeSeaLevel || call.cautions.some((one) => one.path === '--pressure')) return [];
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const impliedHPa = waterSaturationHPa(mean(boilingC) - mean(iceC));
  const inRange = impliedHPa >= airPressureBounds.least && impliedHPa <= airPressureBounds.most;
  if (inRange && air.airPressureHPa - impliedHPa > suspiciousHPa) {
    const message = `may be reduced to sea level: the readings fit ${fixed(impliedHPa, 0)} hPa, as at ${fixed(standardAltitudeM(impliedHPa), 0)} m`;
    const remedy = 'Give the pressure at the still itself, or the probe is off';
    return [warning('--pressure', textOf(call.options, 'pressure'), message, remedy)];
  }
  if (air.altitudeM !== null) return [];
  const message = 'can only be told from one reduced to sea level with an --altitude';
  return [warning('--pressure', textOf(call.options, 'pressure'), message, 'Give --altitude as well')];
}

/** As written into a still document: digits beyond what the readings can carry are left out. */
function rounded(calibration: ProbeCalibration) {
  const { offset, gain, uncertainty, doneOn } = pointCalibration(calibration);
  const to = (value: number, places: number) => Number(value.toFixed(places));
  return { offset: to(offset, 4), gain: to(gain, 6), uncertainty: to(uncertainty, 3), doneOn };
}

function show(call: Call, found: ProbeCalibration, air: AirPressure, block: ReturnType<typeof rounded>): string {
  const row = (name: string, point: ProbeCalibration['low']) => [
    name,
    `${showTemp(call, point.meanReadingC, 3)} read (${point.readings}), ${showTemp(call, point.referenceC, 3)} true ± ${fixed(point.uncertaintyK, 3)} K`,
  ];
  return alignRows([
    row('ice', found.low),
    row('boiling', found.high),
    ['air', showPressure(call, air.airPressureHPa)],
    [
      'corrected',
      `reading × ${fixed(block.gain, 6)} ${block.offset < 0 ? '−' : '+'} ${fixed(Math.abs(block.offset), 4)} °C`,
    ],
    ['uncertainty', `${fixed(found.uncertainty, 3)} K (standard, 75 to 100 °C)`],
  ]);
}

/** The block as it goes below a point of the still document. */
function showBlock(block: ReturnType<typeof rounded>): string {
  const lines = Object.entries(block).map(([name, value]) => `  ${name}: ${name === 'doneOn' ? `'${value}'` : value}`);
  return `\ncalibration:\n${lines.join('\n')}\n`;
}

export const calibrate: Command = { help, run };
