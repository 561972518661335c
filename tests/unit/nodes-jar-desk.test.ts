import { appendFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkRecipe, checkStill, shiftVapourTemp } from '../../lib';
import { english } from '../../lib/words';
import { entryLogIn } from '../../nodes/shared/entry-log';
import { createJarDesk, recipeMessage, sheetMessage } from '../../nodes/shared/jar-desk';
import type { Message } from '../../nodes/shared/message-value';
import { createVirtualNode } from '../tools/node-red-virtual';
import { good, potDocument, potRecipe } from '../tools/plants';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'middlecut-jars-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const file = () => join(folder, 'jars.jsonl');
const desk = () =>
  createJarDesk({
    header: {
      name: 'First pears',
      still: { name: 'Test pot', kind: 'pot' },
      charge: { volumeL: 50, strengthVolPercent: 30 },
      foreshotsJars: 1,
    },
    derive: { headsBy: 'share', tailsBy: 'temperature' },
    log: entryLogIn(file()),
    saying: english,
    isoNow: () => '2026-10-03T08:00:00.000Z',
  });

/** Twelve jars of a litre, as measured on an invented afternoon; the middle is wanted. */
const jars = [
  [79.4, 84],
  [80.1, 83.2],
  [80.9, 82.3],
  [81.8, 81.2],
  [82.8, 79.8],
  [84, 78],
  [85.4, 75.5],
  [87, 72.4],
  [88.8, 68],
  [90.9, 62],
  [93, 53],
  [95, 40],
] as const;
const verdictOf = (jar: number) => (jar <= 2 ? 'out' : jar <= 9 ? 'in' : jar === 10 ? 'in-for-oak' : 'out');

function fill(one: ReturnType<typeof desk>) {
  jars.forEach(([startC], index) => {
    const reading = { vapourTempC: startC, airPressureHPa: 968, timeS: index * 900 };
    expect(one.take({ payload: { kind: 'changeover', into: index + 1, reading } })).toMatchObject({ kind: 'sheet' });
  });
  one.take({ payload: { kind: 'close', jar: 12, reading: { vapourTempC: 96.4, airPressureHPa: 968, timeS: 10_800 } } });
  jars.forEach(([, volPercent], index) => {
    const jar = index + 1;
    one.take({ payload: { kind: 'measure', jar, volumeL: 1, strengthVolPercent: volPercent, sampleTempC: 20 } });
    const tasting = { taster: 'Ida', nose: 'pear', descriptors: ['fruity'], verdict: verdictOf(jar) };
    expect(one.take({ payload: { kind: 'taste', jar, tasting }, by: 'Ida' }).kind).toBe('sheet');
  });
}

describe('jar sheet node', () => {
  it('carries a sheet from the first jar to a recipe that a run node takes', async () => {
    const one = desk();
    fill(one);
    const derived = one.take({ topic: 'derive' });
    if (derived.kind !== 'recipe') throw new Error(JSON.stringify(derived));
    const message = recipeMessage(derived.derivation, derived.warnings, english);
    expect(message.topic).toBe('recipe');
    const recipe = good(checkRecipe(message.payload));
    expect(Object.keys(recipe.variants)).toContain('for-oak');
    const white = message.cuts.find((cut) => cut.variant === 'white');
    expect(white).toMatchObject({ firstJar: 3, lastJar: 9 });
    // The tails cut is the changeover out of jar 9 at the reference pressure (no hold-up on this still).
    expect(white?.tailsC).toBeCloseTo(shiftVapourTemp(90.9, 968, 1013.25), 1);
    expect(message.advice.join(' ')).not.toMatch(/\?|jars\./);
    const run = createVirtualNode({ still: good(checkStill(potDocument)) });
    run.give(message as unknown as Message);
    expect(run.recipes).toHaveLength(1);
  });

  it('takes jars from the events of a run, in the order they come', async () => {
    const one = desk();
    const still = good(checkStill(potDocument));
    const recipe = good(checkRecipe(potRecipe));
    const run = createVirtualNode({
      still,
      offer: { recipe, variant: null, charge: { volumeL: 50, strengthAbv: 0.3 }, unusable: null },
    });
    const feed = async (seconds: number, vapour: number) => {
      for (let second = 0; second < seconds; second += 1) {
        run.give({ payload: { vapour, boiler: 88, air: 968 } });
        await run.timers.advance(1000);
      }
    };
    await feed(2, 20);
    run.order('start');
    await feed(60, 70);
    run.order('next-jar');
    await feed(60, 79);
    run.order('next-jar');
    await feed(10, 80);
    run.order('stop');
    await feed(2, 80);
    for (const message of run.sent.events) expect(one.take(message).kind).not.toBe('bad');
    const { sheet } = one.history!;
    expect(sheet.jars).toHaveLength(2);
    expect(sheet.jars[0]?.start?.airPressureHPa).toBe(968);
    expect(sheet.jars[0]?.start?.boilerTempC).toBeCloseTo(88, 1);
    expect(sheet.jars[0]?.end?.vapourTempC).toBeCloseTo(79, 0);
    expect(sheet.jars[0]?.end?.timeS).toBeGreaterThan(100);
    expect(sheet.jars[1]?.end).toBeDefined();
  });

  it('loses nothing entered, though the power fails in the middle of a word', () => {
    const one = desk();
    fill(one);
    const before = one.history?.sheet;
    appendFileSync(file(), '\n{"kind":"taste","jar":3,"at":"2026');
    const again = desk();
    expect(again.history?.sheet).toEqual(before);
    expect(again.take({ payload: { kind: 'decide', jar: 3, verdict: 'out' } }).kind).toBe('sheet');
    expect(desk().history?.sheet.jars[2]?.verdict).toBe('out');
  });

  it('puts a sheet aside on reset, and a file that cannot be read', () => {
    const one = desk();
    fill(one);
    expect(one.take({ reset: true }).kind).toBe('forgotten');
    expect(one.history).toBeNull();
    expect(readdirSync(folder)).toEqual(['jars-2026-10-03T08-00-00-000Z.jsonl']);
    writeFileSync(file(), '{"kind":"close","jar":1}\n');
    const damaged = desk();
    expect(damaged.damage).toMatch(/entries.0/);
    expect(damaged.history).toBeNull();
  });

  it('takes a sheet and a CSV, and gives both', () => {
    const one = desk();
    fill(one);
    const { payload, csv, consensus } = sheetMessage(one.history!);
    expect(consensus[2]).toMatchObject({ verdict: 'in', decidedBy: 'tasters' });
    one.take({ reset: true });
    expect(one.take({ topic: 'csv', payload: csv })).toMatchObject({ kind: 'sheet' });
    expect(one.history?.sheet.jars).toHaveLength(payload.jars.length);
    expect(one.take({ topic: 'sheet', payload }).kind).toBe('bad');
    one.take({ reset: true });
    expect(one.take({ topic: 'sheet', payload }).kind).toBe('sheet');
    expect(readFileSync(file(), 'utf8')).toContain('"kind":"begin"');
  });

  it('says why for whatever it cannot take', () => {
    const one = desk();
    const why = (message: Message) => {
      const outcome = one.take(message);
      return outcome.kind === 'bad' ? outcome.why : outcome.kind;
    };
    expect(why({ payload: 3 })).toMatch(/^payload: 3: is nothing for a jar sheet/);
    expect(why({ topic: 'derive' })).toBe('there is no sheet yet to derive a recipe from');
    expect(why({ topic: 'csv', payload: 'a;b' })).toMatch(/\./);
    expect(why({ payload: { kind: 'changeover', into: 5, reading: {} } })).toMatch(/into: 5: does not follow jar 0/);
    expect(why({ payload: { kind: 'phase', to: 'finish', reason: {} } })).toBe('passed');
    expect(why({ payload: { kind: 'taste', jar: 1, tasting: { taster: 'Ida', verdict: 'yes' } } })).toMatch(/verdict/);
  });
});
