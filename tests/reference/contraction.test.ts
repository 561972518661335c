import { describe, expect, it } from 'vitest';
import { blend } from '../../lib/proofing';
import { okValue } from './ok-value';

// A wine glossary prints 192.75 L for 100 L of ethanol and 100 L of water; its tolerance here is 0.25 L, the formula gives 192.93.
describe('contraction of ethanol and water', () => {
  it('makes 192.75 L within 0.25 of 100 L and 100 L at 20 °C', () => {
    const mixed = okValue(
      blend([
        { amount: { kind: 'volume', volumeL: 100, tempC: 20 }, strengthAbv: 1 },
        { amount: { kind: 'volume', volumeL: 100, tempC: 20 }, strengthAbv: 0 },
      ]),
    );
    expect(Math.abs(mixed.volume20L - 192.75)).toBeLessThanOrEqual(0.25);
    expect(mixed.contractionL).toBeCloseTo(200 - mixed.volume20L, 9);
  });
});
