import { judgeAirPressure, standardPressureHPa, stationPressureHPa } from '../../lib/physics';
import { type Problem, problem, warning } from '../../lib/problems';
import { checkSampleTemp } from '../../lib/proofing/checks';
import { convert, type Quantity, type Unit } from '../../lib/units';
import { type OptionSpec, type Options, readOptions, textOf } from './command';
import {
  type GivenStrength,
  type Measure,
  measureOf,
  readMeasured,
  readStrength,
  readWritten,
  splitQuantities,
} from './quantity';

/** One call of an arithmetic command: its options, what is wrong with them, and the units its user thinks in. */
export interface Call {
  readonly options: Options;
  readonly problems: Problem[];
  readonly cautions: Problem[];
  /** Unit to show beside the metric one, by quantity. */
  readonly beside: Map<Quantity, Unit>;
}

/** Reads the options of an arithmetic command; a value below zero needs no equals sign. */
export function readCall(
  args: readonly string[],
  spec: Readonly<Record<string, OptionSpec>>,
): { readonly kind: 'ok'; readonly call: Call } | { readonly kind: 'bad'; readonly message: string } {
  const read = readOptions(
    args.map((arg) => (/^-[.,]?\d/.test(arg) ? `\u2212${arg.slice(1)}` : arg)),
    spec,
  );
  if (read.kind === 'bad') return read;
  return { kind: 'ok', call: { options: read.options, problems: [], cautions: [], beside: new Map() } };
}

/** Every value of an option that may be repeated. */
export function textsOf(options: Options, name: string): readonly string[] {
  const value = options.values[name];
  if (typeof value === 'string') return [value];
  return Array.isArray(value) ? (value as readonly string[]) : [];
}

const metric: ReadonlySet<Unit> = new Set(['C', 'K', 'hPa', 'mbar', 'L', 'mL', 'cL', 'hL', 'm3', 'kg', 'g', 'm']);

function noteUnit(call: Call, quantity: Quantity, unit: Unit | null): void {
  if (unit === null || metric.has(unit)) return;
  call.beside.set(quantity, unit === 'oz' ? 'lb' : unit);
  if (quantity === 'volume' && !call.beside.has('mass')) call.beside.set('mass', 'lb');
  if (quantity === 'mass' && !call.beside.has('volume')) call.beside.set('volume', 'gal_us');
}

/** Bounds of a value and what to say of them. */
export interface Bounds {
  readonly least: number;
  readonly most: number;
  readonly message: string;
}

export const airPressureBounds: Bounds = { least: 500, most: 1100, message: 'the model holds from 500 to 1100 hPa' };

type Plain = Exclude<Measure, 'strength'>;

const base: Readonly<Record<Plain, string>> = {
  temperature: 'C',
  pressure: 'hPa',
  volume: 'L',
  mass: 'kg',
  length: 'm',
  density: 'kg/m3',
};

/** Reads one quantity into its base unit (°C, hPa, L, kg, m, kg/m³); null, with a problem, where it can't be. */
export function takeMeasured(call: Call, field: string, text: string, measure: Plain, bounds?: Bounds): number | null {
  const read = readMeasured(text, measure);
  if (read.kind === 'bad') {
    call.problems.push(problem(field, text, read.message, read.remedy));
    return null;
  }
  const { value, unit } = read.value;
  if (measure !== 'density') noteUnit(call, measure, unit);
  if (bounds === undefined || (value >= bounds.least && value <= bounds.most)) return value;
  const ends = [bounds.least, bounds.most].map((end) => {
    const back = unit === null ? null : convert(end, base[measure], unit);
    return back?.kind === 'ok' ? Number(back.value.toFixed(2)) : end;
  });
  const shown = unit === null ? base[measure] : unit;
  call.problems.push(problem(field, text, bounds.message, `Give ${ends[0]} to ${ends[1]} ${shown}`));
  return null;
}

/** Reads an option that holds one quantity; null where it is not given or, with a problem, can't be read. */
export function measuredOption(call: Call, name: string, measure: Plain, bounds?: Bounds): number | null {
  const text = textOf(call.options, name);
  return text === undefined ? null : takeMeasured(call, `--${name}`, text, measure, bounds);
}

export function takeStrength(call: Call, field: string, text: string): GivenStrength | null {
  const read = readStrength(text);
  if (read.kind === 'ok') return read.value;
  call.problems.push(problem(field, text, read.message, read.remedy));
  return null;
}

export function strengthOption(call: Call, name: string): GivenStrength | null {
  const text = textOf(call.options, name);
  return text === undefined ? null : takeStrength(call, `--${name}`, text);
}

/** Temperature of a sample, inside the range of the density formula. */
export function sampleTempOption(call: Call, name: string): number | null {
  const text = textOf(call.options, name);
  const tempC = measuredOption(call, name, 'temperature');
  if (text === undefined || tempC === null) return null;
  return sampleTempIsFine(call, `--${name}`, text, tempC) ? tempC : null;
}

export function sampleTempIsFine(call: Call, field: string, text: string, tempC: number): boolean {
  const found = checkSampleTemp(field, tempC);
  call.problems.push(...found.map((one) => problem(field, text, one.message, one.remedy)));
  return found.length === 0;
}

/** A difference of temperatures [K]: 0.1K, 0.1C or 0.2F. */
export function takeDifferenceK(call: Call, field: string, text: string): number | null {
  const read = readMeasured(text, 'temperature');
  if (read.kind === 'bad') {
    const remedy = 'Write a difference of temperature as 0.1K or 0.2F';
    call.problems.push(problem(field, text, read.message, remedy));
    return null;
  }
  // The reader gives a point on the scale; a difference leaves the zero out.
  const { value, unit } = read.value;
  const differenceK = unit === 'K' ? value + 273.15 : unit === 'F' ? value + 160 / 9 : value;
  if (differenceK > -1e-9 && differenceK <= 5) return Math.max(0, Number(differenceK.toFixed(9)));
  call.problems.push(problem(field, text, 'is out of range', 'Give 0 to 5 K'));
  return null;
}

/** Air pressure at the still: measured, or of the standard atmosphere at an altitude. */
export interface AirPressure {
  readonly airPressureHPa: number;
  readonly altitudeM: number | null;
  readonly from: 'pressure' | 'altitude';
}

const standardMessage = 'air pressure of the standard atmosphere: weather moves it by up to 40 hPa, which is 1 K';
const altitudeBounds: Bounds = { least: -400, most: 5500, message: 'altitudes of -400 to 5500 m are in range' };

/** Reads --pressure and --altitude, and says so where a pressure looks reduced to sea level; null where neither is there. */
export function airPressureOption(call: Call): AirPressure | null {
  const airPressureHPa = measuredOption(call, 'pressure', 'pressure', airPressureBounds);
  const altitudeM = measuredOption(call, 'altitude', 'length', altitudeBounds);
  if (airPressureHPa !== null) {
    if (altitudeM !== null) call.cautions.push(...judged(call, airPressureHPa, altitudeM));
    return { airPressureHPa, altitudeM, from: 'pressure' };
  }
  if (altitudeM === null || textOf(call.options, 'pressure') !== undefined) return null;
  const text = textOf(call.options, 'altitude');
  call.cautions.push(warning('--altitude', text, standardMessage, 'Better measure the pressure'));
  return { airPressureHPa: standardPressureHPa(altitudeM), altitudeM, from: 'altitude' };
}

/** As airPressureOption, where one of the two must be given. */
export function neededAirPressure(call: Call): AirPressure | null {
  const air = airPressureOption(call);
  if (air !== null || textOf(call.options, 'pressure') !== undefined || textOf(call.options, 'altitude') !== undefined)
    return air;
  const remedy = 'Give the air pressure at the still (not reduced to sea level), or --altitude';
  call.problems.push(problem('--pressure', undefined, 'is missing', remedy));
  return null;
}

function judged(call: Call, airPressureHPa: number, altitudeM: number): Problem[] {
  const verdict = judgeAirPressure(airPressureHPa, altitudeM);
  if (verdict.kind === 'station') return [];
  const looks = {
    'sea-level-reduced': 'looks reduced to sea level',
    doubtful: 'may be reduced to sea level',
    implausible: 'does not fit the altitude',
  }[verdict.kind];
  const message = `${looks}: about ${verdict.expectedHPa.toFixed(0)} hPa belong to ${altitudeM.toFixed(0)} m`;
  const stationHPa = stationPressureHPa(airPressureHPa, altitudeM);
  const remedy = `Use the pressure at the still itself, not that of the weather report (reduced, this would be ${stationHPa.toFixed(0)} hPa there)`;
  return [warning('--pressure', textOf(call.options, 'pressure'), message, remedy)];
}

/** A pressure [hPa], or that of the standard atmosphere at an altitude written instead. */
export function takePressureOrAltitude(call: Call, field: string, text: string): number | null {
  const written = readWritten(text);
  if (written.kind === 'bad' || measureOf(written.value.unitText) !== 'length')
    return takeMeasured(call, field, text, 'pressure', airPressureBounds);
  const altitudeM = takeMeasured(call, field, text, 'length', altitudeBounds);
  if (altitudeM === null) return null;
  call.cautions.push(warning(field, text, standardMessage, 'Better measure the pressure'));
  return standardPressureHPa(altitudeM);
}

/** Readings of one option, repeated or in one line; a unit after the last stands for all. */
export function takeReadings(call: Call, name: string, remedy: string): readonly number[] {
  const texts = textsOf(call.options, name).flatMap(splitQuantities);
  const last = readWritten(texts[texts.length - 1] ?? '');
  const unitText = last.kind === 'ok' ? last.value.unitText : '';
  if (texts.length === 0) call.problems.push(problem(`--${name}`, undefined, 'is missing', remedy));
  return texts.flatMap((text) => {
    const written = readWritten(text);
    const whole = written.kind === 'ok' && written.value.unitText === '' ? `${text} ${unitText}` : text;
    const tempC = takeMeasured(call, `--${name}`, whole, 'temperature');
    return tempC === null ? [] : [tempC];
  });
}
