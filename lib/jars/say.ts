import type { Reason } from '../engine/types';
import { english, type Language, type Saying, sayReason } from '../words';
import { jarNames, jarSentences } from './words-en';

/** A language with the words of jar sheets; what it has already stays. */
export function withJarWords(language: Language): Language {
  return {
    ...language,
    sentences: { ...jarSentences, ...language.sentences },
    names: { ...jarNames, ...language.names },
  };
}

/** A reason of lib/jars in words. */
export function sayJars(reason: Reason, saying: Saying = english): string {
  return sayReason(reason, { ...saying, language: withJarWords(saying.language) });
}
