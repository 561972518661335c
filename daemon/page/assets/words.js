import { en } from './words-en.js';
import { recordEn } from './words-record-en.js';

/** Languages of the page; a new one is a pair of files and a line here. */
const languages = { en: { ...en, ...recordEn } };

/** @type {Record<string, string>} */
let words = languages.en;

/** @param {string} code */
export function setLanguage(code) {
  words = /** @type {Record<string, Record<string, string>>} */ (languages)[code] ?? languages.en;
  document.documentElement.lang = code in languages ? code : 'en';
}

/**
 * Words by their key, with what belongs into them.
 * @param {string} key
 * @param {Record<string, string | number>} [parts]
 */
export function say(key, parts = {}) {
  const sentence = words[key] ?? key;
  return sentence.replace(/\{([\w-]+)\}/g, (whole, name) => String(parts[name] ?? whole));
}
