import { describe, expect, it } from 'vitest';
import { checkRecipe, checkStill, languages, pointKinds, sayReason, showProblem } from '../../lib';
import { answerCheck, choices } from '../../nodes/shared/admin';
import { checkText } from '../../nodes/shared/documents';
import { potDocument, potRecipe } from '../tools/plants';

const text = (document: unknown) => JSON.stringify(document, null, 2);
const recipe = (change: Record<string, unknown>) => ({ ...potRecipe, ...change });

describe('checking as you type', () => {
  it('says exactly what lib, and with it `middlecut check`, says', () => {
    const bad = recipe({
      kind: 'spirits',
      colour: 'blue',
      phases: [{ phase: 'hearts', endsWhen: { test: 'vapour-temp', atLeastC: 150 } }],
    });
    const checked = checkRecipe(bad);
    const expected = checked.kind === 'bad' ? checked.problems.map(showProblem) : [];
    const answer = answerCheck({ kind: 'recipe', draft: { source: 'typed', document: text(bad) } }, '/');
    expect(expected.length).toBeGreaterThan(2);
    expect(answer.problems.map((one) => one.text)).toEqual(expected);
    expect(answer.ok).toBe(false);
  });

  it('names the line of each problem, in JSON and in YAML', () => {
    const yaml =
      'recipe: 1\nname: Pear\nkind: spirit\nstillKind: pot\nphases:\n  - phase: heat-up\n    endsWhen:\n      test: vapour-temp\n      atLeastC: warm\n';
    const inYaml = checkText(yaml, checkRecipe);
    expect(inYaml.problems.find((one) => one.path === 'phases.0.endsWhen.atLeastC')?.line).toBe(9);
    const inJson = answerCheck({ kind: 'still', draft: { document: text({ ...potDocument, heelL: 'deep' }) } }, '/');
    expect(inJson.problems[0]?.line).toBe(7);
  });

  it('finds syntax, double keys and emptiness before anything else', () => {
    expect(checkText('{ "recipe": 1, "name": ', checkRecipe).problems[0]?.remedy).toBe('Correct the JSON here');
    expect(checkText('recipe: 1\nrecipe: 1\n', checkRecipe).problems[0]?.message).toMatch(/unique/);
    expect(checkText('', checkRecipe).problems[0]?.message).toBe('is empty');
    expect(checkText('a: &x [*x, *x]\n', checkRecipe).value).toBeNull();
    expect(checkText('x'.repeat(2_000_000), checkRecipe).problems[0]?.message).toBe('is larger than 1 MiB');
  });

  it('checks a recipe on a still, in every variant', () => {
    const noBarometer = { ...potDocument, points: { vapour: { kind: 'vapour-temp' } } };
    const answer = answerCheck(
      { kind: 'recipe', draft: { document: text(potRecipe) }, still: { document: text(noBarometer) } },
      '/',
    );
    expect(answer.ok).toBe(false);
    expect(
      answer.problems.some((one) => /needs air-pressure, which still "test-pot" does not have/.test(one.text)),
    ).toBe(true);
    const fine = answerCheck(
      { kind: 'recipe', draft: { document: text(potRecipe) }, still: { document: text(potDocument) } },
      '/',
    );
    expect(fine).toMatchObject({ ok: true, problems: [] });
  });

  it('reads a file, and says what is wrong where it cannot', () => {
    const answer = answerCheck({ kind: 'recipe', draft: { source: 'file', file: 'nowhere.yaml' } }, '/tmp');
    expect(answer.problems[0]?.text).toMatch(/nowhere.yaml there is no such file/);
  });

  it('never throws, whatever is posted', () => {
    for (const request of [
      {},
      { kind: 7 },
      { kind: 'still' },
      { kind: 'recipe', draft: { document: 4 } },
      { draft: null },
    ])
      expect(answerCheck(request as never, '/').ok).toBe(false);
  });

  it('offers every kind of point and drive there is', () => {
    const offered = choices();
    expect(offered.points.map((one) => one.kind)).toEqual(Object.keys(pointKinds));
    expect(offered.points.find((one) => one.kind === 'air-pressure')?.units).toContain('mmHg');
    expect(offered.drives).toContain('diverter');
    const still = checkStill(potDocument);
    expect(still.kind).toBe('ok');
  });
});

describe('what a node says when it cannot work', () => {
  for (const [code, language] of Object.entries(languages)) {
    it(`is worded in ${code}, and short enough to stand under the node`, () => {
      const short = Object.entries(language.sentences).filter(([key]) => /^node\..*\.short$/.test(key));
      expect(short.length).toBeGreaterThan(3);
      for (const [key, sentence] of short) expect(sentence.length, key).toBeLessThanOrEqual(20);
    });
  }

  it('names the still and the other node as they are called, even by one of our own words', () => {
    const reason = { code: 'node.still-taken', numbers: { target: 'heat', by: 'run' } };
    const text = sayReason(reason, { language: languages.de!, temperature: 'C' });
    expect(text).toBe('Blase „heat“ wird von einem anderen Node gefahren (run): ein Node steuert eine Blase');
  });
});
