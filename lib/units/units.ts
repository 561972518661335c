/*
 * The units people and firmware write, and how they convert. Each quantity has a base unit, the one used inside: °C, hPa, L, kg, L/h, W,
 * fraction, s. Adding a unit means adding one line here.
 */

/** What a unit measures. */
export type Quantity =
  | 'temperature'
  | 'pressure'
  | 'volume'
  | 'mass'
  | 'flow'
  | 'power'
  | 'strength'
  | 'time'
  | 'length';

interface UnitDefinition {
  readonly quantity: Quantity;
  /** base = (value − zero) · scale / divisor */
  readonly scale: number;
  readonly divisor: number;
  /** The reading at the base unit's zero. */
  readonly zero: number;
  /** How people and firmware write it, besides its own name; compared without case, spaces, dots and degree signs. */
  readonly spellings: readonly string[];
}

function linear(quantity: Quantity, scale: number, ...spellings: readonly string[]): UnitDefinition {
  return { quantity, scale, divisor: 1, zero: 0, spellings };
}

// Exact by definition except mmHg and inHg (conventional millimetre of mercury, 13 595.1 kg/m³ and 9.80665 m/s²). US gallon 231 in³. ISO 80000.
const definitions = {
  C: {
    quantity: 'temperature',
    scale: 1,
    divisor: 1,
    zero: 0,
    spellings: ['degC', 'deg_C', 'Celsius', 'degrees Celsius', 'centigrade', 'Cel', '℃'],
  },
  F: {
    quantity: 'temperature',
    scale: 5,
    divisor: 9,
    zero: 32,
    spellings: ['degF', 'deg_F', 'Fahrenheit', 'degrees Fahrenheit', '℉'],
  },
  K: { quantity: 'temperature', scale: 1, divisor: 1, zero: 273.15, spellings: ['Kelvin', 'degK'] },
  hPa: linear('pressure', 1, 'hectopascal'),
  kPa: linear('pressure', 10, 'kilopascal'),
  Pa: linear('pressure', 0.01, 'pascal'),
  bar: linear('pressure', 1000, 'bars'),
  mbar: linear('pressure', 1, 'millibar', 'millibars', 'mb'),
  mmHg: linear('pressure', 1.33322387415, 'mm Hg', 'mm of mercury', 'torr'),
  inHg: linear('pressure', 33.8638815789, 'in Hg', '"Hg', 'inches of mercury'),
  psi: linear('pressure', 68.947572931783, 'psia', 'lbf/in2', 'lbf/in²'),
  L: linear('volume', 1, 'litre', 'litres', 'liter', 'liters', 'ltr', 'dm3', 'dm³', 'ℓ'),
  mL: linear('volume', 0.001, 'millilitre', 'millilitres', 'milliliter', 'milliliters', 'cm3', 'cm³', 'cc'),
  cL: linear('volume', 0.01, 'centilitre', 'centilitres', 'centiliter'),
  hL: linear('volume', 100, 'hectolitre', 'hectolitres', 'hectoliter'),
  m3: linear('volume', 1000, 'm³', 'cubic metre', 'cubic metres', 'cubic meter'),
  gal_us: linear(
    'volume',
    3.785411784,
    'US gal',
    'gal',
    'gal (US)',
    'US gallon',
    'US gallons',
    'gallon',
    'gallons',
    'wine gallon',
    'WG',
  ),
  kg: linear('mass', 1, 'kilogram', 'kilograms', 'kilo', 'kilos'),
  g: linear('mass', 0.001, 'gram', 'grams', 'gramme', 'grammes'),
  lb: linear('mass', 0.45359237, 'lbs', 'pound', 'pounds'),
  oz: linear('mass', 0.028349523125, 'ounce', 'ounces'),
  'L/h': linear('flow', 1, 'L/hr', 'L/hour', 'Lph', 'litres per hour', 'liters per hour', 'l h-1'),
  'mL/min': linear('flow', 0.06, 'millilitres per minute', 'mLpm', 'cc/min', 'ccm'),
  'L/min': linear('flow', 60, 'Lpm', 'litres per minute', 'liters per minute'),
  'gal_us/h': linear('flow', 3.785411784, 'gal/h', 'US gal/h', 'gal/hr', 'gph'),
  W: linear('power', 1, 'watt', 'watts'),
  kW: linear('power', 1000, 'kilowatt', 'kilowatts'),
  fraction: linear('strength', 1, 'abv', '1', 'ratio'),
  percent: linear('strength', 0.01, '%', 'pct', 'per cent', '% vol', '%vol', '% v/v', '% ABV', 'vol%', 'vol %', '%abv'),
  s: linear('time', 1, 'sec', 'second', 'seconds'),
  ms: linear('time', 0.001, 'millisecond', 'milliseconds', 'msec'),
  min: linear('time', 60, 'minute', 'minutes', 'mins'),
  h: linear('time', 3600, 'hr', 'hrs', 'hour', 'hours'),
  d: linear('time', 86_400, 'day', 'days'),
  m: linear('length', 1, 'metre', 'metres', 'meter', 'meters'),
  ft: linear('length', 0.3048, 'foot', 'feet'),
} as const satisfies Record<string, UnitDefinition>;

/** A unit by its name in this program. */
export type Unit = keyof typeof definitions;

/** All units, in order of quantity. */
export const units = Object.freeze(Object.keys(definitions)) as readonly Unit[];

/** A converted value, or why there is none. */
export type Conversion =
  | { readonly kind: 'ok'; readonly value: number }
  | { readonly kind: 'error'; readonly problem: string; readonly remedy: string };

/** A unit understood, or why not. */
export type ParsedUnit =
  | { readonly kind: 'ok'; readonly unit: Unit }
  | { readonly kind: 'error'; readonly problem: string; readonly remedy: string };

function plainSpelling(text: string): string {
  return text.replace(/[\s°º._]/g, '');
}

const exactSpellings = new Map<string, Unit>();
const looseSpellings = new Map<string, Unit | 'ambiguous'>();
for (const unit of units) {
  const definition: UnitDefinition = definitions[unit];
  for (const spelling of [unit, ...definition.spellings]) {
    const plain = plainSpelling(spelling);
    exactSpellings.set(plain, unit);
    const known = looseSpellings.get(plain.toLowerCase());
    looseSpellings.set(plain.toLowerCase(), known === undefined || known === unit ? unit : 'ambiguous');
  }
}

/**
 * Understands a unit as people and firmware write it: '°C', 'degC', 'mm Hg', '%', 'L/hr'.
 *
 * Case is respected first and then ignored, where no two units would be confused.
 *
 * @param text the unit as written
 * @returns the unit, or the problem and a remedy
 */
export function parseUnit(text: string): ParsedUnit {
  const plain = plainSpelling(text);
  const exact = exactSpellings.get(plain);
  if (exact !== undefined) return { kind: 'ok', unit: exact };
  const loose = looseSpellings.get(plain.toLowerCase());
  if (loose !== undefined && loose !== 'ambiguous') return { kind: 'ok', unit: loose };
  return { kind: 'error', problem: `unit '${text}' is not known`, remedy: `use one of ${units.join(', ')}` };
}

/** What a unit measures. */
export function quantityOf(unit: Unit): Quantity {
  return definitions[unit].quantity;
}

/** The units of one quantity. */
export function unitsOf(quantity: Quantity): readonly Unit[] {
  return units.filter((unit) => definitions[unit].quantity === quantity);
}

/**
 * Converts a value between two units of one quantity. Temperatures are points on the scale, not differences.
 *
 * @param value finite number
 * @param fromUnit unit of the value, in any spelling parseUnit knows
 * @param toUnit unit wanted, likewise
 * @returns the value, or the problem (unknown unit, different quantities, no number) and a remedy
 * @example convert(212, 'F', 'C') // { kind: 'ok', value: 100 }
 */
export function convert(value: number, fromUnit: string, toUnit: string): Conversion {
  const from = parseUnit(fromUnit);
  if (from.kind === 'error') return from;
  const to = parseUnit(toUnit);
  if (to.kind === 'error') return to;
  const source: UnitDefinition = definitions[from.unit];
  const target: UnitDefinition = definitions[to.unit];
  if (source.quantity !== target.quantity) {
    const problem = `${from.unit} measures ${source.quantity}, ${to.unit} measures ${target.quantity}`;
    return { kind: 'error', problem, remedy: `use one of ${unitsOf(source.quantity).join(', ')}` };
  }
  if (!Number.isFinite(value))
    return { kind: 'error', problem: `${value} is not a number`, remedy: 'give a finite number' };
  if (from.unit === to.unit) return { kind: 'ok', value };
  const baseValue = ((value - source.zero) * source.scale) / source.divisor;
  return { kind: 'ok', value: (baseValue * target.divisor) / target.scale + target.zero };
}
