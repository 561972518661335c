import type { Jar, Sheet, Verdict } from './sheet';

/** What the tasters together make of a jar. */
export interface Consensus {
  readonly jar: number;
  /** The decision written on the jar, else what most tasters say; unsure on a tie or with nobody's word. */
  readonly verdict: Verdict;
  readonly decidedBy: 'decision' | 'tasters' | 'nobody';
  /** How many said what. */
  readonly votes: Readonly<Record<Verdict, number>>;
  /** Tasters whose word differs from the verdict. */
  readonly dissent: readonly { readonly taster: string; readonly verdict: Verdict }[];
  /** 1 when all who are sure say the same, 0 when they are split in halves; null below two sure tasters. */
  readonly agreement: number | null;
  /** Mean of the intensities given, and how far apart they lie; null without any. */
  readonly intensity: { readonly mean: number; readonly spread: number } | null;
  /** Words used, the commonest first, with the number of tasters. */
  readonly descriptors: readonly { readonly word: string; readonly tasters: number }[];
}

/** The side a vote falls on for one use of the spirit: in, out, or no word. */
function sideOf(verdict: Verdict, oak: boolean): 1 | -1 | 0 {
  if (verdict === 'unsure') return 0;
  if (verdict === 'in') return 1;
  return verdict === 'in-for-oak' && oak ? 1 : -1;
}

function sumOf(said: readonly Verdict[], oak: boolean): number {
  return said.reduce((sum, verdict) => sum + sideOf(verdict, oak), 0);
}

/**
 * Puts the tasters' verdicts on a jar together.
 *
 * White and oak are voted on apart: `in` counts for both, `in-for-oak` for oak only; `unsure` is no vote. In for oak needs the majority of the
 * second vote only; a tie is unsure.
 *
 * @param jar a jar of a sheet
 * @returns verdict, votes, dissent and agreement
 */
export function consensusOf(jar: Jar): Consensus {
  const said = jar.tastings.flatMap((tasting) => (tasting.verdict === undefined ? [] : [tasting.verdict]));
  const votes = { out: 0, in: 0, 'in-for-oak': 0, unsure: 0 };
  for (const verdict of said) votes[verdict] += 1;
  const voted = said.length === 0 ? 'unsure' : majority(said);
  const verdict = jar.verdict ?? voted;
  const sure = said.filter((one) => one !== 'unsure');
  const whiteSplit = Math.abs(sumOf(sure, false)) / Math.max(1, sure.length);
  const oakSplit = Math.abs(sumOf(sure, true)) / Math.max(1, sure.length);
  return {
    jar: jar.number,
    verdict,
    decidedBy: jar.verdict !== undefined ? 'decision' : said.length > 0 ? 'tasters' : 'nobody',
    votes,
    dissent: jar.tastings.flatMap((tasting) =>
      tasting.verdict === undefined || tasting.verdict === verdict
        ? []
        : [{ taster: tasting.taster, verdict: tasting.verdict }],
    ),
    agreement: sure.length < 2 ? null : Math.min(whiteSplit, oakSplit),
    intensity: intensityOf(jar),
    descriptors: countWords(jar),
  };
}

function majority(said: readonly Verdict[]): Verdict {
  const white = sumOf(said, false);
  const oak = sumOf(said, true);
  if (white > 0) return 'in';
  if (white === 0 && said.some((verdict) => sideOf(verdict, false) === 1)) return 'unsure';
  if (oak > 0) return 'in-for-oak';
  return oak < 0 ? 'out' : 'unsure';
}

function intensityOf(jar: Jar): Consensus['intensity'] {
  const given = jar.tastings.flatMap((tasting) => (tasting.intensity === undefined ? [] : [tasting.intensity]));
  if (given.length === 0) return null;
  const mean = given.reduce((sum, one) => sum + one, 0) / given.length;
  return { mean, spread: Math.max(...given) - Math.min(...given) };
}

function countWords(jar: Jar): Consensus['descriptors'] {
  const counted = new Map<string, number>();
  for (const tasting of jar.tastings) {
    for (const word of new Set(tasting.descriptors.map((one) => one.trim().toLowerCase()))) {
      counted.set(word, (counted.get(word) ?? 0) + 1);
    }
  }
  return [...counted]
    .map(([word, tasters]) => ({ word, tasters }))
    .sort((a, b) => b.tasters - a.tasters || (a.word < b.word ? -1 : 1));
}

/** Consensus jar by jar. */
export function consensus(sheet: Sheet): readonly Consensus[] {
  return sheet.jars.map(consensusOf);
}

/** Where a word points, as a rule. Common practice of tasting, no single source: a hint, never a verdict. */
export const descriptorHints: Readonly<Record<string, 'heads' | 'hearts' | 'tails'>> = {
  solvent: 'heads',
  'nail varnish': 'heads',
  glue: 'heads',
  pungent: 'heads',
  sharp: 'heads',
  'green apple': 'heads',
  stinging: 'heads',
  fruity: 'hearts',
  pear: 'hearts',
  floral: 'hearts',
  blossom: 'hearts',
  sweet: 'hearts',
  clean: 'hearts',
  honey: 'hearts',
  spicy: 'hearts',
  nutty: 'hearts',
  biscuit: 'hearts',
  creamy: 'hearts',
  oily: 'tails',
  'wet cardboard': 'tails',
  'wet dog': 'tails',
  sweaty: 'tails',
  cheesy: 'tails',
  sour: 'tails',
  vegetal: 'tails',
  'cooked cabbage': 'tails',
  musty: 'tails',
  leathery: 'tails',
  waxy: 'tails',
  flat: 'tails',
};
