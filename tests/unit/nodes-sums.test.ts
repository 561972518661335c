import { describe, expect, it } from 'vitest';
import { doProofing } from '../../nodes/shared/proofing-tasks';
import { strengthOf } from '../../nodes/shared/strengths';

const value = (task: Parameters<typeof doProofing>[0], request: Parameters<typeof doProofing>[1]) => {
  const answer = doProofing(task, request);
  if (answer.kind === 'bad') throw new Error(answer.why);
  return answer.value as Record<string, number>;
};

describe('proofing', () => {
  it('reduces as the densities of OIML R 22 want it', () => {
    // 10 L of 70 % vol at 20 °C: density 885.56, of 42 % vol 945.8 kg/m³, of ethanol 789.24. Source: OIML R 22 (1975), tables.
    const found = value('reduce', { volumeL: 10, volPercent: 70, targetPercent: 42 });
    const massKg = (10 * 885.56) / 1000;
    const finishedKg = (massKg * ((0.7 * 789.24) / 885.56)) / ((0.42 * 789.24) / 946.2);
    expect(found.waterKg).toBeCloseTo(finishedKg - massKg, 1);
    expect(found.volumeL).toBeGreaterThan(16.5);
    expect(found.alcoholL).toBeCloseTo(7, 2);
  });

  it('rests on the way come to the same water', () => {
    const once = value('reduce', { volumeL: 10, volPercent: 70, targetPercent: 42 });
    const stepped = value('reduce', { volumeL: '10', volPercent: '70', targetPercent: 42, restsPercent: '60, 50' });
    expect(stepped.waterKg).toBeCloseTo(once.waterKg!, 9);
    expect(stepped.steps).toHaveLength(3);
  });

  it('blends, adjusts and plans for the bottle consistently with one another', () => {
    const blended = value('blend', {
      parts: [
        { volumeL: 1, volPercent: 80 },
        { volumeL: 1, volPercent: 40, tempC: 20 },
      ],
    });
    expect(blended.volPercent).toBeGreaterThan(59.5);
    expect(blended.volPercent).toBeLessThan(61);
    expect(blended.contractionL).toBeGreaterThan(0);
    const adjusted = value('adjust', {
      volumeL: 1,
      volPercent: 80,
      withPercent: 40,
      targetPercent: blended.volPercent,
    });
    expect(adjusted.addL).toBeCloseTo(1, 6);
    const plan = value('bottle', { volumeL: 20, volPercent: 70, targetPercent: 42 });
    const back = value('reduce', { volumeL: plan.spiritL, volPercent: 70, targetPercent: 42 });
    expect(back.volumeL).toBeCloseTo(20, 9);
    expect(back.waterL).toBeCloseTo(plan.waterL!, 3);
  });

  it('lists everything wrong at once, in the names and per cents people use here', () => {
    const bad = doProofing('reduce', { volumeL: 'ten', targetPercent: 42 });
    expect(bad).toMatchObject({ kind: 'bad' });
    expect(bad.kind === 'bad' && bad.why).toMatch(/volumeL: "ten": is no number.*volPercent: is missing/);
    const over = doProofing('reduce', { volumeL: 10, volPercent: 40, targetPercent: 60 });
    expect(over.kind === 'bad' && over.why).toMatch(
      /^targetPercent: "60 % vol": is stronger than the 40 % vol before it/,
    );
    const cold = doProofing('reduce', { volumeL: 10, tempC: 55, volPercent: 70, targetPercent: 42 });
    expect(cold.kind === 'bad' && cold.why).toMatch(/^tempC: 55: densities are known from -20 to 40/);
    const none = doProofing('blend', { parts: 'all' });
    expect(none.kind === 'bad' && none.why).toMatch(/^parts: "all": is no list/);
  });

  it('cautions where a spirit may cloud', () => {
    const answer = doProofing('reduce', { volumeL: 10, volPercent: 55, targetPercent: 40 });
    expect(answer.kind === 'ok' && answer.warnings.join()).toMatch(/targetPercent: 40 % vol: .*cloud/);
  });
});

describe('spirit strength', () => {
  it('by alcoholometer agrees with the tables', () => {
    // 50 % vol read at 10 °C is 53.7 % vol at 20 °C. Source: OIML R 22, table VIIIb as used in the EU.
    const found = strengthOf({ way: 'hydrometer', value: 0.5, beside: 10, basis: '20C' });
    expect(found.kind === 'ok' && found.value.strengthAbv).toBeCloseTo(0.537, 3);
  });

  it('by vapour and boiler belongs together: one equilibrium', () => {
    // Liquid of x 0.1 boils at 86.4 °C with vapour y 0.44 at 1013 hPa. Source: measured sets of ethanol and water; see tests/reference.
    const boiler = strengthOf({ way: 'boiler', value: 86.01, beside: 1013.25, basis: '20C' });
    const vapour = strengthOf({ way: 'vapour', value: 86.01, beside: 1013.25, basis: '20C' });
    expect(boiler.kind === 'ok' && boiler.value.strengthAbv).toBeCloseTo(0.273, 2);
    expect(vapour.kind === 'ok' && vapour.value.strengthAbv).toBeCloseTo(0.753, 2);
  });

  it('warns near the azeotrope and refuses what no spirit can do', () => {
    const near = strengthOf({ way: 'vapour', value: 78.2, beside: 1013.25, basis: '20C' });
    expect(near.kind === 'ok' && near.warnings[0]?.message).toMatch(/too near the azeotrope \(78\.14 °C\)/);
    expect(strengthOf({ way: 'vapour', value: 110, beside: 1013.25, basis: '20C' }).kind).toBe('bad');
    expect(strengthOf({ way: 'boiler', value: 20, beside: 1013.25, basis: '20C' }).kind).toBe('bad');
  });
});
