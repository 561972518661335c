/** Numbers as people read them. */

export const unknown = '–';

const shown = { temperatures: 'C' };

/** @param {string} temperatures C or F */
export function setTemperatures(temperatures) {
  shown.temperatures = temperatures;
}

const isFahrenheit = () => shown.temperatures === 'F';

export const tempUnit = () => (isFahrenheit() ? '°F' : '°C');

/**
 * @param {number | null | undefined} tempC
 * @param {number} [places]
 */
export function tempNumber(tempC, places = 1) {
  if (tempC === null || tempC === undefined) return unknown;
  return (isFahrenheit() ? tempC * 1.8 + 32 : tempC).toFixed(places);
}

/**
 * @param {number | null | undefined} tempC
 * @param {number} [places]
 */
export function temp(tempC, places = 1) {
  return tempC === null || tempC === undefined ? unknown : `${tempNumber(tempC, places)} ${tempUnit()}`;
}

/** @param {number} typed a temperature as typed, in the unit shown */
export const typedTempC = (typed) => (isFahrenheit() ? (typed - 32) / 1.8 : typed);

/** @param {number} differenceK */
export function kelvin(differenceK) {
  return isFahrenheit() ? `${(differenceK * 1.8).toFixed(1)} °F` : `${differenceK.toFixed(1)} K`;
}

/** @param {number | null | undefined} volumeL */
export function litres(volumeL) {
  if (volumeL === null || volumeL === undefined) return unknown;
  return `${volumeL.toFixed(Math.abs(volumeL) < 10 ? 2 : 1)} L`;
}

/**
 * @param {number | null | undefined} percent
 * @param {string} [unit]
 */
export function percent(percent, unit = '%') {
  return percent === null || percent === undefined ? unknown : `${percent.toFixed(1)} ${unit}`;
}

/** @param {number | null | undefined} pressureHPa */
export function hectopascals(pressureHPa) {
  return pressureHPa === null || pressureHPa === undefined ? unknown : `${pressureHPa.toFixed(1)} hPa`;
}

/** @param {number | null | undefined} timeS */
export function duration(timeS) {
  if (timeS === null || timeS === undefined) return unknown;
  const seconds = Math.max(0, Math.round(timeS));
  if (seconds < 90) return `${seconds} s`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 90) return `${minutes} min`;
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, '0')} min`;
}

/** @param {number | null} intoS into the run */
export function runClock(intoS) {
  if (intoS === null) return '';
  const seconds = Math.max(0, Math.round(intoS));
  const parts = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
  return parts.map((part, index) => (index === 0 ? String(part) : String(part).padStart(2, '0'))).join(':');
}

/** @param {string | number} at */
export function wallClock(at) {
  const date = new Date(at);
  return `${String(date.getHours()).padStart(2, '0')}:${String(date.getMinutes()).padStart(2, '0')}`;
}

/** @param {string} at */
export function day(at) {
  const date = new Date(at);
  const two = (/** @type {number} */ part) => String(part).padStart(2, '0');
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

/**
 * How far a test is, in its own unit.
 * @param {import('../views').FarView} far
 */
export function toGo({ unit, toGo: left }) {
  if (unit === 'C' || unit === 'K') return kelvin(left);
  if (unit === 's') return duration(left);
  return unit === 'L' ? litres(left) : percent(left, unit);
}

/**
 * @param {number} value
 * @param {import('../views').FarView['unit']} unit
 */
export function inUnit(value, unit) {
  if (unit === 'C') return temp(value);
  if (unit === 'K') return kelvin(value);
  if (unit === 's') return duration(value);
  return unit === 'L' ? litres(value) : percent(value, unit);
}

/**
 * A point's value in its unit.
 * @param {import('../views').PointView} point
 */
export function pointValue({ kind, value, unit }) {
  if (value === null) return unknown;
  if (unit === 'C') return temp(value);
  if (kind === 'parrot-strength') return percent(value * 100, '% vol');
  if (kind === 'vapour-gas') return percent(value * 100, '% LEL');
  if (unit === 'fraction') return percent(value * 100);
  if (unit === 'hPa') return hectopascals(value);
  if (kind === 'drive-state') return value >= 0.5 ? 'on or open' : 'off or closed';
  if (unit === 'state') return value >= 0.5 ? 'yes' : 'no';
  if (unit === 'L') return litres(value);
  return `${value.toFixed(unit === 'W' ? 0 : 1)} ${unit}`;
}
