/*
 * Legal limits of some categories of spirit, as facts to warn with; not legal advice. Laws change and add conditions of origin, raw material
 * and ageing: read the law in force where you bottle.
 */

/** Limits of a category; undefined where the law sets none. */
export interface LegalLimits {
  readonly law: string;
  /** Least strength as bottled [0..1 at 20 °C]. */
  readonly leastBottledAbv: number;
  /** Distilled to less than this [0..1]. */
  readonly distilledBelowAbv?: number;
  /** Distilled to at least this [0..1]. */
  readonly distilledFromAbv?: number;
  /** Most methanol, grams in a hectolitre of pure alcohol. */
  readonly mostMethanolGPerHL?: number;
}

const eu = 'Regulation (EU) 2019/787, Annex I';
const us = '27 CFR 5.142, 5.143, 5.145';

/** Categories by name. Source: named in each entry. */
export const legalLimits = {
  'eu-rum': { law: eu, leastBottledAbv: 0.375, distilledBelowAbv: 0.96 },
  'eu-whisky': { law: eu, leastBottledAbv: 0.4, distilledBelowAbv: 0.948 },
  'eu-brandy': { law: eu, leastBottledAbv: 0.36, mostMethanolGPerHL: 200 },
  'eu-grape-marc-spirit': { law: eu, leastBottledAbv: 0.375, distilledBelowAbv: 0.86, mostMethanolGPerHL: 1000 },
  'eu-raisin-spirit': { law: eu, leastBottledAbv: 0.375, distilledBelowAbv: 0.945 },
  'eu-cider-or-perry-spirit': { law: eu, leastBottledAbv: 0.375, distilledBelowAbv: 0.86, mostMethanolGPerHL: 1000 },
  'eu-topinambur': { law: eu, leastBottledAbv: 0.38, distilledBelowAbv: 0.86 },
  'eu-vodka': { law: eu, leastBottledAbv: 0.375, mostMethanolGPerHL: 10 },
  'eu-maceration-spirit': { law: eu, leastBottledAbv: 0.375, distilledBelowAbv: 0.86 },
  'us-whisky': { law: us, leastBottledAbv: 0.4, distilledBelowAbv: 0.95 },
  'us-neutral-spirits-or-vodka': { law: us, leastBottledAbv: 0.4, distilledFromAbv: 0.95 },
} as const satisfies Record<string, LegalLimits>;

/** A category with known limits. */
export type LegalCategory = keyof typeof legalLimits;

/** Widest difference between the strength on a US label and in the bottle [fraction]. Source: 27 CFR 5.37(b). */
export const usLabelToleranceAbv = 0.003;

/** Limits of a category of spirit. Source: named in the result. */
export function limitsOf(category: LegalCategory): LegalLimits {
  return legalLimits[category];
}
