import type { Reason } from '../engine/types';
import { english, type Saying, sayReason } from '../words';
import { compareSentences } from './words-en';

/** A reason of lib/compare in words. */
export function sayComparison(reason: Reason, saying: Saying = english): string {
  const language = { ...saying.language, sentences: { ...compareSentences, ...saying.language.sentences } };
  return sayReason(reason, { ...saying, language });
}
