import { describe, expect, it } from 'vitest';
import { canaryMadnesses, canaryOfHazard, canaryOfInterlock } from '../faults/canary';
import { cases } from '../faults/catalogue';
import { caseNamed, drawTrial } from '../faults/draw';
import { runTrial } from '../faults/run-trial';

/**
 * Seeds that once failed, and why: each is a run into a trouble, through it, and on to the end. And the first of every trouble, without
 * the end.
 * To see one: npm run faults -- --case NAME --seed N
 */
const onceFailed: readonly (readonly [string, number, string])[] = [
  ['spike', 241, 'two wild readings among three made the vapour fail'],
  ['spike', 121, 'two wild readings among three made a boiler warm that was told off'],
  ['spike', 181, 'a spike up and back down was a jump of the probe'],
  ['retained, unmarked', 215, 'an old value that came again made the boiler climb'],
  ['element exposed', 44, 'a bare element heated the air for six hours'],
  ['element exposed', 1394, 'a resumed run heated a bare element for ever'],
  ['relay welded', 7340, 'a welded relay is told of before the second contactor hides it'],
  ['lost command', 4013, 'a heat-off that was lost is truly heat that does not stop'],
  ['swapped probes', 10, 'a column stayed at total reflux for ever'],
];

describe('seeds that once failed', () => {
  for (const [name, seed, why] of onceFailed) {
    it(`${name} ${seed}: ${why}`, () => {
      expect(runTrial(drawTrial(caseNamed(name), seed)).failures).toEqual([]);
    });
  }
});

describe('a burst of old values', () => {
  it('retained, unmarked 1115: an old value three times in a row made the boiler look cold', () => {
    const trial = drawTrial(caseNamed('retained, unmarked'), 1115);
    const plans = trial.plans.map((plan) =>
      plan.fault === 'retained' && plan.size === 1 ? { ...plan, size: 2 } : plan,
    );
    expect(runTrial({ ...trial, plans }).failures).toEqual([]);
  });
});

describe('the first seed of each trouble', () => {
  for (const [index, one] of cases.entries()) {
    it(one.name, () => {
      expect(runTrial(drawTrial(one, index), { heals: false }).failures).toEqual([]);
    });
  }
});

/* The campaign can fail: two of its canaries, the rest are in npm run faults. */
describe('a canary', () => {
  it('fails once every alarm for lost coolant is taken out', () => {
    const { whole, broken } = canaryOfHazard('coolant-lost');
    expect(whole).toBe(0);
    expect(broken).toBeGreaterThan(0);
  });

  for (const what of canaryMadnesses) {
    it(`${what}: tamed by the interlocks, seen without them`, () => {
      const { whole, broken } = canaryOfInterlock(what);
      expect(whole).toBe(0);
      expect(broken).toBeGreaterThan(0);
    });
  }
});
