import { describe, expect, it } from 'vitest';
import {
  checkRecipe,
  checkStill,
  compilePlant,
  type Problem,
  type RecipeDocument,
  type StillDocument,
} from '../../lib';
import { migrateRecipe } from '../../lib/recipe/migrate';
import { asVariant } from '../../lib/recipe/variant';
import { contentHash } from '../../lib/record';
import { good, potDocument, potRecipe } from '../tools/plants';

function problemsOf(checked: { kind: string; problems?: readonly Problem[] }): string[] {
  return (checked.problems ?? []).map((one) => `${one.path}: ${one.message}`);
}

function withHeads(endsWhen: unknown): unknown {
  return {
    ...potRecipe,
    phases: potRecipe.phases.map((step) => (step.phase === 'heads' ? { ...step, endsWhen } : step)),
  };
}

describe('recipe document', () => {
  it('is read with its defaults', () => {
    const recipe = good(checkRecipe(potRecipe));
    expect(recipe.referencePressureHPa).toBe(1013.25);
    expect(recipe.phases[1]?.holdS).toBe(30);
    expect(recipe.phases[1]?.cut).toBe('automatic');
  });

  it('refuses unknown fields, naming them', () => {
    const found = problemsOf(
      checkRecipe({ ...potRecipe, heads: 82, phases: potRecipe.phases.map((step) => ({ ...step, hold: 5 })) }),
    );
    expect(found.some((one) => one.includes('heads'))).toBe(true);
    expect(found.filter((one) => one.startsWith('phases.')).length).toBe(4);
  });

  it('lists all problems at once, each with path, value and remedy', () => {
    const checked = checkRecipe({ recipe: 1, name: '', kind: 'whisky', stillKind: 'pot', phases: [] });
    expect(checked.kind).toBe('bad');
    if (checked.kind === 'ok') return;
    expect(checked.problems.map((one) => one.path).sort()).toEqual(['kind', 'name', 'phases']);
    for (const one of checked.problems) expect(one.remedy.length).toBeGreaterThan(5);
    expect(checked.problems.find((one) => one.path === 'kind')?.value).toBe('"whisky"');
  });

  it('names the field inside the test that came nearest', () => {
    const found = problemsOf(checkRecipe(withHeads({ test: 'vapour-temp', atLeast: 82 })));
    expect(found.join('\n')).toMatch(/phases\.1\.endsWhen\.atLeastC: is missing/);
    expect(found.join('\n')).toMatch(/atLeast/);
  });

  it('refuses cuts out of order', () => {
    const found = problemsOf(checkRecipe(withHeads({ test: 'vapour-temp', atLeastC: 93 })));
    expect(found).toHaveLength(1);
    expect(found[0]).toMatch(/phases\.2\.endsWhen\.atLeastC: ends hearts no later than heads/);
  });

  it('refuses strengths out of order with temperatures', () => {
    const found = problemsOf(checkRecipe(withHeads({ test: 'strength', atMostVolPercent: 45 })));
    expect(found[0]).toMatch(/no later than heads/);
  });

  it('refuses what water and ethanol cannot do at the reference pressure', () => {
    expect(problemsOf(checkRecipe(withHeads({ test: 'vapour-temp', atLeastC: 60 })))[0]).toMatch(
      /cannot be a vapour temperature/,
    );
    expect(
      problemsOf(
        checkRecipe({
          ...potRecipe,
          referencePressureHPa: 850,
          phases: [potRecipe.phases[0], { phase: 'heads', endsWhen: { test: 'vapour-temp', atLeastC: 97 } }],
        }),
      )[0],
    ).toMatch(/cannot be a vapour temperature/);
  });

  it('refuses phases in the wrong order, twice, or without a heat-up', () => {
    const [heat, heads, hearts, tails] = potRecipe.phases as [never, never, never, never];
    expect(problemsOf(checkRecipe({ ...potRecipe, phases: [heat, hearts, heads, tails] })).join()).toMatch(
      /after a later phase/,
    );
    expect(problemsOf(checkRecipe({ ...potRecipe, phases: [heat, heads, heads, tails] })).join()).toMatch(/twice/);
    expect(problemsOf(checkRecipe({ ...potRecipe, phases: [heads, hearts, tails] })).join()).toMatch(/heat-up/);
  });

  it('refuses a plateau rule in a pot, and variants of phases it does not have', () => {
    expect(problemsOf(checkRecipe(withHeads({ test: 'vapour-rise', byK: 0.3 }))).join()).toMatch(/needs a plateau/);
    const variants = { white: { cuts: { equalise: { holdS: 10 } } } };
    expect(problemsOf(checkRecipe({ ...potRecipe, variants })).join()).toMatch(/is no phase of this recipe/);
  });

  it('checks the cuts of each variant too', () => {
    const variants = { 'for-oak': { cuts: { hearts: { endsWhen: { test: 'vapour-temp', atLeastC: 80 } } } } };
    const found = problemsOf(checkRecipe({ ...potRecipe, variants }));
    expect(found[0]).toMatch(/variants\.for-oak\.cuts\.hearts/);
  });

  it('refuses a variant that raises a cut above a later one it leaves alone', () => {
    const variants = { 'for-oak': { cuts: { hearts: { endsWhen: { test: 'vapour-temp', atLeastC: 97.5 } } } } };
    const found = problemsOf(checkRecipe({ ...potRecipe, variants }));
    expect(found[0]).toMatch(/ends tails no later than hearts \(97\.5 at variants\.for-oak\.cuts\.hearts/);
  });

  it('overrides single cuts in a variant and leaves the rest', () => {
    const variants = { 'for-oak': { cuts: { hearts: { endsWhen: { test: 'vapour-temp', atLeastC: 94 } } } } } as const;
    const recipe = good(checkRecipe({ ...potRecipe, variants }));
    const oak = asVariant(recipe, 'for-oak')!;
    expect(oak.phases[2]?.endsWhen).toMatchObject({ atLeastC: 94 });
    expect(oak.phases[1]).toEqual(recipe.phases[1]);
    expect(asVariant(recipe, 'blue')).toBeNull();
  });

  it('has a content hash that depends on what it says, not on how it is written', () => {
    const one = good(checkRecipe(potRecipe));
    const reordered = Object.fromEntries(Object.entries(potRecipe).reverse());
    expect(contentHash(good(checkRecipe(reordered)))).toBe(contentHash(one));
    expect(contentHash(good(checkRecipe({ ...potRecipe, name: 'Other' })))).not.toBe(contentHash(one));
  });

  it('refuses a newer version and migrates an older one step by step', () => {
    expect(problemsOf(checkRecipe({ ...potRecipe, recipe: 2 }))[0]).toMatch(/newer/);
    const steps = {
      1: (old: Record<string, unknown>) => ({ ...old, name: `${String(old.name)} migrated` }),
      2: (old: Record<string, unknown>) => ({ ...old, about: 'twice' }),
    };
    expect(migrateRecipe({ recipe: 1, name: 'x' }, steps, 3)).toMatchObject({
      kind: 'ok',
      value: { recipe: 3, name: 'x migrated', about: 'twice' },
    });
    expect(migrateRecipe({ recipe: 1 }, {}, 3).kind).toBe('bad');
  });

  it('says what is wrong with anything at all, and never throws', () => {
    for (const document of [
      null,
      1,
      'x',
      [],
      {},
      { recipe: 'one' },
      { recipe: 1, phases: 'none' },
      { recipe: 1, phases: [null] },
    ]) {
      const checked = checkRecipe(document);
      expect(checked.kind).toBe('bad');
    }
  });
});

describe('still document', () => {
  it('refuses receiver valves that all close without power, unless the still states its vent', () => {
    const drives = Object.fromEntries(
      Object.entries(potDocument.drives ?? {}).map(([id, drive]) => [
        id,
        drive.kind === 'receiver-valve' ? { ...drive, failPosition: 'closed' as const } : drive,
      ]),
    );
    const sealed: StillDocument = { ...potDocument, drives };
    expect(problemsOf(checkStill(sealed))[0]).toMatch(/seals a hot still/);
    expect(checkStill({ ...sealed, vent: { unvalved: true, feintsPathFailsOpen: true } }).kind).toBe('ok');
  });

  it('refuses names that lead nowhere', () => {
    const found = problemsOf(
      checkStill({
        ...potDocument,
        points: { ...potDocument.points, level: { kind: 'receiver-volume', receiver: 'jug' } },
        drives: { ...potDocument.drives, extra: { kind: 'receiver-valve', receiver: 'jug', failPosition: 'open' } },
      }),
    );
    expect(found.filter((one) => one.includes('is no receiver')).length).toBe(2);
  });

  it('warns where nothing but us can switch the heat off', () => {
    const checked = checkStill({
      ...potDocument,
      drives: { ...potDocument.drives, element: { kind: 'heat', ratedW: 5000 } },
    });
    expect(checked.kind === 'ok' && checked.warnings.map((one) => one.path)).toContain('drives.element.deadManS');
  });
});

describe('recipe on a still', () => {
  const charge = { volumeL: 50, strengthAbv: 0.3 };
  const compile = (
    recipe: unknown,
    still: unknown = potDocument,
    given: typeof charge | null = charge,
    variant: string | null = null,
  ) => compilePlant(good(checkStill(still)), good(checkRecipe(recipe)), variant, given);

  it('refuses a receiver that does not exist, or does not take the fraction', () => {
    const phases = (receiver: string) =>
      potRecipe.phases.map((step) => (step.phase === 'hearts' ? { ...step, receiver } : step));
    expect(problemsOf(compile({ ...potRecipe, phases: phases('jug') }))[0]).toMatch(/is no receiver/);
    expect(problemsOf(compile({ ...potRecipe, phases: phases('heads') }))[0]).toMatch(/does not take hearts/);
  });

  it('refuses temperature cuts where no air pressure can be known', () => {
    const { air: _air, ...points } = potDocument.points;
    const deaf = { ...potDocument, points };
    expect(problemsOf(compile(potRecipe, deaf)).length).toBe(4);
    expect(compile(potRecipe, { ...deaf, assumeAltitudePressure: true }).kind).toBe('ok');
  });

  it('refuses a share of alcohol without a charge, a pot recipe on a column, and an unknown variant', () => {
    expect(problemsOf(compile(withHeads({ test: 'alcohol-share', atLeastPercent: 5 }), potDocument, null))[0]).toMatch(
      /charge/,
    );
    expect(problemsOf(compile({ ...potRecipe, stillKind: 'column' }))[0]).toMatch(/does not fit/);
    expect(problemsOf(compile(potRecipe, potDocument, charge, 'white'))[0]).toMatch(/is no variant/);
  });

  it('refuses a plateau rise below three steps of the probe', () => {
    const column: RecipeDocument = {
      ...potRecipe,
      stillKind: 'column',
      phases: potRecipe.phases.map((step) =>
        step.phase === 'hearts' ? { ...step, endsWhen: { test: 'vapour-rise', byK: 0.1 } } : step,
      ) as RecipeDocument['phases'],
    };
    expect(problemsOf(compile(column, { ...potDocument, kind: 'column' }))[0]).toMatch(/three steps of the probe/);
  });

  it('refuses charges that are too strong, too much or too little', () => {
    expect(problemsOf(compile(potRecipe, potDocument, { volumeL: 50, strengthAbv: 0.45 }))[0]).toMatch(/too strong/);
    expect(problemsOf(compile(potRecipe, potDocument, { volumeL: 80, strengthAbv: 0.3 }))[0]).toMatch(
      /more than the boiler/,
    );
    expect(problemsOf(compile(potRecipe, potDocument, { volumeL: 6, strengthAbv: 0.3 }))[0]).toMatch(/heel/);
    const strong = compile(potRecipe, potDocument, { volumeL: 50, strengthAbv: 0.37 });
    expect(strong.kind === 'ok' && strong.warnings[0]?.message).toMatch(/stronger than usual/);
  });
});
