import {
  abvFromMassFraction,
  densityKgM3,
  moleFractionFromMassFraction,
  proofFromMassFraction,
} from '../../lib/physics';
import type { Problem } from '../../lib/problems';
import { strengthOfMassFraction, weightInAirKg } from '../../lib/proofing';
import { convert, type Quantity, type Unit } from '../../lib/units';
import type { Io } from './command';
import type { GivenStrength } from './quantity';
import type { Call } from './quantity-options';

/** How figures are printed: fixed digits, metric first, the user's own unit beside it. */

/** A number with fixed places and a true minus; what rounds to nothing has no sign. */
export function fixed(value: number, places: number): string {
  const text = value.toFixed(places);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '\u2212');
}

function beside(
  call: Call,
  quantity: Quantity,
  value: number,
  base: Unit,
  places: Readonly<Partial<Record<Unit, number>>>,
) {
  const unit = call.beside.get(quantity);
  if (unit === undefined) return '';
  const converted = convert(value, base, unit);
  if (converted.kind === 'error') return '';
  const name = unit === 'gal_us' ? 'US gal' : unit === 'F' ? '°F' : unit;
  return ` (${fixed(converted.value, places[unit] ?? 2)} ${name})`;
}

export function showTemp(call: Call, tempC: number, places = 2): string {
  return `${fixed(tempC, places)} °C${beside(call, 'temperature', tempC, 'C', { F: places })}`;
}

export function showPressure(call: Call, pressureHPa: number): string {
  const places = { kPa: 2, Pa: 0, mmHg: 1, inHg: 2, psi: 2, bar: 4 };
  return `${fixed(pressureHPa, pressureHPa === 1013.25 ? 2 : 1)} hPa${beside(call, 'pressure', pressureHPa, 'hPa', places)}`;
}

function placesOf(value: number): number {
  const size = Math.abs(value);
  return size < 10 ? 3 : size < 100 ? 2 : 1;
}

export function showVolume(call: Call, volumeL: number): string {
  return `${fixed(volumeL, placesOf(volumeL))} L${beside(call, 'volume', volumeL, 'L', { gal_us: placesOf(volumeL / 3.8) })}`;
}

export function showMass(call: Call, massKg: number): string {
  return `${fixed(massKg, placesOf(massKg))} kg${beside(call, 'mass', massKg, 'kg', { lb: 2 })}`;
}

export function showAbv(strengthAbv: number, places = 2): string {
  return `${fixed(100 * strengthAbv, places)} % vol`;
}

/** A strength as its user wrote it: by volume at 20 °C, with the proof before it where they think in proof. */
export function showGiven(given: GivenStrength): string {
  const shown = showAbv(abvOf(given.massFraction));
  if (given.scale !== 'proof' && given.scale !== 'volume60F') return shown;
  return `${fixed(proofFromMassFraction(given.massFraction), 1)} US proof (${shown})`;
}

/** A strength on every scale, for JSON. */
export function plainStrength(massFraction: number) {
  const { strengthAbv, strengthAbv60F, proofUs, density20KgM3 } = strengthOfMassFraction(massFraction);
  const moleFraction = moleFractionFromMassFraction(massFraction);
  return { strengthAbv, strengthAbv60F, proofUs, massFraction, moleFraction, density20KgM3 };
}

/** A strength on every scale, in two lines. */
export function strengthRows(title: string, massFraction: number): readonly (readonly string[])[] {
  const { strengthAbv, strengthAbv60F, proofUs, moleFraction, density20KgM3 } = plainStrength(massFraction);
  return [
    [title, `${showAbv(strengthAbv)} at 20 °C = ${showAbv(strengthAbv60F)} at 60 °F = ${fixed(proofUs, 1)} US proof`],
    [
      '',
      `${fixed(100 * massFraction, 2)} % mass, mole fraction ${fixed(moleFraction, 4)}, ${fixed(density20KgM3, 2)} kg/m³ at 20 °C`,
    ],
  ];
}

/** What a scale shows for a mass of a mixture near 20 °C [kg]. */
export function scaleKg(massKg: number, massFraction: number): number {
  return weightInAirKg(massKg, densityKgM3(massFraction, 20));
}

export function abvOf(massFraction: number): number {
  return abvFromMassFraction(massFraction);
}

/** Lines in columns, each as wide as its widest cell; columns named in `right` are set right. */
export function alignRows(rows: readonly (readonly string[])[], right: readonly number[] = []): string {
  const columns = Math.max(0, ...rows.map((row) => row.length));
  // The last cell of a row may run on: only cells with something after them widen a column.
  const widths = Array.from({ length: columns }, (_, column) =>
    Math.max(
      0,
      ...rows.map((row) => (column < columns - 1 || right.includes(column) ? (row[column] ?? '').length : 0)),
    ),
  );
  const line = (row: readonly string[]) =>
    row
      .map((cell, column) => {
        const width = widths[column] ?? 0;
        return right.includes(column) ? cell.padStart(width) : cell.padEnd(width);
      })
      .join('  ')
      .trimEnd();
  return `${rows.map(line).join('\n')}\n`;
}

/** Cautions below the figures, each on a line. */
export function showCautions(cautions: readonly Problem[]): string {
  return cautions
    .map((one) => {
      const value = one.value === undefined ? '' : ` ${one.value}`;
      const where = one.path === '' ? '' : `${one.path}${value}: `;
      return `caution: ${where}${one.message}. ${one.remedy}.\n`;
    })
    .join('');
}

/** A caution that concerns the result rather than one option. */
export function caution(message: string, remedy: string): Problem {
  return { path: '', message, remedy, severity: 'warning' };
}

/** Prints a result as JSON, or as text with its cautions and what may come after them. */
export function present(io: Io, json: boolean, call: Call, plain: object, text: string, after = ''): number {
  if (json) io.out(`${JSON.stringify({ ...plain, cautions: call.cautions }, null, 2)}\n`);
  else io.out(`${text}${showCautions(call.cautions)}${after}`);
  return 0;
}
