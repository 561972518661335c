import { massFractionFromAbv, massFractionFromAbv60F, massFractionFromMoleFraction } from '../../lib/physics';
import { convert, parseUnit, type Quantity, quantityOf, type Unit } from '../../lib/units';

/*
 * Quantities as people write them: 92.4C, 198 °F, 955hPa, 28.2 inHg, 5 gal, 62 %vol, 124 proof, 750 mL. A number without a unit is never
 * guessed at: 28 may be inches of mercury or a mistake.
 */

export type Taken<T> =
  | { readonly kind: 'ok'; readonly value: T }
  | { readonly kind: 'bad'; readonly message: string; readonly remedy: string };

function bad(message: string, remedy: string): { kind: 'bad'; message: string; remedy: string } {
  return { kind: 'bad', message, remedy };
}

const thinSpaces = '\u00a0\u202f\u2009';
const groupsOfThree = /^\d{1,3}(?:[.,]\d{3})+$/;

/**
 * A number with a decimal point or comma, and groups of three where they can't be mistaken: 68.2, 68,2, 1.234,5, 1,234,567. One comma before
 * exactly three digits could be either, and is refused.
 */
export function readNumber(text: string): Taken<number> {
  const plain = text.trim().replace(/^\u2212/, '-');
  const spaced = new RegExp(`[${thinSpaces}](?=\\d{3}(?!\\d))`, 'g');
  const sign = /^[+-]/.test(plain) ? plain.charAt(0) : '';
  const body = plain.slice(sign.length).replace(spaced, '');
  if (!/^[\d.,]*\d[\d.,]*$/.test(body)) return bad('is no number', 'Write a number such as 68.2');
  const dots = body.split('.').length - 1;
  const commas = body.split(',').length - 1;
  const value = (digits: string): Taken<number> => ({ kind: 'ok', value: Number(`${sign}${digits}`) });
  if (dots + commas === 0 || (commas === 0 && dots === 1)) return value(body);
  if (dots === 0 && commas === 1) {
    if (/^[1-9]\d{0,2},\d{3}$/.test(body)) {
      const [group, point] = [body.replace(',', ''), body.replace(',', '.')];
      return bad('may be thousands or a decimal', `Write ${group} or ${point}`);
    }
    return value(body.replace(',', '.'));
  }
  if (dots === 0 || commas === 0) {
    return groupsOfThree.test(body) ? value(body.replace(/[.,]/g, '')) : bad('is no number', 'Use one decimal point');
  }
  const at = Math.max(body.lastIndexOf('.'), body.lastIndexOf(','));
  const whole = body.slice(0, at);
  const oneKind = !(whole.includes('.') && whole.includes(',')) && !whole.includes(body.charAt(at));
  if (!oneKind || !groupsOfThree.test(whole)) return bad('is no number', 'Use one decimal point');
  return value(`${whole.replace(/[.,]/g, '')}.${body.slice(at + 1)}`);
}

/** A quantity taken apart, its unit not yet understood. */
export interface Written {
  readonly text: string;
  readonly value: number;
  readonly unitText: string;
}

/** Takes a line of quantities apart: `2.1L 68.2%vol 18C`, `10 L of 68,2 % vol at 18 °C`. */
export function splitQuantities(text: string): readonly string[] {
  return text
    .trim()
    .split(/\s+(?=[+\-\u2212]?[.,]?\d)|(?<=[^\d\s.,])[,;]\s*(?=[+\-\u2212]?[.,]?\d)/)
    .map((piece) => piece.replace(/\s(?:of|at)$/i, '').replace(/[\s,;]+$/, ''))
    .filter((piece) => piece !== '');
}

/** Parts number and unit of one quantity. */
export function readWritten(text: string): Taken<Written> {
  const parts = new RegExp(`^([+\\-\\u2212]?[\\d.,${thinSpaces}]*\\d)(?:[.,](?=\\D|$))?\\s*(.*)$`, 's').exec(
    text.trim(),
  );
  if (parts === null) return bad('is no quantity', 'Write a number with its unit, such as 92.4C or 750mL');
  const number = readNumber(parts[1] ?? '');
  if (number.kind === 'bad') return number;
  return { kind: 'ok', value: { text: text.trim(), value: number.value, unitText: (parts[2] ?? '').trim() } };
}

/** A strength as written, on the scale it was written in, and by mass. */
export interface GivenStrength {
  readonly scale: StrengthScale;
  /** On its own scale: 0.62 for 62 % vol, 0.62 for 124 proof. */
  readonly fraction: number;
  readonly massFraction: number;
}

/** By volume at 20 °C or at 60 °F, US proof (60 °F), by mass, by mole. */
export type StrengthScale = 'volume' | 'volume60F' | 'proof' | 'mass' | 'mole';

interface StrengthUnit {
  readonly scale: StrengthScale;
  /** The number that stands for pure ethanol. */
  readonly whole: number;
  readonly shown: string;
}

const strengthUnits: ReadonlyMap<string, StrengthUnit> = new Map([
  ...spelt({ scale: 'volume', whole: 100, shown: '%vol' }, '% %vol vol% %abv abv% %v/v %byvolume %volume'),
  ...spelt({ scale: 'volume', whole: 100, shown: '%vol' }, '%vol20c %vol@20c %abv20c %abv@20c percentvol pct percent'),
  ...spelt({ scale: 'volume60F', whole: 100, shown: '%vol60F' }, '%vol60f %vol@60f %abv60f %abv@60f'),
  ...spelt({ scale: 'proof', whole: 200, shown: 'proof' }, 'proof usproof proofus'),
  ...spelt(
    { scale: 'mass', whole: 100, shown: '%mass' },
    '%mass mass% %m/m %w/w %wt wt% %abw %weight %bymass %byweight',
  ),
  ...spelt({ scale: 'mole', whole: 100, shown: '%mol' }, '%mol mol% %mole mole%'),
  ...spelt({ scale: 'mole', whole: 1, shown: 'mol/mol' }, 'mol/mol molefraction'),
]);

function spelt(unit: StrengthUnit, spellings: string): readonly (readonly [string, StrengthUnit])[] {
  return spellings.split(' ').map((spelling) => [spelling, unit] as const);
}

const densityUnits: ReadonlyMap<string, number> = new Map([
  ...['kg/m3', 'kg/m³', 'g/l'].map((spelling) => [spelling, 1] as const),
  ...['g/ml', 'g/cm3', 'g/cm³', 'g/cc', 'kg/l', 'kg/dm3', 'kg/dm³'].map((spelling) => [spelling, 1000] as const),
]);

function plainUnit(unitText: string): string {
  return unitText.toLowerCase().replace(/[\s.°_-]/g, '');
}

/** What a unit measures; null where it is unknown. */
export function measureOf(unitText: string): Quantity | 'density' | null {
  if (strengthUnits.has(plainUnit(unitText))) return 'strength';
  if (densityUnits.has(plainUnit(unitText))) return 'density';
  const parsed = parseUnit(unitText);
  return parsed.kind === 'ok' ? quantityOf(parsed.unit) : null;
}

/** How the quantities a command asks for are written. */
const samples = {
  temperature: '92.4C or 198F',
  pressure: '955hPa, 95.5kPa, 716mmHg or 28.2inHg',
  volume: '10L, 750mL or 5gal',
  mass: '12kg or 26lb',
  length: '600m or 2000ft',
  density: '948.05kg/m3 or 0.94805g/mL',
  strength: '62%vol, 124proof, 54%mass, 62%vol60F or 30%mol',
} as const;

export type Measure = keyof typeof samples;

/** Why a unit does not fit, or null when it does. */
function misfit(written: Written, measure: Measure): { kind: 'bad'; message: string; remedy: string } | null {
  const remedy = `Write ${measure} as ${samples[measure]}`;
  if (written.unitText === '') return bad('has no unit', remedy);
  const found = measureOf(written.unitText);
  if (found === measure) return null;
  if (found === null) return bad(`unit '${written.unitText}' is not known`, remedy);
  return bad(`is a ${found}, not a ${measure}`, remedy);
}

/** A value in the base unit of its measure (°C, hPa, L, kg, m, kg/m³) and the unit it was written in. */
export interface Measured {
  readonly value: number;
  /** Null for densities, which have units of their own. */
  readonly unit: Unit | null;
}

const baseUnits = { temperature: 'C', pressure: 'hPa', volume: 'L', mass: 'kg', length: 'm' } as const;

/** Reads one quantity of a kind. */
export function readMeasured(text: string, measure: Exclude<Measure, 'strength'>): Taken<Measured> {
  const written = readWritten(text);
  if (written.kind === 'bad') return written;
  const wrong = misfit(written.value, measure);
  if (wrong !== null) return wrong;
  const { value, unitText } = written.value;
  if (measure === 'density') {
    return { kind: 'ok', value: { value: value * (densityUnits.get(plainUnit(unitText)) ?? Number.NaN), unit: null } };
  }
  const parsed = parseUnit(unitText);
  const converted = convert(value, unitText, baseUnits[measure]);
  if (converted.kind === 'error') return bad(converted.problem, converted.remedy);
  return { kind: 'ok', value: { value: converted.value, unit: parsed.kind === 'ok' ? parsed.unit : null } };
}

function massFractionOn(scale: StrengthScale, fraction: number): number {
  switch (scale) {
    case 'volume':
      return massFractionFromAbv(fraction);
    case 'volume60F':
    case 'proof':
      return massFractionFromAbv60F(fraction);
    case 'mass':
      return fraction;
    case 'mole':
      return massFractionFromMoleFraction(fraction);
  }
}

/** Reads a strength on any scale. */
export function readStrength(text: string): Taken<GivenStrength> {
  const written = readWritten(text);
  if (written.kind === 'bad') return written;
  const wrong = misfit(written.value, 'strength');
  if (wrong !== null) return wrong;
  const unit = strengthUnits.get(plainUnit(written.value.unitText));
  // 'abv' alone is a fraction to firmware and per cent to people.
  if (unit === undefined) return bad('may be a fraction or per cent', `Write strength as ${samples.strength}`);
  const fraction = written.value.value / unit.whole;
  if (!(fraction >= 0 && fraction <= 1)) return bad('is out of range', `Give 0 to ${unit.whole} ${unit.shown}`);
  return { kind: 'ok', value: { scale: unit.scale, fraction, massFraction: massFractionOn(unit.scale, fraction) } };
}
