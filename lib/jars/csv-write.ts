import { fahrenheitFromCelsius } from '../units';
import { type Separator, writeCell, writeNumber, writeText } from './csv-cells';
import { type Field, headerFields, jarFields, tastingFields } from './csv-columns';
import type { Jar, Sheet, Tasting } from './sheet';

export interface CsvStyle {
  readonly separator: Separator;
  readonly decimal: '.' | ',';
  readonly temperature: 'C' | 'F';
}

/** Read by spreadsheets of most countries: comma and point. */
export const plainStyle: CsvStyle = { separator: ',', decimal: '.', temperature: 'C' };
/** For countries that write a decimal comma. */
export const commaStyle: CsvStyle = { separator: ';', decimal: ',', temperature: 'C' };

function get(source: unknown, path: string): unknown {
  return path
    .split('.')
    .reduce<unknown>(
      (here, key) => (typeof here === 'object' && here !== null ? (here as Record<string, unknown>)[key] : undefined),
      source,
    );
}

function inFahrenheit(field: Field, style: CsvStyle): boolean {
  return style.temperature === 'F' && (field.measure === 'temperature' || field.measure === 'difference');
}

function nameOf(field: Field, style: CsvStyle): string {
  if (field.unit === undefined) return field.name;
  return `${field.name} [${inFahrenheit(field, style) ? '°F' : field.unit}]`;
}

function cellOf(field: Field, value: unknown, style: CsvStyle): string {
  if (value === undefined || value === null) return '';
  if (Array.isArray(value)) return writeText(value.join(' | '));
  if (typeof value !== 'number') return field.measure === 'text' ? writeText(String(value)) : String(value);
  const shown = !inFahrenheit(field, style)
    ? value
    : field.measure === 'difference'
      ? value * 1.8
      : fahrenheitFromCelsius(value);
  return writeNumber(shown, style.decimal);
}

function tastersOf(sheet: Sheet): string[] {
  return [...new Set(sheet.jars.flatMap((jar) => jar.tastings.map((tasting) => tasting.taster)))];
}

function tastingCells(jar: Jar, taster: string, fields: readonly Field[], style: CsvStyle): string[] {
  const tasting: Tasting | undefined = jar.tastings.find((one) => one.taster === taster);
  return fields.map((field) => cellOf(field, get(tasting, field.path), style));
}

/** Columns that hold anything; the jar's number always. */
function usedFields(sheet: Sheet): Field[] {
  return jarFields.filter(
    (field) => field.path === 'number' || sheet.jars.some((jar) => get(jar, field.path) !== undefined),
  );
}

/**
 * Writes a jar sheet as CSV, so that readCsv reads the very same sheet (temperatures in °F to the last digit or so).
 *
 * @param sheet a checked sheet
 * @param style separator, decimal sign, °C or °F
 * @returns the file, with CRLF line ends
 * Source: RFC 4180; the column names are our own.
 */
export function writeCsv(sheet: Sheet, style: CsvStyle = plainStyle): string {
  const { separator } = style;
  const line = (cells: readonly string[]) => cells.map((cell) => writeCell(cell, separator)).join(separator);
  const header = headerFields.flatMap((field) => {
    const value = get(sheet, field.path);
    if (value === undefined) return [];
    return [`#${nameOf(field, style)}${separator}${writeCell(cellOf(field, value, style), separator)}`];
  });
  const fields = usedFields(sheet);
  const tasters = tastersOf(sheet);
  const names = [
    ...fields.map((field) => nameOf(field, style)),
    ...tasters.flatMap((taster) => tastingFields.map((field) => `${field.name} (${taster})`)),
  ];
  const rows = sheet.jars.map((jar) =>
    line([
      ...fields.map((field) => cellOf(field, get(jar, field.path), style)),
      ...tasters.flatMap((taster) => tastingCells(jar, taster, tastingFields, style)),
    ]),
  );
  return `${[...header, line(names), ...rows].join('\r\n')}\r\n`;
}
