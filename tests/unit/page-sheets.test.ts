import { afterEach, describe, expect, it } from 'vitest';
import { createSheets, sheetDocument } from '../../daemon/page';
import type { SheetView } from '../../daemon/page/record-views';
import type { Answer } from '../../daemon/page/source';
import { checkSheet } from '../../lib/jars/sheet';
import { shiftVapourTemp } from '../../lib/physics';
import { openStillhouse, type Stillhouse } from './page-stillhouse';
import { workshop } from './store-tools';

const { place, open } = workshop();
const houses: Stillhouse[] = [];
afterEach(async () => {
  for (const house of houses.splice(0)) await house.close();
});

function value<T>(answer: Answer<T>): T {
  if (answer.kind === 'ok') return answer.value;
  throw new Error(JSON.stringify(answer));
}

const about = { name: 'Trial', stillName: 'Old copper', chargeL: 40, chargeVolPercent: 27 };

/** A sheet by hand with some jars. */
function handSheet(jars: number) {
  let seed = 0;
  const journal = open(place());
  const sheets = createSheets(journal, () => {
    seed += 1;
    return seed;
  });
  const id = value(sheets.create(about, 'Ada'));
  for (let jar = 1; jar <= jars; jar += 1) {
    const change = { vapourTempC: 78 + jar, airPressureHPa: 965, volumeL: 0.3 };
    value(sheets.save(id, { kind: 'jar', jar }, { change, from: 0, by: 'Ada' }));
  }
  return { journal, sheets, id, show: (): SheetView => value(sheets.show(id)) };
}

const tasting = (jar: number, taster: string) => ({ kind: 'tasting', jar, taster }) as const;

describe('jar sheet of a run', () => {
  it('lists the jars as they come, with their changeover readings, and ends the last with the run', async () => {
    const house = await openStillhouse();
    houses.push(house);
    await house.pass(20);
    const seen = () => ({
      run: house.still.runId,
      state: house.still.run.state,
      phase: house.still.run.phase,
      jar: house.still.run.jar?.number ?? null,
    });
    let given = 0;
    const order = async (message: object) => {
      given += 1;
      const outcome = await house.source.order(
        'orchard',
        { id: `page-${given}`, by: 'Ada', ...message } as never,
        seen(),
        'still',
      );
      expect(outcome).toMatchObject({ accepted: true });
    };
    await order({ order: 'start', recipe: 'Pear spirit', chargeL: 55, chargeVolPercent: 29 });
    await house.pass(20_000, () => house.still.run.phase === 'foreshots');
    await house.pass(60);
    const runId = house.still.runId ?? '';
    expect(value(house.source.sheet(runId)).jars).toEqual([]);
    for (let jar = 1; jar <= 3; jar += 1) {
      await order({ order: 'next-jar' });
      await house.pass(240);
    }
    const sheet = value(house.source.sheet(runId));
    expect(sheet).toMatchObject({ byHand: false, open: true });
    expect(sheet.jars.map(({ number, end }) => [number, end === null])).toEqual([
      [1, false],
      [2, false],
      [3, true],
    ]);
    const [one, two] = sheet.jars;
    expect(one?.end).toEqual(two?.start);
    expect(one?.countedL).toBeGreaterThan(0.2);
    const { vapourTempC = 0, airPressureHPa = 0, vapourAtReferenceC } = one?.end ?? {};
    expect(vapourAtReferenceC).toBe(shiftVapourTemp(vapourTempC, airPressureHPa, 1013.25));
    expect(value(house.source.sheets()).map(({ id, open: isOpen }) => [id, isOpen])).toEqual([[runId, true]]);
    await order({ order: 'stop' });
    await house.pass(10);
    expect(value(house.source.sheet(runId)).jars[2]?.end?.vapourTempC).toBeGreaterThan(70);
    const wrong = house.source.saveSheet(
      runId,
      { kind: 'jar', jar: 4 },
      { change: { volumeL: 1 }, from: 0, by: 'Ada' },
    );
    expect(wrong).toMatchObject({ kind: 'bad', problems: [{ path: 'jar', remedy: 'Use 1 to 3' }] });
    const document = sheetDocument(value(house.source.sheet(runId)));
    expect(checkSheet(document)).toMatchObject({ kind: 'ok', value: { run: runId, jars: [{ number: 1 }, {}, {}] } });
    expect(house.source.sheet('nowhere').kind).toBe('unknown');
  });
});

describe('jar sheet by hand', () => {
  it('is a whole sheet for the rest of the house', () => {
    const { show, sheets, id } = handSheet(3);
    value(sheets.save(id, tasting(2, 'Ada'), { change: { nose: 'pear', verdict: 'in' }, from: 0, by: 'Ada' }));
    const sheet = show();
    expect(sheet.byHand).toBe(true);
    expect(sheet.jars[1]?.start?.vapourTempC).toBe(79);
    const checked = checkSheet(sheetDocument(sheet));
    expect(checked).toMatchObject({
      kind: 'ok',
      value: {
        name: 'Trial',
        charge: { volumeL: 40, strengthVolPercent: 27 },
        jars: [
          {},
          { number: 2, volumeL: 0.3, end: { vapourTempC: 80 }, tastings: [{ taster: 'Ada', verdict: 'in' }] },
          {},
        ],
      },
    });
  });

  it('refuses a jar that would leave a gap, and one that is none', () => {
    const { sheets, id } = handSheet(2);
    for (const jar of [4, 0, -1, 1.5 + 10]) {
      expect(sheets.save(id, { kind: 'jar', jar }, { change: { volumeL: 1 }, from: 0, by: 'Ada' }).kind).toBe('bad');
    }
    expect(sheets.save(id, tasting(3, 'Ada'), { change: { nose: 'x' }, from: 0, by: 'Ada' }).kind).toBe('bad');
  });

  it('is no document for a recipe before the charge is known', () => {
    const journal = open(place());
    const sheets = createSheets(journal, () => 1);
    const id = value(sheets.create({ name: 'Trial', stillName: 'Old copper' }, 'Ada'));
    expect(sheetDocument(value(sheets.show(id)))).toBe(null);
    expect(sheets.create({ name: '', stillName: 'Old copper' }, 'Ada').kind).toBe('bad');
    expect(sheets.create({ ...about, chargeVolPercent: 120 }, 'Ada').kind).toBe('bad');
  });
});

describe('tasting notes', () => {
  it('are kept apart by taster, however the name is typed', () => {
    const { sheets, id, show } = handSheet(1);
    value(sheets.save(id, tasting(1, 'Ada'), { change: { nose: 'pear' }, from: 0, by: 'Ada' }));
    value(sheets.save(id, tasting(1, ' ben  moor '), { change: { nose: 'glue' }, from: 0, by: 'Ben Moor' }));
    value(sheets.save(id, tasting(1, 'Ben Moor'), { change: { back: 'short' }, from: 1, by: 'Ben Moor' }));
    const [jar] = show().jars;
    expect(jar?.tastings.map(({ content }) => content)).toEqual([
      { taster: 'Ada', nose: 'pear' },
      { taster: 'ben moor', nose: 'glue', back: 'short' },
    ]);
  });

  it('keep every revision, and make none for nothing', () => {
    const { journal, sheets, id } = handSheet(1);
    for (const nose of ['p', 'pe', 'pear', 'pear']) {
      const from = value(sheets.show(id)).jars[0]?.tastings[0]?.revision ?? 0;
      value(sheets.save(id, tasting(1, 'Ada'), { change: { nose }, from, by: 'Ada' }));
    }
    const kept = journal.revisions(`jar-sheet/${id}`, 'tasting/1/ada');
    expect(kept.kind === 'ok' && kept.value.map(({ body }) => (body as { nose: string }).nose)).toEqual([
      'p',
      'pe',
      'pear',
    ]);
  });

  it('of two devices are merged where they touch different fields', () => {
    const { sheets, id, show } = handSheet(1);
    const first = value(sheets.save(id, tasting(1, 'Ada'), { change: { nose: 'pear' }, from: 0, by: 'Ada' }));
    value(sheets.save(id, tasting(1, 'Ada'), { change: { front: 'sweet' }, from: first.revision, by: 'Ada' }));
    value(sheets.save(id, tasting(1, 'Ada'), { change: { back: 'long' }, from: first.revision, by: 'Ada' }));
    expect(show().jars[0]?.tastings[0]?.content).toMatchObject({ nose: 'pear', front: 'sweet', back: 'long' });
  });

  it('of two devices in the same field are not written over: a person chooses', () => {
    const { sheets, id, show } = handSheet(1);
    const first = value(sheets.save(id, tasting(1, 'Ada'), { change: { nose: 'pear' }, from: 0, by: 'Ada' }));
    value(sheets.save(id, tasting(1, 'Ada'), { change: { nose: 'pear skin' }, from: first.revision, by: 'Ada' }));
    const clash = sheets.save(id, tasting(1, 'Ada'), { change: { nose: 'apple' }, from: first.revision, by: 'Ada' });
    expect(clash).toMatchObject({
      kind: 'conflict',
      fields: ['nose'],
      now: { revision: 2, content: { nose: 'pear skin' } },
    });
    expect(show().jars[0]?.tastings[0]?.content.nose).toBe('pear skin');
    value(sheets.save(id, tasting(1, 'Ada'), { change: { nose: 'apple' }, from: 2, by: 'Ada' }));
    expect(show().jars[0]?.tastings[0]?.content.nose).toBe('apple');
  });

  it('written first on two devices at once clash too', () => {
    const { sheets, id } = handSheet(1);
    value(sheets.save(id, tasting(1, 'Ada'), { change: { nose: 'pear' }, from: 0, by: 'Ada' }));
    expect(sheets.save(id, tasting(1, 'Ada'), { change: { nose: 'apple' }, from: 0, by: 'Ada' }).kind).toBe('conflict');
    expect(sheets.save(id, tasting(1, 'Ada'), { change: { nose: 'pear' }, from: 0, by: 'Ada' }).kind).toBe('ok');
  });

  it('can be taken away again', () => {
    const { sheets, id, show } = handSheet(1);
    value(sheets.save(id, tasting(1, 'Ada'), { change: { nose: 'pear', verdict: 'in' }, from: 0, by: 'Ada' }));
    value(sheets.save(id, tasting(1, 'Ada'), { change: { verdict: null, nose: '' }, from: 1, by: 'Ada' }));
    expect(show().jars[0]?.tastings[0]?.content).toEqual({ taster: 'Ada' });
  });

  it('that are none are refused with the field', () => {
    const { sheets, id } = handSheet(1);
    const wrong = [
      { intensity: 9 },
      { verdict: 'perhaps' },
      { nose: 7 },
      { taster: 'Ben', hiddenNumber: 123 },
      { colour: 'red' },
    ];
    for (const change of wrong) {
      const answer = sheets.save(id, tasting(1, 'Ada'), { change, from: 0, by: 'Ada' });
      expect([change, answer.kind]).toEqual([change, 'bad']);
    }
    for (const change of [{ strengthVolPercent: 140 }, { volumeL: -1 }, { sampleTempC: 90 }]) {
      expect(sheets.save(id, { kind: 'jar', jar: 1 }, { change, from: 1, by: 'Ada' }).kind).toBe('bad');
    }
  });

  it('have room for two dozen tasters', () => {
    const { sheets, id } = handSheet(1);
    for (let i = 0; i < 24; i += 1)
      value(sheets.save(id, tasting(1, `taster ${i}`), { change: { nose: 'x' }, from: 0, by: 'x' }));
    expect(sheets.save(id, tasting(1, 'one more'), { change: { nose: 'x' }, from: 0, by: 'x' }).kind).toBe('bad');
    expect(sheets.save(id, tasting(1, 'Taster 3'), { change: { back: 'x' }, from: 1, by: 'x' }).kind).toBe('ok');
  });

  it('come to a verdict together, and show where they do not agree', () => {
    const { sheets, id, show } = handSheet(2);
    for (const [taster, verdict] of [
      ['Ada', 'in'],
      ['Ben', 'in'],
      ['Cleo', 'out'],
    ] as const) {
      value(sheets.save(id, tasting(1, taster), { change: { verdict }, from: 0, by: taster }));
    }
    expect(show().jars[0]?.consensus).toMatchObject({
      verdict: 'in',
      decidedBy: 'tasters',
      dissent: [{ taster: 'Cleo', verdict: 'out' }],
    });
    value(sheets.save(id, { kind: 'jar', jar: 1 }, { change: { verdict: 'out' }, from: 1, by: 'Ada' }));
    expect(show().jars[0]?.consensus).toMatchObject({ verdict: 'out', decidedBy: 'decision' });
  });
});

describe('blind tasting', () => {
  it('pours every jar once, with hidden numbers that stay the same for everybody', () => {
    const { sheets, id, show } = handSheet(6);
    const poured = value(sheets.pour(id, 'random', true, 'Ada'));
    expect(poured.glasses.map(({ jar }) => jar).sort()).toEqual([1, 2, 3, 4, 5, 6]);
    expect(new Set(poured.glasses.map(({ hiddenNumber }) => hiddenNumber)).size).toBe(6);
    expect(show().pouring).toEqual(poured);
    const open_ = value(sheets.pour(id, 'outside-in', false, 'Ada'));
    expect(open_.glasses.map(({ jar, hiddenNumber }) => [jar, hiddenNumber])).toEqual([
      [1, null],
      [6, null],
      [2, null],
      [5, null],
      [3, null],
      [4, null],
    ]);
  });
});
