import { type Saying, showTemperature } from '../../lib/words';

/** How figures stand in the report and in listings: fixed digits, the decimal sign of the language, a true minus. */

export function showNumber(value: number, places: number, saying: Saying): string {
  const text = value.toFixed(places);
  const signed = Number(text) === 0 ? text.replace('-', '') : text.replace('-', '\u2212');
  return saying.language.decimal === ',' ? signed.replace('.', ',') : signed;
}

export const nothing = '\u2013';

export function showVolume(volumeL: number, saying: Saying): string {
  return showNumber(volumeL, Math.abs(volumeL) < 100 ? 2 : 1, saying);
}

/** A strength or share given as a fraction, in per cent. */
export function showPercent(fraction: number, saying: Saying, places = 1): string {
  return showNumber(100 * fraction, places, saying);
}

export function showTemp(tempC: number | null, saying: Saying): string {
  return tempC === null ? nothing : showTemperature(tempC, saying);
}

export function showPressure(pressureHPa: number | null, saying: Saying, places = 1): string {
  return pressureHPa === null ? nothing : `${showNumber(pressureHPa, places, saying)} hPa`;
}

const two = (value: number): string => String(value).padStart(2, '0');

/** Seconds as h:mm:ss. */
export function showInto(timeS: number): string {
  const whole = Math.round(Math.abs(timeS));
  const sign = timeS < 0 && whole > 0 ? '\u2212' : '';
  return `${sign}${Math.floor(whole / 3600)}:${two(Math.floor((whole % 3600) / 60))}:${two(whole % 60)}`;
}

/** Local date, as ISO 8601 writes it. */
export function showDate(atMs: number): string {
  const date = new Date(atMs);
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

/** Local time of day. */
export function showTimeOfDay(atMs: number): string {
  const date = new Date(atMs);
  return `${two(date.getHours())}:${two(date.getMinutes())}:${two(date.getSeconds())}`;
}

/** Local date and time with the zone it is in. */
export function showMoment(atMs: number): string {
  const eastMin = -new Date(atMs).getTimezoneOffset();
  const zone = `${eastMin < 0 ? '\u2212' : '+'}${two(Math.floor(Math.abs(eastMin) / 60))}:${two(Math.abs(eastMin) % 60)}`;
  return `${showDate(atMs)} ${showTimeOfDay(atMs).slice(0, 5)} (UTC${zone})`;
}
