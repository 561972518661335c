import { convert, parseUnit, type Quantity, quantityOf, unitsOf } from '../units';

/** What a numeric cell measures: a quantity with units, a difference of temperatures, a clock time, or a bare number. */
export type Measure = Quantity | 'difference' | 'number';

/** A column of jars or a `#` row of the header, by our own name. */
export interface Field {
  readonly name: string;
  /** Path in the jar or in the sheet, e.g. `end.vapourTempC`. */
  readonly path: string;
  readonly measure: Measure | 'text' | 'word';
  /** Unit we write. */
  readonly unit?: string;
  readonly words?: readonly string[];
}

const jarReadings = (which: 'start' | 'end'): readonly Field[] => [
  { name: `${which} vapour`, path: `${which}.vapourTempC`, measure: 'temperature', unit: '°C' },
  { name: `${which} boiler`, path: `${which}.boilerTempC`, measure: 'temperature', unit: '°C' },
  { name: `${which} air pressure`, path: `${which}.airPressureHPa`, measure: 'pressure', unit: 'hPa' },
  { name: `${which} time`, path: `${which}.timeS`, measure: 'time', unit: 's' },
];

export const verdictWords = ['out', 'in', 'in-for-oak', 'unsure'] as const;

/** Columns of the jars. */
export const jarFields: readonly Field[] = [
  { name: 'jar', path: 'number', measure: 'number' },
  ...jarReadings('start'),
  ...jarReadings('end'),
  { name: 'volume', path: 'volumeL', measure: 'volume', unit: 'L' },
  { name: 'strength', path: 'strengthVolPercent', measure: 'strength', unit: '% vol' },
  { name: 'sample temperature', path: 'sampleTempC', measure: 'temperature', unit: '°C' },
  { name: 'verdict', path: 'verdict', measure: 'word', words: verdictWords },
  { name: 'note', path: 'note', measure: 'text' },
];

/** A jar label that carries only the readings at its end. */
export const shortNames: Readonly<Record<string, string>> = {
  vapour: 'end vapour',
  boiler: 'end boiler',
  'air pressure': 'end air pressure',
  time: 'end time',
};

/** Columns a taster has; written `nose (Anna)`. */
export const tastingFields: readonly Field[] = [
  { name: 'nose', path: 'nose', measure: 'text' },
  { name: 'front', path: 'front', measure: 'text' },
  { name: 'middle', path: 'middle', measure: 'text' },
  { name: 'back', path: 'back', measure: 'text' },
  { name: 'descriptors', path: 'descriptors', measure: 'text' },
  { name: 'intensity', path: 'intensity', measure: 'number' },
  { name: 'verdict', path: 'verdict', measure: 'word', words: verdictWords },
  { name: 'glass', path: 'hiddenNumber', measure: 'number' },
];

/** Rows of the header, written `#charge [L]` with the value in the next cell. */
export const headerFields: readonly Field[] = [
  { name: 'name', path: 'name', measure: 'text' },
  { name: 'run', path: 'run', measure: 'text' },
  { name: 'started at', path: 'startedAt', measure: 'text' },
  { name: 'still', path: 'still.name', measure: 'text' },
  { name: 'still id', path: 'still.id', measure: 'text' },
  { name: 'still kind', path: 'still.kind', measure: 'word', words: ['pot', 'column'] },
  { name: 'hold-up', path: 'still.holdUpL', measure: 'volume', unit: 'L' },
  { name: 'charge', path: 'charge.volumeL', measure: 'volume', unit: 'L' },
  { name: 'charge strength', path: 'charge.strengthVolPercent', measure: 'strength', unit: '% vol' },
  { name: 'charge temperature', path: 'charge.tempC', measure: 'temperature', unit: '°C' },
  { name: 'charge is', path: 'charge.what', measure: 'text' },
  { name: 'feints share', path: 'charge.feintsSharePercent', measure: 'strength', unit: '%' },
  { name: 'heat', path: 'heaterW', measure: 'power', unit: 'W' },
  { name: 'take-off', path: 'takeOffLPerH', measure: 'flow', unit: 'L/h' },
  { name: 'probe resolution', path: 'probe.resolutionK', measure: 'difference', unit: 'K' },
  { name: 'probe accuracy', path: 'probe.accuracyK', measure: 'difference', unit: 'K' },
  { name: 'probe offset', path: 'probe.offsetK', measure: 'difference', unit: 'K' },
  { name: 'probe gain', path: 'probe.gain', measure: 'number' },
  { name: 'boiler offset', path: 'probe.boilerOffsetK', measure: 'difference', unit: 'K' },
  { name: 'air pressure basis', path: 'airPressure.basis', measure: 'word', words: ['station', 'sea-level'] },
  { name: 'altitude', path: 'airPressure.altitudeM', measure: 'length', unit: 'm' },
  { name: 'air pressure accuracy', path: 'airPressure.accuracyHPa', measure: 'pressure', unit: 'hPa' },
  { name: 'strength reading', path: 'strength.reading', measure: 'word', words: ['as-read', 'true'] },
  { name: 'strength basis', path: 'strength.basis', measure: 'word', words: ['20C', '60F'] },
  { name: 'foreshots jars', path: 'foreshotsJars', measure: 'number' },
  { name: 'before jars', path: 'beforeJarsL', measure: 'volume', unit: 'L' },
  { name: 'before jars strength', path: 'beforeJarsVolPercent', measure: 'strength', unit: '% vol' },
];

/** Name and unit of a column or `#` row as people write it: `end vapour [°F]`. */
export interface WrittenName {
  readonly name: string;
  readonly unit: string | null;
}

export function parseName(text: string): WrittenName {
  const match = /^(.*?)\s*[[(]([^\])]*)[\])]\s*$/.exec(text.trim());
  const plain = (name: string) =>
    name
      .trim()
      .toLowerCase()
      .replace(/[\s_]+/g, ' ');
  if (match === null) return { name: plain(text), unit: null };
  return { name: plain(match[1]!), unit: match[2]!.trim() };
}

/** A column of a taster: field name and who. */
export function parseTasterName(text: string): { readonly field: string; readonly taster: string } | null {
  const match = /^\s*(nose|front|middle|back|descriptors|intensity|verdict|glass)\s*\(([\s\S]+)\)\s*$/i.exec(text);
  return match === null ? null : { field: match[1]!.toLowerCase(), taster: match[2]! };
}

/** How a numeric column turns what is written into our unit; `clock` for times of day; `proof` halves US proof. */
export type Conversion =
  | { readonly kind: 'convert'; readonly to: (value: number) => number }
  | { readonly kind: 'clock' | 'proof' }
  | { readonly kind: 'error'; readonly message: string; readonly remedy: string };

const baseUnits: Readonly<Partial<Record<Measure, string>>> = {
  temperature: 'C',
  pressure: 'hPa',
  volume: 'L',
  flow: 'L/h',
  power: 'W',
  strength: 'percent',
  time: 's',
  length: 'm',
};

function spellingsOf(measure: Measure): string {
  if (measure === 'difference') return 'K or °F';
  if (measure === 'number') return '(no unit)';
  if (measure === 'time') return `${unitsOf('time').join(', ')} or h:mm for the time of day`;
  if (measure === 'strength') return '% vol or proof';
  return unitsOf(measure).join(', ');
}

/** The conversion of a numeric column from the unit in its name. A unit is never guessed. */
export function conversionOf(field: Field, unit: string | null): Conversion {
  const measure = field.measure;
  if (measure === 'text' || measure === 'word' || measure === 'number') {
    return unit === null
      ? { kind: 'convert', to: (value) => value }
      : { kind: 'error', message: `takes no unit, but says [${unit}]`, remedy: `Write "${field.name}"` };
  }
  const remedy = `Write "${field.name} [${field.unit}]", or another of: ${spellingsOf(measure)}`;
  if (unit === null) return { kind: 'error', message: 'has no unit', remedy };
  if (measure === 'time' && /^h+:mm(:ss)?$/i.test(unit)) return { kind: 'clock' };
  if (measure === 'strength' && /^(us )?proof( us)?$/i.test(unit)) return { kind: 'proof' };
  if (measure === 'difference') {
    const parsed = parseUnit(unit);
    if (parsed.kind === 'ok' && parsed.unit === 'F') return { kind: 'convert', to: (value) => (value * 5) / 9 };
    if (parsed.kind === 'ok' && (parsed.unit === 'K' || parsed.unit === 'C'))
      return { kind: 'convert', to: (value) => value };
    return { kind: 'error', message: `cannot be in ${unit}`, remedy };
  }
  const parsed = parseUnit(unit);
  if (parsed.kind === 'error' || quantityOf(parsed.unit) !== measure) {
    return { kind: 'error', message: `cannot be in ${unit}`, remedy };
  }
  const base = baseUnits[measure]!;
  return {
    kind: 'convert',
    to: (value) => {
      const converted = convert(value, parsed.unit, base);
      return converted.kind === 'ok' ? converted.value : Number.NaN;
    },
  };
}
