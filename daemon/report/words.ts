import type { Language, Saying } from '../../lib/words';
import { type ReportWords, reportSentencesEn, reportWordsEn } from './words-en';

/** What the report says in one language. */
interface ReportLanguage {
  readonly words: Readonly<Partial<ReportWords>>;
  readonly sentences: Readonly<Record<string, string>>;
}

const languages: Readonly<Record<string, ReportLanguage>> = {
  en: { words: reportWordsEn, sentences: reportSentencesEn },
};

/** Everything needed to word a report: its own words, and reasons with the report's sentences among them. */
export interface Wording {
  readonly words: ReportWords;
  readonly saying: Saying;
}

/** English stands in for what a language has no word for. */
export function wordingOf(saying: Saying): Wording {
  const own = languages[saying.language.code];
  const language: Language = {
    ...saying.language,
    sentences: { ...reportSentencesEn, ...own?.sentences, ...saying.language.sentences },
  };
  return { words: { ...reportWordsEn, ...own?.words }, saying: { ...saying, language } };
}
