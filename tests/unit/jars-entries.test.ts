import { describe, expect, it } from 'vitest';
import { createController } from '../../lib/engine/controller';
import { freshRun } from '../../lib/engine/fresh';
import { compilePlant } from '../../lib/engine/plant';
import { appendEntry, entryOfEvent, foldEntries, type SheetEntryDocument, type SheetHistory } from '../../lib/jars';
import { checkRecipe } from '../../lib/recipe/check';
import { checkStill } from '../../lib/still/check';
import { inventSheet } from './jars-sheet';

const ann = { at: '2026-10-03T08:10', by: 'Ann' };
const begin: SheetEntryDocument = { kind: 'begin', ...ann, sheet: { ...inventSheet(), jars: [] } };

function write(...entries: readonly unknown[]): SheetHistory {
  let history: SheetHistory | null = null;
  for (const entry of entries) {
    const next = appendEntry(history, entry);
    if (next.kind === 'bad') throw new Error(next.problems.map((one) => `${one.path}: ${one.message}`).join('\n'));
    history = next.value;
  }
  return history!;
}

function refusal(history: SheetHistory | null, entry: unknown): string {
  const next = appendEntry(history, entry);
  return next.kind === 'ok' ? '' : next.problems.map((one) => `${one.path}: ${one.message}`).join('; ');
}

const changeover = (into: number, vapourTempC: number, volumeL?: number) => ({
  kind: 'changeover',
  ...ann,
  into,
  reading: { vapourTempC, airPressureHPa: 1004, timeS: 600 * into },
  ...(volumeL === undefined ? {} : { volumeL }),
});

describe('a sheet written entry by entry', () => {
  it('opens a jar at each changeover and closes the one before it', () => {
    const { sheet, revision } = write(begin, changeover(1, 80), changeover(2, 81, 0.25), changeover(3, 82, 0.5));
    expect(revision).toBe(4);
    expect(sheet.jars).toMatchObject([
      { number: 1, start: { vapourTempC: 80 }, end: { vapourTempC: 81 }, volumeL: 0.25 },
      { number: 2, end: { vapourTempC: 82 }, volumeL: 0.5 },
      { number: 3 },
    ]);
    expect(sheet.jars[2]!.end).toBeUndefined();
    expect(sheet.jars[1]!.start).toBeUndefined();
  });

  it('takes what is measured, tasted and decided later, and leaves the rest as it is', () => {
    const history = write(
      begin,
      changeover(1, 80),
      { kind: 'close', ...ann, jar: 1, reading: { vapourTempC: 81 } },
      { kind: 'measure', ...ann, jar: 1, strengthVolPercent: 82.4, sampleTempC: 17.5 },
      { kind: 'measure', ...ann, jar: 1, volumeL: 0.25, note: 'sharp' },
      { kind: 'taste', ...ann, jar: 1, tasting: { taster: 'Ann', nose: 'glue', verdict: 'out' } },
      { kind: 'taste', ...ann, jar: 1, tasting: { taster: 'Ben', verdict: 'unsure' } },
      { kind: 'taste', ...ann, jar: 1, tasting: { taster: 'Ann', nose: 'glue, pear', verdict: 'unsure' } },
      { kind: 'decide', ...ann, jar: 1, verdict: 'out' },
      { kind: 'read', ...ann, jar: 1, which: 'start', reading: { boilerTempC: 88 } },
      { kind: 'header', ...ann, change: { heaterW: 3000 } },
    );
    expect(history.sheet.heaterW).toBe(3000);
    expect(history.sheet.foreshotsJars).toBe(1);
    expect(history.sheet.charge).toEqual(write(begin).sheet.charge);
    expect(history.sheet.jars[0]).toMatchObject({
      start: { vapourTempC: 80, boilerTempC: 88 },
      volumeL: 0.25,
      strengthVolPercent: 82.4,
      sampleTempC: 17.5,
      note: 'sharp',
      verdict: 'out',
    });
    expect(history.sheet.jars[0]!.tastings).toEqual([
      { taster: 'Ben', descriptors: [], verdict: 'unsure' },
      { taster: 'Ann', descriptors: [], nose: 'glue, pear', verdict: 'unsure' },
    ]);
    expect(
      write(...history.entries, { kind: 'decide', ...ann, jar: 1, verdict: null }).sheet.jars[0],
    ).not.toHaveProperty('verdict');
  });

  it('keeps a header as it is where a change does not name it, defaults included', () => {
    const own = { ...begin, sheet: { ...inventSheet(), jars: [], foreshotsJars: 3, probe: { accuracyK: 0.05 } } };
    const { sheet } = write(own, { kind: 'header', ...ann, change: { name: 'Pear, second run' } });
    expect(sheet.foreshotsJars).toBe(3);
    expect(sheet.probe.accuracyK).toBe(0.05);
    expect(sheet.name).toBe('Pear, second run');
  });

  it('can be read as it was at every revision: nothing written is ever lost', () => {
    const history = write(
      begin,
      changeover(1, 80),
      changeover(2, 81, 0.25),
      { kind: 'taste', ...ann, jar: 1, tasting: { taster: 'Ann', verdict: 'in' } },
      { kind: 'taste', ...ann, jar: 1, tasting: { taster: 'Ann', verdict: 'out' } },
    );
    const stored = JSON.parse(JSON.stringify(history.entries)) as unknown[];
    const before = foldEntries(stored, 4);
    const after = foldEntries(stored);
    if (before.kind === 'bad' || after.kind === 'bad') throw new Error('not folded');
    expect(before.value.sheet.jars[0]!.tastings[0]!.verdict).toBe('in');
    expect(after.value).toEqual(history);
    // Cut off anywhere, as by a power cut, what is there is a sheet.
    for (let kept = 1; kept <= stored.length; kept++) expect(foldEntries(stored, kept).kind).toBe('ok');
  });

  it('does not change the history it grows from', () => {
    const first = write(begin, changeover(1, 80));
    const copy = structuredClone(first);
    write(...first.entries, changeover(2, 81));
    appendEntry(first, changeover(2, 81));
    expect(first).toEqual(copy);
  });

  it('takes a mistaken changeover back, but not one that has been written on', () => {
    const history = write(begin, changeover(1, 80), changeover(2, 81, 0.25), { kind: 'reopen', ...ann, jar: 1 });
    expect(history.sheet.jars).toEqual([
      { number: 1, start: { vapourTempC: 80, airPressureHPa: 1004, timeS: 600 }, tastings: [] },
    ]);
    const written = write(begin, changeover(1, 80), changeover(2, 81), {
      kind: 'measure',
      ...ann,
      jar: 2,
      volumeL: 0.5,
    });
    expect(refusal(written, { kind: 'reopen', ...ann, jar: 1 })).toContain('jar 2 has entries of its own');
    expect(refusal(history, { kind: 'reopen', ...ann, jar: 4 })).toContain('is not the last jar');
  });

  it('refuses what does not fit, and says why', () => {
    const history = write(begin, changeover(1, 80));
    expect(refusal(null, changeover(1, 80))).toBe('kind: has no sheet to be written on');
    expect(refusal(history, begin)).toContain('begun already');
    expect(refusal(history, changeover(3, 81))).toBe('into: does not follow jar 1');
    expect(refusal(history, { kind: 'measure', ...ann, jar: 9, volumeL: 1 })).toBe('jar: is no jar of this sheet');
    expect(refusal(history, { kind: 'measure', ...ann, jar: 1, volumeL: -1 })).toContain('volumeL');
    expect(refusal(history, { kind: 'header', ...ann, change: { jars: [] } })).toContain('no header');
    expect(refusal(history, { kind: 'header', ...ann, change: { colour: 'blue' } })).not.toBe('');
    expect(refusal(history, { kind: 'taste', jar: 1, tasting: { taster: 'Ann' } })).toContain('at');
    const folded = foldEntries([begin, changeover(2, 80)]);
    expect(folded.kind === 'bad' && folded.problems[0]!.path).toBe('entries.1.into');
    expect(foldEntries([]).kind).toBe('bad');
  });
});

function pot() {
  const still = checkStill({
    still: 1,
    id: 'orchard',
    name: 'Orchard',
    kind: 'pot',
    boilerVolumeL: 60,
    heelL: 8,
    points: { vapour: { kind: 'vapour-temp' }, air: { kind: 'air-pressure' }, meter: { kind: 'collected-volume' } },
  });
  const recipe = checkRecipe({
    recipe: 1,
    name: 'development',
    kind: 'spirit',
    stillKind: 'pot',
    phases: [
      { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 } },
      { phase: 'hearts', endsWhen: { test: 'order' } },
    ],
  });
  if (still.kind === 'bad' || recipe.kind === 'bad') throw new Error('bad documents');
  const plant = compilePlant(still.value, recipe.value, null, { volumeL: 50, strengthAbv: 0.3 });
  if (plant.kind === 'bad') throw new Error(JSON.stringify(plant.problems));
  return plant.value;
}

describe('a development run of the engine', () => {
  it('writes its own sheet from the order next-jar', () => {
    const controller = createController(pot(), freshRun(0));
    const entries: unknown[] = [begin];
    for (let t = 0; t <= 3000; t += 5) {
      controller.put({ point: 'vapour', value: t < 600 ? 20 + t / 10 : 80 + (t - 600) / 600, atS: t });
      controller.put({ point: 'air', value: 964, atS: t });
      controller.put({ point: 'meter', value: Math.max(0, t - 900) / 2000, atS: t });
      if (t === 5) controller.order({ id: 'start', kind: 'start', by: 'Ann', from: 'still' });
      if (t === 900 || t === 1500 || t === 2100)
        controller.order({ id: `jar-${t}`, kind: 'next-jar', by: 'Ann', from: 'still' });
      for (const event of controller.scan(t).events)
        if (event.kind === 'jar') entries.push(entryOfEvent(event, 5, ann, null));
    }
    const { sheet } = write(...entries);
    expect(sheet.jars).toHaveLength(3);
    expect(sheet.jars[0]!.start!.timeS).toBe(895);
    expect(sheet.jars[0]!.volumeL).toBeCloseTo(0.3, 6);
    expect(sheet.jars[0]!.end!.vapourTempC).toBeCloseTo(81.5, 2);
    expect(sheet.jars[1]!.end).toMatchObject({ airPressureHPa: 964, timeS: 2095 });
    expect(sheet.jars[1]!.end!.vapourTempC).toBeCloseTo(82.5, 2);
    expect(sheet.jars[2]!.end).toBeUndefined();
  });
});
