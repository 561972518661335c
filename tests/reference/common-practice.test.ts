import { describe, expect, it } from 'vitest';
import {
  abvFromMoleFraction,
  dewTempC,
  liquidAtBubbleTemp,
  moleFractionFromAbv,
  vapourAtDewTemp,
} from '../../lib/physics';
import { expectYield } from '../../lib/proofing';
import { okValue } from './ok-value';

/*
 * Common practice of distillers, without a single source: plausibility only. Cognac practice after the trade's glossaries: low wines of 28 to 32 % vol,
 * hearts until the spout falls to about 60 % vol.
 */

function spoutAbv(vapourTempC: number): number {
  return abvFromMoleFraction(vapourAtDewTemp(vapourTempC, 1013.25));
}

describe('common practice at sea level', () => {
  it('heads of a fruit spirit leave below roughly 80–82 °C: the spout is then above 80 % vol', () => {
    expect(spoutAbv(80)).toBeGreaterThan(0.83);
    expect(spoutAbv(82)).toBeGreaterThan(0.78);
  });

  it('tails are worth suspecting from about 94 °C: the spout is then below half alcohol', () => {
    expect(spoutAbv(94)).toBeLessThan(0.5);
    expect(spoutAbv(94)).toBeGreaterThan(0.4);
  });

  it('little is left beyond 95–96 °C: the boiler holds below 2 % vol when the vapour of a bare pot comes over at 98 °C', () => {
    expect(abvFromMoleFraction(liquidAtBubbleTemp(96, 1013.25))).toBeLessThan(0.05);
    expect(abvFromMoleFraction(liquidAtBubbleTemp(98.5, 1013.25))).toBeLessThan(0.02);
  });

  it('the cut at 60 % vol of cognac practice is a vapour of about 90 °C', () => {
    expect(Math.abs(dewTempC(moleFractionFromAbv(0.6), 1013.25) - 90.5)).toBeLessThan(1);
  });

  it('low wines of 28–32 % vol give most of their alcohol before the spout falls to 20 % vol', () => {
    for (const strengthAbv of [0.28, 0.3, 0.32]) {
      const { alcoholShare } = okValue(expectYield({ volumeL: 100, strengthAbv, tempC: 20, untilAbv: 0.2 }));
      expect(alcoholShare).toBeGreaterThan(0.85);
      expect(alcoholShare).toBeLessThan(0.98);
    }
  });
});
