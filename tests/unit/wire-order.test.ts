import { describe, expect, it } from 'vitest';
import { orderKinds, orderSchema, parseOrder } from '../../lib/wire';

function problemsOf(payload: string | Uint8Array) {
  const parsed = parseOrder(payload);
  return parsed.kind === 'bad' ? parsed.problems : [];
}

describe('order', () => {
  it('is understood as JSON with its fields', () => {
    const payload =
      '{"order":"start","id":"7","by":"Ada","recipe":"Orchard pear","variant":"white","chargeL":58,"chargeVolPercent":28.4}';
    expect(parseOrder(payload)).toMatchObject({ kind: 'ok', value: { order: 'start', chargeVolPercent: 28.4 } });
  });

  it('is understood as a bare word where no more is needed', () => {
    for (const word of ['hold', ' stop\n', '"abort"', 'acknowledge', 'cut']) {
      expect(parseOrder(word).kind, word).toBe('ok');
    }
    expect(problemsOf('shelve').map((p) => p.path)).toEqual(['target', 'forS']);
  });

  it('can say everything the engine hears', () => {
    const needs: Record<string, object> = { shelve: { target: 'a', forS: 60 }, note: { text: 'hm' } };
    const withTarget = ['unshelve', 'out-of-service', 'return-to-service', 'receiver-emptied', 'spout-moved'];
    for (const order of orderKinds) {
      const more = needs[order] ?? (withTarget.includes(order) ? { target: 'a' } : {});
      expect(orderSchema.safeParse({ order, ...more }).success, order).toBe(true);
    }
  });

  it('lists every problem at once, with path, value and remedy', () => {
    const problems = problemsOf('{"order":"start","chargeL":-3,"chargeVolPercent":"strong","reciept":"x"}');
    expect(problems.map((p) => p.path).sort()).toEqual(['', 'chargeL', 'chargeVolPercent']);
    expect(problems.find((p) => p.path === 'chargeL')).toMatchObject({ value: '-3' });
    expect(problems.find((p) => p.path === '')?.remedy).toContain('reciept');
    for (const p of problems) expect(p.remedy).not.toBe('');
  });

  it('takes no field that belongs to another order', () => {
    expect(problemsOf('{"order":"hold","chargeL":58}')[0]?.remedy).toContain('chargeL');
  });

  it('refuses what is none, and says which orders there are', () => {
    const rubbish = [
      '',
      '   ',
      'dance',
      '{',
      '{}',
      '[]',
      'null',
      '7',
      '{"order":7}',
      '{"order":"constructor"}',
      '{"__proto__":{"order":"hold"}}',
      `{"order":"hold","text":"${'x'.repeat(9000)}"}`,
      new Uint8Array([0xff, 0x00]),
    ];
    for (const payload of rubbish) {
      const problems = problemsOf(payload);
      expect(problems.length, String(payload).slice(0, 40)).toBeGreaterThan(0);
      expect(problems[0]?.remedy).toContain('acknowledge');
    }
  });
});
