import type { Reason } from '../engine/types';

/** One language: sentences by code, with `{field}` for the numbers, and names of the fixed words. */
export interface Language {
  readonly code: string;
  readonly decimal: '.' | ',';
  readonly sentences: Readonly<Record<string, string>>;
  /** Words of fixed sets (phases, qualities, faults, fractions, priorities, states, alarms), by the word used inside. */
  readonly names: Readonly<Record<string, string>>;
  /** What an alarm means and what to do now, by the alarm's name without its point. */
  readonly guidance: Readonly<Record<string, Guidance>>;
  /** What can go wrong, and what stands beside this program against it. */
  readonly hazards: Readonly<Record<string, HazardWords>>;
}

export interface Guidance {
  readonly means: string;
  readonly now: string;
}

export interface HazardWords {
  readonly name: string;
  /** What no software covers: the part that must be there in hardware, or in person. */
  readonly beside: string;
}

export interface Saying {
  readonly language: Language;
  readonly temperature: 'C' | 'F';
}

/** Digits and unit by the ending of a field's name; the longest ending counts. */
const endings: readonly (readonly [string, (value: number, saying: Saying) => string])[] = [
  ['VolPercent', (value, saying) => `${digits(value, 1, saying)} % vol`],
  ['Percent', (value, saying) => `${digits(value, 1, saying)} %`],
  ['LPerH', (value, saying) => `${digits(value, 2, saying)} L/h`],
  [
    'KPerMin',
    (value, saying) =>
      `${digits(value * (saying.temperature === 'F' ? 1.8 : 1), 2, saying)} ${saying.temperature === 'F' ? '°F' : 'K'}/min`,
  ],
  ['HPa', (value, saying) => `${digits(value, 0, saying)} hPa`],
  ['C', (value, saying) => showTemperature(value, saying)],
  [
    'K',
    (value, saying) =>
      saying.temperature === 'F' ? `${digits(value * 1.8, 2, saying)} °F` : `${digits(value, 2, saying)} K`,
  ],
  ['L', (value, saying) => `${digits(value, value < 10 ? 2 : 1, saying)} L`],
  ['W', (value, saying) => `${digits(value, 0, saying)} W`],
  ['M', (value, saying) => `${digits(value, 0, saying)} m`],
  ['S', (value, saying) => showDuration(value, saying)],
];

function digits(value: number, places: number, saying: Saying): string {
  const text = value.toFixed(places);
  return saying.language.decimal === ',' ? text.replace('.', ',') : text;
}

export function showTemperature(tempC: number, saying: Saying): string {
  return saying.temperature === 'F' ? `${digits(tempC * 1.8 + 32, 1, saying)} °F` : `${digits(tempC, 1, saying)} °C`;
}

export function showDuration(timeS: number, saying: Saying): string {
  if (timeS < 120) return `${digits(timeS, 0, saying)} s`;
  if (timeS < 7200) return `${digits(timeS / 60, timeS < 600 ? 1 : 0, saying)} min`;
  return `${digits(timeS / 3600, 1, saying)} h`;
}

/** Fields that hold a name somebody gave: a point may be called `heat`, and means no word of ours then. */
const ownNames: readonly string[] = [
  'point',
  'drive',
  'drives',
  'receiver',
  'receivers',
  'to',
  'target',
  'by',
  'value',
  'why',
];

function showField(field: string, value: number | string, saying: Saying): string {
  if (typeof value === 'string') {
    const isAlarm = field === 'target' && sayGuidance(value, saying) !== null;
    return ownNames.includes(field) && !isAlarm ? value : sayName(value, saying);
  }
  const ending = endings.find(([end]) => field.endsWith(end) && field.length > end.length);
  if (ending !== undefined) return ending[1](value, saying);
  return Number.isInteger(value) ? String(value) : digits(value, 2, saying);
}

/** A fixed word (phase, quality, alarm, …) in the language; the word itself where the language has none. */
export function sayName(word: string, saying: Saying): string {
  const { names } = saying.language;
  const [alarm = '', instance] = word.split(':', 2);
  if (instance !== undefined && Object.hasOwn(names, alarm)) return `${names[alarm]} (${instance})`;
  return Object.hasOwn(names, word) ? (names[word] ?? word) : word;
}

/** What an alarm means and what to do now; null where the language has no guidance for it. */
export function sayGuidance(alarm: string, saying: Saying): Guidance | null {
  const name = alarm.split(':', 1)[0] ?? '';
  return Object.hasOwn(saying.language.guidance, name) ? (saying.language.guidance[name] ?? null) : null;
}

/** A reason in words, with the reasons it rests on: `vapour 92.4 °C at or above 92.1 °C … for 30 s`. */
export function sayReason(reason: Reason, saying: Saying): string {
  const { sentences } = saying.language;
  // A state may have a sentence of its own: "idle, idle" tells nobody anything.
  const sentence = sentences[`${reason.code}.${reason.numbers.state}`] ?? sentences[reason.code] ?? reason.code;
  const because = (reason.because ?? []).map((one) => sayReason(one, saying)).join('; ');
  return sentence.replace(/\{(\w+)\}/g, (_whole, field: string) => {
    if (field === 'because') return because;
    const value = reason.numbers[field];
    return value === undefined ? '?' : showField(field, value, saying);
  });
}
