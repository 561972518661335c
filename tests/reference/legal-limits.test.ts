import { describe, expect, it } from 'vitest';
import { type LegalCategory, type LegalLimits, limitsOf, usLabelToleranceAbv } from '../../lib/proofing';
import table from './data/eu-2019-787.json';

const keys: Record<string, LegalCategory> = {
  rum: 'eu-rum',
  whisky: 'eu-whisky',
  'brandy/Weinbrand': 'eu-brandy',
  'grape marc spirit': 'eu-grape-marc-spirit',
  'raisin spirit': 'eu-raisin-spirit',
  'cider/perry spirit': 'eu-cider-or-perry-spirit',
  topinambur: 'eu-topinambur',
  vodka: 'eu-vodka',
  'maceration spirit': 'eu-maceration-spirit',
};

describe('Regulation (EU) 2019/787, Annex I', () => {
  it.each(table.categories)('$name', (category) => {
    const limits: LegalLimits = limitsOf(keys[category.name]!);
    expect(limits.leastBottledAbv).toBeCloseTo(category.leastPercentVol / 100, 12);
    expect(limits.mostMethanolGPerHL ?? null).toBe(category.mostMethanolGPerHL);
    if (category.distilledBelowPercentVol === null) expect(limits.distilledBelowAbv).toBeUndefined();
    else expect(limits.distilledBelowAbv).toBeCloseTo(category.distilledBelowPercentVol / 100, 12);
  });
});

describe('27 CFR part 5', () => {
  it('whisky: distilled below 190 proof, bottled from 80 proof (5.143)', () => {
    expect(limitsOf('us-whisky')).toMatchObject({ leastBottledAbv: 0.4, distilledBelowAbv: 0.95 });
  });

  it('neutral spirits: distilled at or above 190 proof (5.142)', () => {
    expect(limitsOf('us-neutral-spirits-or-vodka')).toMatchObject({ leastBottledAbv: 0.4, distilledFromAbv: 0.95 });
  });

  it('a label may be 0.3 % vol off (5.37)', () => {
    expect(usLabelToleranceAbv).toBe(0.003);
  });
});
