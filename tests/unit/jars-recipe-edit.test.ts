import { describe, expect, it } from 'vitest';
import { checkSheet, deriveRecipe } from '../../lib/jars';
import { checkRecipe } from '../../lib/recipe/check';
import { conditionReason, diffRecipes, sayDifference } from '../../lib/recipe/diff';
import { diffSentences } from '../../lib/recipe/diff-words-en';
import {
  changeCut,
  checkHistory,
  latestOf,
  type RecipeHistory,
  restoreRevision,
  reviseRecipe,
} from '../../lib/recipe/edit';
import type { Recipe, RecipeDocument } from '../../lib/recipe/schema';
import { english } from '../../lib/words';
import { inventSheet } from './jars-sheet';

const base: RecipeDocument = {
  recipe: 1,
  name: 'pear',
  kind: 'spirit',
  stillKind: 'pot',
  phases: [
    { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 }, holdS: 10 },
    { phase: 'heads', endsWhen: { test: 'alcohol-share', atLeastPercent: 8.5 } },
    { phase: 'hearts', endsWhen: { test: 'vapour-temp', atLeastC: 88.4 }, notBefore: { sharePercent: 60 } },
    { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 96 }, heatShare: 0.8 },
  ],
  variants: {
    white: { cuts: {} },
    'for-oak': { cuts: { hearts: { endsWhen: { test: 'vapour-temp', atLeastC: 90 } } } },
  },
};

function recipe(document: unknown = base): Recipe {
  const checked = checkRecipe(document);
  if (checked.kind === 'bad') throw new Error(JSON.stringify(checked.problems));
  return checked.value;
}

function withPhase(phase: string, change: object): RecipeDocument {
  return { ...base, phases: base.phases.map((step) => (step.phase === phase ? { ...step, ...change } : step)) };
}

const said = (after: RecipeDocument, before: RecipeDocument = base) =>
  diffRecipes(recipe(before), recipe(after)).map((one) => `${one.path}: ${sayDifference(one)}`);

describe('two recipes compared in words', () => {
  it('are alike where nothing differs but the revision', () => {
    expect(said({ ...base, revision: 7 })).toEqual([]);
  });

  it.each<[string, RecipeDocument, string[]]>([
    [
      'a temperature raised',
      withPhase('hearts', { endsWhen: { test: 'vapour-temp', atLeastC: 89.1 } }),
      ['phases.2.endsWhen: recipe, end of hearts: vapour at 89.1 °C, 0.70 K higher than 88.4 °C'],
    ],
    [
      'a share lowered',
      withPhase('heads', { endsWhen: { test: 'alcohol-share', atLeastPercent: 7 } }),
      ["phases.1.endsWhen: recipe, end of heads: at 7.0 % of the charge's alcohol, 1.5 % earlier than 8.5 %"],
    ],
    [
      'another kind of test',
      withPhase('heads', { endsWhen: { test: 'volume', atLeastL: 2, since: 'run' } }),
      [
        "phases.1.endsWhen: recipe, end of heads: no longer 8.5 % of the charge's alcohol come over",
        'phases.1.endsWhen: recipe, end of heads: now 2.00 L since the start of the run',
      ],
    ],
    [
      'guard, hold and question',
      withPhase('hearts', { notBefore: { sharePercent: 55, volumeL: 8 }, holdS: 60, cut: 'ask' }),
      [
        "phases.2.notBefore.sharePercent: recipe, end of hearts: not before 55.0 % of the charge's alcohol; it was 60.0 %",
        'phases.2.notBefore.volumeL: recipe, end of hearts: a guard is new (volumeL 8)',
        'phases.2.holdS: recipe, end of hearts: held for 60 s instead of 30 s',
        'phases.2.cut: recipe, end of hearts: now asked of the operator',
      ],
    ],
    [
      'heat and receiver',
      withPhase('tails', { heatShare: 1, receiver: 'feints' }),
      [
        'phases.3.heatShare: heat in tails: 100.0 % instead of 80.0 %',
        'phases.3.receiver: receiver in tails: feints instead of nothing',
      ],
    ],
    [
      'a phase less',
      { ...base, phases: base.phases.filter((step) => step.phase !== 'tails') },
      ['phases: phase tails is gone'],
    ],
    [
      'variants',
      {
        ...base,
        variants: {
          'for-oak': { cuts: { hearts: { endsWhen: { test: 'vapour-temp', atLeastC: 91 } } } },
          'for-cask': { cuts: {} },
        },
      },
      [
        'variants.white: variant white is gone',
        'variants.for-oak.cuts.hearts.endsWhen: for oak, end of hearts: vapour at 91.0 °C, 1.00 K higher than 90.0 °C',
        'variants.for-cask: variant for-cask is new',
      ],
    ],
    [
      'reference pressure and name',
      { ...base, referencePressureHPa: 964, name: 'pear, late' },
      [
        'referencePressureHPa: reference pressure 964 hPa instead of 1013 hPa: temperatures are not comparable as they stand',
        'name: name: "pear, late" instead of "pear"',
      ],
    ],
  ])('say %s', (_what, after, expected) => {
    expect(said(after)).toEqual(expected);
  });

  it('find the one threshold that moved inside a condition', () => {
    const of = (atLeastC: number) =>
      withPhase('hearts', {
        endsWhen: {
          anyOf: [
            { test: 'order' },
            {
              allOf: [
                { test: 'vapour-temp', atLeastC },
                { test: 'time', atLeastS: 600 },
              ],
            },
          ],
        },
      });
    expect(said(of(89), of(88.5))).toEqual([
      'phases.2.endsWhen.anyOf.1.allOf.0: recipe, end of hearts: vapour at 89.0 °C, 0.50 K higher than 88.5 °C',
    ]);
    expect(sayDifference(conditionReason(recipe(of(89)).phases[2]!.endsWhen))).toBe(
      "any of (the operator's order; all of (vapour at least 89.0 °C; 10 min in the phase))",
    );
  });

  it('are worded in °F for those who want it', () => {
    const [one] = diffRecipes(
      recipe(),
      recipe(withPhase('hearts', { endsWhen: { test: 'vapour-temp', atLeastC: 89.4 } })),
    );
    expect(sayDifference(one!, { ...english, temperature: 'F' })).toContain(
      'vapour at 192.9 °F, 1.80 °F higher than 191.1 °F',
    );
  });

  it('have a sentence for every difference, and every sentence gets its numbers', () => {
    const after: RecipeDocument = {
      ...withPhase('hearts', {
        endsWhen: { test: 'strength', atMostVolPercent: 60 },
        maxS: 9000,
        takeOffShare: 0.5,
        coolantShare: 0.8,
      }),
      surgeGuard: { purgeL: 0.2 },
      about: 'x',
      developedFrom: { run: 'run-1' },
    };
    for (const one of diffRecipes(recipe(), recipe(after))) {
      expect(diffSentences[one.reason.code]).toBeDefined();
      expect(sayDifference(one)).not.toContain('?');
    }
  });

  it('tell two recipes derived from one sheet apart by how they cut', () => {
    const checked = checkSheet(inventSheet());
    if (checked.kind === 'bad') throw new Error('bad');
    const [share, temperature] = [{}, { by: 'temperature' as const }].map((options) => {
      const made = deriveRecipe(checked.value, options);
      if (made.kind === 'bad') throw new Error('bad');
      return made.value.recipe;
    });
    const words = diffRecipes(share!, temperature!).map((one) => sayDifference(one));
    expect(words).toContain("recipe, end of heads: no longer 8.5 % of the charge's alcohol come over");
    expect(words).toContain('recipe, end of heads: now vapour at least 83.2 °C');
  });
});

const sign = { at: '2026-10-03T18:00', by: 'Ann', why: 'first run' };

function begun(): RecipeHistory {
  const made = reviseRecipe(null, base, sign);
  if (made.kind === 'bad') throw new Error('bad');
  return made.value;
}

describe('a recipe and its revisions', () => {
  it('grow by one with each change and keep what was', () => {
    const first = begun();
    const changed = changeCut(latestOf(first).recipe, null, 'hearts', {
      endsWhen: { test: 'vapour-temp', atLeastC: 89, deadbandK: 0.2 },
    });
    if (changed.kind === 'bad') throw new Error('bad');
    const second = reviseRecipe(first, changed.value, { ...sign, why: 'a little deeper' });
    if (second.kind === 'bad') throw new Error('bad');
    expect(second.value.revisions.map((one) => [one.revision, one.recipe.revision, one.why])).toEqual([
      [1, 1, 'first run'],
      [2, 2, 'a little deeper'],
    ]);
    expect(first.revisions).toHaveLength(1);
    const back = restoreRevision(second.value, 1, { ...sign, why: 'too oily' });
    if (back.kind === 'bad') throw new Error('bad');
    expect(back.value.revisions).toHaveLength(3);
    expect(diffRecipes(latestOf(back.value).recipe, latestOf(first).recipe)).toEqual([]);
    expect(latestOf(back.value).hash).not.toBe(latestOf(first).hash);
    expect(checkHistory(JSON.parse(JSON.stringify(back.value.revisions))).kind).toBe('ok');
  });

  it('refuse a revision that changes nothing, one that is wrong, and one there is not', () => {
    const first = begun();
    expect(reviseRecipe(first, { ...base, revision: 9 }, sign)).toMatchObject({
      kind: 'bad',
      problems: [{ message: 'nothing differs from revision 1' }],
    });
    expect(reviseRecipe(first, { ...base, phases: [] }, sign).kind).toBe('bad');
    expect(restoreRevision(first, 5, sign)).toMatchObject({ kind: 'bad', problems: [{ path: 'revision' }] });
  });

  it('show a revision that was changed behind their back', () => {
    const { revisions } = begun();
    const forged = [{ ...revisions[0], recipe: { ...revisions[0].recipe, name: 'forged' } }];
    expect(checkHistory(forged)).toMatchObject({ kind: 'bad', problems: [{ path: 'revisions.0.hash' }] });
    expect(checkHistory([{ ...revisions[0], revision: 2 }])).toMatchObject({
      kind: 'bad',
      problems: [{ path: 'revisions.0.revision' }],
    });
    expect(checkHistory([]).kind).toBe('bad');
  });
});

describe('a cut changed by hand', () => {
  it('is changed in one variant only', () => {
    const changed = changeCut(recipe(), 'white', 'hearts', {
      endsWhen: { test: 'vapour-temp', atLeastC: 87, deadbandK: 0.2 },
      holdS: 45,
    });
    if (changed.kind === 'bad') throw new Error('bad');
    expect(changed.value.phases).toEqual(recipe().phases);
    expect(changed.value.variants.white!.cuts.hearts).toMatchObject({ holdS: 45, endsWhen: { atLeastC: 87 } });
  });

  it('can lose its guard', () => {
    const changed = changeCut(recipe(), null, 'hearts', { notBefore: null });
    if (changed.kind === 'bad') throw new Error('bad');
    expect(changed.value.phases[2]).not.toHaveProperty('notBefore');
    const kept = changeCut(recipe(), null, 'hearts', { holdS: 40 });
    expect(kept.kind === 'ok' && kept.value.phases[2]!.notBefore).toEqual({ sharePercent: 60 });
  });

  it('must still lie after the cut before it', () => {
    const backwards = changeCut(recipe(), null, 'tails', {
      endsWhen: { test: 'vapour-temp', atLeastC: 85, deadbandK: 0.2 },
    });
    expect(backwards.kind).toBe('bad');
    const paths = backwards.kind === 'bad' ? backwards.problems.map((one) => one.path) : [];
    expect(paths).toContain('phases.3.endsWhen.atLeastC');
  });

  it('needs a phase and a variant that are there', () => {
    expect(changeCut(recipe(), null, 'foreshots', {})).toMatchObject({ kind: 'bad', problems: [{ path: 'phase' }] });
    expect(changeCut(recipe(), 'red', 'hearts', {})).toMatchObject({ kind: 'bad', problems: [{ path: 'variant' }] });
  });
});
