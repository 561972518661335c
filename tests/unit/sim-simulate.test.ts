import { describe, expect, it } from 'vitest';
import { parseLog } from '../../lib/replay/log';
import { perryStripping, scenarios } from '../../simulators/scenarios';
import { simulate } from '../../simulators/simulate';
import { good, potDocument, potRecipe } from '../tools/plants';

describe('simulate', () => {
  it('runs the pear spirit when nothing else is asked, to the cool-down', () => {
    const result = good(simulate({}));
    expect(result.cuts.at(-1)?.event.to).toBe('cool-down');
    expect(result.fractions['hearts-can']?.volumeL).toBeGreaterThan(10);
    expect(good(parseLog(result.csv)).rows.length).toBeGreaterThan(2000);
  });

  it('runs documents of one’s own, at one’s own altitude, with one’s own charge and probes', () => {
    const result = good(
      simulate({
        still: potDocument,
        recipe: potRecipe,
        seed: 5,
        altitudeM: 1600,
        charge: { volumeL: 40, strengthAbv: 0.28, tempC: 60 },
        probes: { vapour: { noise: 0.15, resolution: 0.0625, lagS: 4 } },
        mostS: 6 * 3600,
      }),
    );
    expect(result.truth.airPressureHPa).toBeGreaterThan(820);
    expect(result.truth.airPressureHPa).toBeLessThan(845);
    expect(result.cuts.map((cut) => cut.event.to)).toContain('hearts');
    expect(result.columns).toEqual(['vapourTempC', 'boilerTempC', 'airPressureHPa']);
  });

  it('lets faults happen', () => {
    const result = good(
      simulate({
        scenario: 'pot-spirit',
        charge: { tempC: 70 },
        faults: [{ fault: 'coolant-lost', fromS: 2400 }],
        mostS: 4000,
      }),
    );
    expect(result.events.some((event) => event.kind === 'trip')).toBe(true);
  });

  it('is the same for the same seed', () => {
    const run = (seed: number) => good(simulate({ seed, mostS: 2000 })).csv;
    expect(run(9)).toBe(run(9));
    expect(run(9)).not.toBe(run(10));
  });

  it.each([
    ['an unknown field', { sceanrio: 'pot-spirit' }, /unrecognized/],
    ['a scenario that is not there', { scenario: 'gin' }, /is not known here/],
    ['a broken still', { still: { still: 1 } }, /missing/],
    ['a recipe that does not fit the still', { still: scenarios['column-spirit'].still, recipe: perryStripping }, /./],
    ['a fault aimed at nothing', { faults: [{ fault: 'dropout', fromS: 0, target: 'nose' }] }, /can't befall/],
    ['nothing at all', null, /./],
  ])('refuses %s with path, message and remedy', (_what, request, message) => {
    const result = simulate(request);
    expect(result.kind).toBe('bad');
    if (result.kind !== 'bad') return;
    expect(result.problems[0]?.message).toMatch(message);
    expect(result.problems[0]?.remedy.length).toBeGreaterThan(3);
  });
});
