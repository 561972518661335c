import { de } from './de';
import { en } from './en';
import { fr } from './fr';
import type { Language, Saying } from './say';

/** Languages the reasons can be worded in. */
export const languages: Readonly<Record<string, Language>> = { en, de, fr };

export const english: Saying = { language: en, temperature: 'C' };

export {
  type Guidance,
  type HazardWords,
  type Language,
  type Saying,
  sayGuidance,
  sayName,
  sayReason,
  showDuration,
  showTemperature,
} from './say';
