import { describe, expect, it } from 'vitest';
import { checkRecipe, checkStill, type Reason, sayReason, showProblem } from '../../lib';
import { problem, showValue } from '../../lib/problems';
import { languages } from '../../lib/words';
import { potRecipe } from '../tools/plants';

const circle: Record<string, unknown> = { name: 'round' };
circle.self = circle;
const list: unknown[] = [1];
list.push(list);

describe('problems: showing a value', () => {
  it('shows text in quotes and data as JSON, cut short', () => {
    expect(showValue('warm')).toBe('"warm"');
    expect(showValue({ a: [1, 2] })).toBe('{"a":[1,2]}');
    expect(showValue('x'.repeat(200))).toHaveLength(58);
    expect(showValue(undefined)).toBe('undefined');
  });

  it('never throws, whatever a program hands over', () => {
    const throwing = { toJSON: () => Number(Symbol('x') as unknown) };
    for (const value of [circle, list, throwing, 12n, Symbol('s'), () => 1, Number.NaN, new Map([[1, circle]])])
      expect(() => showValue(value)).not.toThrow();
    expect(showValue(circle)).toBe('(data that cannot be written out)');
    expect(showValue(list)).toBe('(a list that cannot be written out)');
    expect(showValue(12n)).toBe('12');
    expect(showProblem(problem('payload', circle, 'is no number', 'Send one'))).toBe(
      'payload: (data that cannot be written out): is no number. Send one.',
    );
  });
});

describe('problems: checking a document', () => {
  it('says of data that lead back to themselves that they do, wherever the circle is', () => {
    const test: Record<string, unknown> = {};
    test.anyOf = [test];
    const phases = [{ phase: 'hearts', endsWhen: test }];
    for (const checked of [checkRecipe(circle), checkRecipe({ ...potRecipe, phases }), checkStill(list)])
      expect(checked).toMatchObject({ kind: 'bad', problems: [{ message: 'refers to itself' }] });
  });

  it('takes one part used twice for what it is', () => {
    const tags = { name: 'x' };
    const checked = checkRecipe({ ...potRecipe, one: tags, two: tags });
    expect(checked.kind === 'bad' ? checked.problems.map((one) => one.message) : []).not.toContain('refers to itself');
  });

  it('says once what may stand there', () => {
    const checked = checkRecipe({ ...potRecipe, kind: 'spirits', referencePressureHPa: 20, name: '' });
    const said = checked.kind === 'bad' ? checked.problems.map(showProblem) : [];
    expect(said.find((text) => text.startsWith('kind'))).toMatch(
      /^kind: "spirits": is not known here\. Use one of "stripping", "spirit"/,
    );
    expect(said.find((text) => text.startsWith('referencePressureHPa'))).toBe(
      'referencePressureHPa: 20: is less than 500. Use at least 500.',
    );
    expect(said.find((text) => text.startsWith('name'))).toMatch(/has a length of less than 1/);
  });
});

describe('words: why a drive is where it is', () => {
  const reason = (phase: string, state: string): Reason => ({ code: 'drive.phase', numbers: { phase, state } });

  it('says of a still that rests that no run is under way, in every language', () => {
    for (const language of Object.values(languages)) {
      const text = sayReason(reason('idle', 'idle'), { language, temperature: 'C' });
      const [phase, state] = text.split(', ');
      expect(text).not.toBe('drive.phase');
      expect(state).not.toBe(phase);
    }
    expect(sayReason(reason('idle', 'idle'), { language: languages.en!, temperature: 'C' })).toBe(
      'no run is under way',
    );
  });

  it('names phase and state of one that runs', () => {
    const text = sayReason(reason('hearts', 'running'), { language: languages.en!, temperature: 'C' });
    expect(text).toBe('hearts, running');
  });
});
