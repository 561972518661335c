import { describe, expect, it } from 'vitest';
import { type ChargedStill, carryToStill, judgeReadiness, type Preparation, sayComparison } from '../../lib/compare';
import { checkRecipe } from '../../lib/recipe/check';
import type { Recipe } from '../../lib/recipe/schema';

const then: Preparation = {
  still: 'orchard',
  chargeL: 50,
  chargeVolPercent: 30,
  heaterW: 3500,
  takeOffLPerH: 6,
  feintsSharePercent: 12,
  coolantLPerH: 150,
  coolantInC: 12,
  probeWell: 'head, 40 mm below the arm',
  probeCalibration: '2026-09-30',
  foreshotsL: 0.25,
};

const readiness = (change: Partial<Preparation>) => judgeReadiness(then, { ...then, ...change });
const said = (change: Partial<Preparation>) => readiness(change).lines.map((one) => sayComparison(one.reason));

describe('readiness before a run', () => {
  it('is full when everything is as then', () => {
    expect(readiness({})).toMatchObject({ score: 100, verdict: 'alike' });
  });

  it('stays full within the tolerances: strength 0.3 % vol, volume 1 %, heat and take-off 3 %', () => {
    expect(readiness({ chargeVolPercent: 30.3, chargeL: 49.5, heaterW: 3605, takeOffLPerH: 5.82 }).score).toBe(100);
    expect(readiness({ chargeVolPercent: 30.35 }).score).toBeLessThan(100);
    expect(readiness({ heaterW: 3650 }).score).toBeLessThan(100);
  });

  it('falls with how far a thing is off and how much it matters, and names the most costly first', () => {
    const one = readiness({ chargeVolPercent: 31.2 });
    expect(one.score).toBeCloseTo(75, 9);
    expect(one.verdict).toBe('near');
    expect(one.lines[0]).toMatchObject({ item: 'charge-strength', state: 'different', score: expect.closeTo(0, 9) });
    const worse = readiness({ chargeVolPercent: 32, heaterW: 5000, probeWell: 'arm' });
    expect(worse.verdict).toBe('different');
    expect(worse.lines.slice(0, 3).map((line) => line.item)).toEqual(['charge-strength', 'heat', 'probe-well']);
  });

  it('says what differs and by how much', () => {
    expect(said({ chargeVolPercent: 31 })[0]).toBe(
      'charge strength 31.0 % vol instead of 30.0 % vol: bring it within 0.3 % vol, or cut by share',
    );
    expect(said({ heaterW: 4000 })[0]).toBe('heat 4000 W where 3500 W would repeat it (14.3 %)');
    expect(said({ probeWell: 'lyne arm' })[0]).toBe(
      'vapour probe in lyne arm instead of head, 40 mm below the arm: temperatures are not comparable',
    );
    expect(said({ feintsSharePercent: 20 })[0]).toContain('feints 20.0 % of the alcohol instead of 12.0 %');
    expect(said({ coolantInC: 20 })[0]).toBe('coolant 20.0 °C instead of 12.0 °C');
  });

  it('counts what nobody knows half, and asks for it', () => {
    const unknown = readiness({ chargeVolPercent: null });
    expect(unknown.score).toBeCloseTo(87.5, 9);
    expect(sayComparison(unknown.lines[0]!.reason)).toBe('charge strength not known: measure it');
    expect(judgeReadiness(then, { ...then, probeCalibration: null }).lines[0]!.state).toBe('unknown');
  });

  it('compares another still per litre of charge', () => {
    const big = {
      still: 'cellar',
      chargeL: 500,
      heaterW: 35_000,
      takeOffLPerH: 60,
      coolantLPerH: 1500,
      foreshotsL: 2.5,
    };
    expect(readiness(big).score).toBe(100);
    expect(readiness({ ...big, heaterW: 20_000 }).lines[0]).toMatchObject({ item: 'heat', state: 'different' });
    expect(said({ ...big, heaterW: 20_000 })[0]).toBe('heat 20000 W where 35000 W would repeat it (-42.9 %)');
  });

  it('has words for every line in every state', () => {
    const nothing: Preparation = {
      still: 'cellar',
      chargeL: null,
      chargeVolPercent: null,
      heaterW: null,
      takeOffLPerH: null,
      feintsSharePercent: null,
      coolantLPerH: null,
      coolantInC: null,
      probeWell: null,
      probeCalibration: null,
      foreshotsL: null,
    };
    const other: Preparation = {
      still: 'orchard',
      chargeL: 40,
      chargeVolPercent: 20,
      heaterW: 1000,
      takeOffLPerH: 1,
      feintsSharePercent: 50,
      coolantLPerH: 10,
      coolantInC: 30,
      probeWell: 'x',
      probeCalibration: 'y',
      foreshotsL: 2,
    };
    for (const planned of [then, nothing, other]) {
      for (const line of judgeReadiness(then, planned).lines) {
        const words = sayComparison(line.reason);
        expect(words).not.toContain('?');
        expect(words).not.toContain('compare.');
      }
    }
  });
});

function recipe(): Recipe {
  const checked = checkRecipe({
    recipe: 1,
    name: 'pear',
    kind: 'spirit',
    stillKind: 'pot',
    phases: [
      { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 } },
      { phase: 'foreshots', endsWhen: { test: 'volume', atLeastL: 0.25, since: 'run' }, maxS: 1800 },
      {
        phase: 'heads',
        endsWhen: { test: 'alcohol-share', atLeastPercent: 8.5 },
        notBefore: { volumeL: 0.5, timeS: 600 },
      },
      {
        phase: 'hearts',
        endsWhen: {
          anyOf: [
            { test: 'vapour-temp', atLeastC: 88.4 },
            { test: 'time', atLeastS: 20_000 },
          ],
        },
        maxS: 30_000,
      },
      { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 96 } },
    ],
    surgeGuard: { purgeL: 0.3 },
    variants: { 'for-oak': { cuts: { foreshots: { endsWhen: { test: 'volume', atLeastL: 0.2, since: 'run' } } } } },
  });
  if (checked.kind === 'bad') throw new Error(JSON.stringify(checked.problems));
  return checked.value;
}

const orchard: ChargedStill = {
  name: 'The orchard still',
  kind: 'pot',
  chargeL: 50,
  chargeVolPercent: 30,
  heaterW: 3500,
  holdUpL: 0.08,
  probeK: 0.1,
};
const cellar: ChargedStill = {
  name: 'The cellar still',
  kind: 'pot',
  chargeL: 500,
  chargeVolPercent: 30,
  heaterW: 17_500,
  holdUpL: 0,
  probeK: 0.2,
};

describe('a recipe carried to another still', () => {
  it('has its volumes scaled with the alcohol, its times with charge over heat, its temperatures and shares left alone', () => {
    const carried = carryToStill(recipe(), orchard, cellar);
    if (carried.kind === 'bad') throw new Error('refused');
    expect(carried.value.volumeFactor).toBeCloseTo(10, 12);
    expect(carried.value.timeFactor).toBeCloseTo(2, 12);
    const [, foreshots, heads, hearts] = carried.value.recipe.phases;
    expect(foreshots).toMatchObject({ endsWhen: { atLeastL: 2.5 }, maxS: 3600 });
    expect(heads).toMatchObject({ endsWhen: { atLeastPercent: 8.5 }, notBefore: { volumeL: 5, timeS: 1200 } });
    expect(hearts!.endsWhen).toMatchObject({ anyOf: [{ atLeastC: 88.4 }, { atLeastS: 40_000 }] });
    expect(carried.value.recipe.surgeGuard!.purgeL).toBe(3);
    expect(carried.value.recipe.variants['for-oak']!.cuts.foreshots!.endsWhen).toMatchObject({ atLeastL: 2 });
    expect(carried.value.changes.length).toBeGreaterThan(3);
  });

  it('says plainly what carries over and what does not', () => {
    const carried = carryToStill(recipe(), orchard, { ...cellar, chargeVolPercent: 28 });
    if (carried.kind === 'bad') throw new Error('refused');
    const words = (reasons: readonly Parameters<typeof sayComparison>[0][]) =>
      reasons.map((one) => sayComparison(one)).join('\n');
    expect(words(carried.value.carries)).toContain("shares of the charge's alcohol");
    const lost = words(carried.value.doesNotCarry);
    expect(lost).toContain(
      'the reflux of head and arm; The cellar still may give another vapour than The orchard still',
    );
    expect(lost).toContain('50.0 % less heat per litre of charge; 35000 W would repeat it');
    expect(lost).toContain('the charge is 2.0 % vol weaker');
    expect(lost).toContain('right within 0.20 K only');
    expect(lost).toContain('0.08 L between probe and spout');
    expect(lost).not.toContain('?');
  });

  it('loses longest times where a heat is not known, rather than raise false alarms', () => {
    const carried = carryToStill(recipe(), orchard, { ...cellar, heaterW: null });
    if (carried.kind === 'bad') throw new Error('refused');
    expect(carried.value.timeFactor).toBeNull();
    expect(carried.value.recipe.phases.every((step) => step.maxS === undefined)).toBe(true);
    expect(carried.value.doesNotCarry.map((one) => one.code)).toContain('compare.loses-heat-unknown');
  });

  it('is not carried from a pot to a column, nor to a charge without alcohol', () => {
    expect(carryToStill(recipe(), orchard, { ...cellar, kind: 'column' })).toMatchObject({
      kind: 'bad',
      problems: [{ path: 'stillKind' }],
    });
    expect(carryToStill(recipe(), orchard, { ...cellar, chargeVolPercent: 0 }).kind).toBe('bad');
  });
});
