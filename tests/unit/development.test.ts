import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { buttonSchema } from '../../daemon/config/development-schema';
import { createJarChanger, createSheetKeeper, hearButtons, isPress } from '../../daemon/host/development';
import { journalFile } from '../../daemon/host/record';
import { restoreRun } from '../../daemon/host/restore';
import { createStillHost } from '../../daemon/host/still-host';
import { type Journal, openJournal, valueOrThrow } from '../../daemon/store';
import { checkRecipe, checkStill, type Event } from '../../lib';
import { shiftVapourTemp } from '../../lib/physics';
import { parseDocument } from '../../lib/problems';
import { type JarSteps, jarStepsSchema, parseOrder } from '../../lib/wire';
import { fakeLink } from '../tools/fake-link';
import { good, potDocument, potRecipe } from '../tools/plants';
import { runLine } from './commands-run';

const folder = mkdtempSync(join(tmpdir(), 'middlecut-development-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

type JarEvent = Extract<Event, { kind: 'jar' }>;

const steps = (document: object): JarSteps => good(parseDocument(jarStepsSchema, document));
const still = good(
  checkStill({ ...potDocument, points: { ...potDocument.points, meter: { kind: 'collected-volume' } } }),
);
const recipe = good(checkRecipe(potRecipe));

/** A run with 0.002 L a second from the spout, its vapour rising 0.002 K a second, at 950 hPa. */
function developmentRun(
  jars: JarSteps | null,
  journal: Journal = valueOrThrow(openJournal(':memory:')),
  resumed: { readonly vapourC: number; readonly meterL: number } | null = null,
  ordered: object = {},
) {
  const restoring = resumed === null ? null : restoreRun(journal, still.id);
  if (restoring !== null && restoring.kind !== 'ok') throw new Error(`not restored: ${restoring.kind}`);
  let nowMs = 1000;
  const host = createStillHost({
    still,
    recipes: [recipe],
    speed: 1,
    journal,
    wallClockMs: () => Date.UTC(2026, 9, 1),
    monotonicMs: () => nowMs,
    resumed: restoring === null ? null : restoring.restored,
    jars: createJarChanger(jars, journal),
  });
  const keeper = createSheetKeeper(journal);
  const events: Event[] = [];
  let { vapourC, meterL } = resumed ?? { vapourC: 20, meterL: 0 };
  const pass = (seconds: number) => {
    for (let second = 0; second < seconds; second += 1) {
      nowMs += 1000;
      vapourC += vapourC < 78 ? 1 : 0.002;
      if (vapourC > 77) meterL += 0.002;
      for (const [point, value] of Object.entries({ vapour: vapourC, boiler: vapourC + 5, air: 950, meter: meterL })) {
        host.put(point, value, undefined, nowMs);
      }
      const turn = host.turn();
      events.push(...turn.events);
      expect(journal.commit().kind).toBe('ok');
      for (const event of turn.events) keeper.hear(host, event);
    }
  };
  const order = (kind: 'next-jar' | 'resume') => host.order({ order: kind, by: 'Anna' }, 'still', `o${nowMs}`);
  if (resumed === null) {
    pass(5);
    const start = { order: 'start', chargeL: 50, chargeVolPercent: 29, ...ordered };
    host.order(good(parseOrder(JSON.stringify(start))), 'still', 'start');
  }
  const jarsOf = (): JarEvent[] => events.filter((event): event is JarEvent => event.kind === 'jar');
  return { host, journal, pass, order, events, jarsOf, world: () => ({ vapourC, meterL }) };
}

describe('jars changed by themselves', () => {
  it('begins with the first order, and goes on at every step of volume', () => {
    const run = developmentRun(steps({ everyL: 0.5 }));
    run.pass(400);
    expect(run.jarsOf()).toEqual([]);
    run.order('next-jar');
    run.pass(1010);
    const jars = run.jarsOf();
    expect(jars.map((jar) => jar.number)).toEqual([1, 2, 3, 4, 5]);
    for (const jar of jars.slice(1)) expect(jar.volumeL).toBeCloseTo(0.5, 1);
    expect(jars[1]!.reason.numbers.by).toBe('the jar step');
  });

  it('begins by itself at the first drop, and fills each jar for the time that was said', () => {
    const run = developmentRun(steps({ everyS: 120, begins: 'by-itself' }));
    run.pass(700);
    const times = run.jarsOf().map((jar) => jar.atS);
    expect(times.length).toBeGreaterThan(4);
    for (const [index, atS] of times.slice(1).entries()) expect(Math.abs(atS - times[index]! - 120)).toBeLessThan(2);
  });

  it('fills each jar while the vapour rises so far at the reference pressure', () => {
    const run = developmentRun(steps({ everyK: 0.4, begins: 'by-itself' }));
    run.pass(1500);
    const atReference = run
      .jarsOf()
      .map(({ figures }) => shiftVapourTemp(figures.vapourTempC!, figures.airPressureHPa!, 1013.25));
    expect(atReference.length).toBeGreaterThan(4);
    // The first jars begin while the leap of the vapour's arrival is still in the estimate.
    for (let index = 3; index < atReference.length; index += 1) {
      expect(atReference[index]! - atReference[index - 1]!).toBeCloseTo(0.4, 1);
    }
  });

  it('leaves a person free to change jars in between, and counts from there', () => {
    const run = developmentRun(steps({ everyL: 0.5 }));
    run.pass(200);
    run.order('next-jar');
    run.pass(150);
    run.order('next-jar');
    run.pass(255);
    const jars = run.jarsOf();
    expect(jars).toHaveLength(3);
    expect(jars[1]!.volumeL).toBeCloseTo(0.3, 1);
    expect(jars[2]!.volumeL).toBeCloseTo(0.5, 1);
    expect(jars.map((jar) => jar.reason.numbers.by)).toEqual(['Anna', 'Anna', 'the jar step']);
  });

  it('changes nothing while the run is held or no liquid runs', () => {
    const run = developmentRun(steps({ everyS: 60, begins: 'by-itself' }));
    run.pass(40);
    expect(run.jarsOf()).toEqual([]);
    run.pass(300);
    const before = run.jarsOf().length;
    run.host.order({ order: 'hold', by: 'Anna' }, 'still', 'hold');
    run.pass(300);
    expect(run.jarsOf()).toHaveLength(before);
  });

  it('goes on after a restart from what is in the record: number, volume and the vapour at the beginning', () => {
    const run = developmentRun(steps({ everyK: 0.4, begins: 'by-itself' }));
    run.pass(1000);
    const before = run.jarsOf();
    const last = before[before.length - 1]!;
    const after = developmentRun(steps({ everyK: 0.4, begins: 'by-itself' }), run.journal, run.world());
    after.pass(5);
    after.order('resume');
    after.pass(400);
    const [first] = after.jarsOf();
    expect(first?.number).toBe(last.number + 1);
    const rise =
      shiftVapourTemp(first!.figures.vapourTempC!, first!.figures.airPressureHPa!, 1013.25) -
      shiftVapourTemp(last.figures.vapourTempC!, last.figures.airPressureHPa!, 1013.25);
    expect(rise).toBeCloseTo(0.4, 1);
  });

  it('goes by the steps the run was started with, in place of those of the configuration, after a restart too', () => {
    const run = developmentRun(steps({ everyL: 20 }), undefined, null, { jars: { everyL: 0.4 } });
    run.pass(900);
    const jars = run.jarsOf();
    expect(jars.length).toBeGreaterThanOrEqual(4);
    for (const jar of jars.slice(1)) expect(jar.volumeL).toBeCloseTo(0.4, 1);
    expect(run.journal.flush().kind).toBe('ok');

    const after = developmentRun(null, run.journal, run.world());
    after.pass(5);
    after.order('resume');
    after.pass(500);
    expect(after.jarsOf()[0]?.number).toBe(jars.length + 1);
    expect(developmentRun(null).jarsOf()).toEqual([]);
  });

  it('refuses an order whose steps would never change a jar, or are none', () => {
    const problemsOf = (jars: object) => {
      const parsed = parseOrder(JSON.stringify({ order: 'start', jars }));
      return parsed.kind === 'bad' ? parsed.problems.map(({ path, message }) => `${path} ${message}`).join() : '';
    };
    expect(problemsOf({})).toMatch(/^jars has no step: jars would never be changed/);
    expect(problemsOf({ everyMinutes: 5 })).toMatch(/everyMinutes/);
    expect(problemsOf({ everyS: 5 })).toMatch(/^jars\.everyS/);
  });

  it('refuses steps that would never change a jar', () => {
    const parsed = parseDocument(jarStepsSchema, { begins: 'by-itself' });
    expect(parsed.kind === 'bad' && parsed.problems[0]?.message).toMatch(/never be changed/);
  });
});

describe('the sheet of a development run', () => {
  it('is in the record with its first jar, takes notes, and comes out as CSV with boiler temperatures', async () => {
    const journal = valueOrThrow(openJournal(join(mkdtempSync(join(folder, 'record-')), journalFile)));
    const path = journal.path.slice(0, -journalFile.length);
    const run = developmentRun(steps({ everyL: 0.4, begins: 'by-itself' }), journal);
    run.pass(900);
    await new Promise((resolve) => setImmediate(resolve));
    const id = run.host.runId!;
    const jars = run.jarsOf().length;
    run.journal.close();

    const listed = await runLine(`jars list --data ${path}`);
    expect(listed.out).toMatch(new RegExp(`${id}.*filling`));
    const measured = await runLine(
      `jars measure ${id} 1 --volume-l 0.41 --strength-percent 78.2 --sample-temp 19 --data ${path} --by-whom Berta`,
    );
    expect(measured).toMatchObject({ code: 0, out: 'Written as revision 1 by Berta.\n' });
    await runLine(
      `jars note ${id} 1 --taster Carl --nose "nail varnish, sharp" --words "solvent|sharp" --intensity 4 --data ${path}`,
    );
    await runLine(`jars verdict ${id} 1 out --data ${path} --by-whom Berta`);
    await runLine(`jars verdict ${id} 2 in --taster Carl --data ${path}`);
    await runLine(`jars measure ${id} 1 --volume-l 0.42 --data ${path} --by-whom Berta`);

    const history = await runLine(`jars history ${id} --data ${path}`);
    expect(history.out).toMatch(/Berta +jar 1 +1 +.*volumeL 0\.41/);
    expect(history.out).toMatch(/Berta +jar 1 +3 +volumeL 0\.42/);
    expect(history.out).toMatch(/Carl +tasting of jar 1 by carl +1 +.*"nail varnish, sharp"/);

    const shown = await runLine(`jars from-run ${id} --data ${path} --json`);
    const sheet = JSON.parse(shown.out) as {
      readonly jars: readonly {
        readonly volumeL?: number;
        readonly verdict?: string;
        readonly end?: { readonly vapourTempC: number; readonly boilerTempC: number };
        readonly tastings: readonly { readonly taster: string; readonly verdict?: string }[];
      }[];
    };
    expect(sheet.jars).toHaveLength(jars);
    expect(sheet.jars[0]).toMatchObject({ volumeL: 0.42, verdict: 'out', tastings: [{ taster: 'Carl' }] });
    expect(sheet.jars[1]!.tastings).toMatchObject([{ taster: 'Carl', verdict: 'in' }]);
    expect(sheet.jars[0]!.end!.boilerTempC - sheet.jars[0]!.end!.vapourTempC).toBeCloseTo(5, 1);
    const checked = await runLine(`jars check --sheet ${id} --data ${path}`);
    expect(checked.out).toMatch(/50 L of 29 % vol in Test pot/);
  });

  it('refuses what is written where no jar is, or by nobody', async () => {
    const journal = valueOrThrow(openJournal(join(mkdtempSync(join(folder, 'record-')), journalFile)));
    const path = journal.path.slice(0, -journalFile.length);
    const run = developmentRun(steps({ everyL: 0.4, begins: 'by-itself' }), journal);
    run.pass(300);
    await new Promise((resolve) => setImmediate(resolve));
    const id = run.host.runId!;
    journal.close();
    expect((await runLine(`jars measure ${id} 40 --volume-l 1 --data ${path}`)).code).toBe(1);
    expect((await runLine(`jars measure ${id} 1 --volume-l=-3 --data ${path}`)).code).toBe(1);
    expect((await runLine(`jars note ${id} 1 --nose pear --data ${path}`)).err).toMatch(/--taster.*is missing/);
    expect((await runLine(`jars verdict ${id} 1 lovely --data ${path}`)).err).toMatch(/Use one of out, in/);
    expect((await runLine(`jars history nowhere --data ${path}`)).code).toBe(1);
    expect((await runLine(`jars list --data ${path}-nowhere`)).code).toBe(1);
  });
});

describe('buttons', () => {
  const button = (document: object) =>
    good(parseDocument(buttonSchema, { topic: 'floor/foot', order: 'next-jar', ...document }));
  const bytes = (text: string) => Buffer.from(text);

  it('tells a press from a release and from what is no message of a button', () => {
    expect(isPress(button({}), bytes('anything'))).toBe(true);
    expect(isPress(button({ pressed: 'ON' }), bytes('OFF'))).toBe(false);
    const single = button({ path: 'action', pressed: 'single' });
    expect(isPress(single, bytes('{"action":"single","battery":91}'))).toBe(true);
    expect(isPress(single, bytes('{"action":"release"}'))).toBe(false);
    expect(isPress(single, bytes('{"action"'))).toBe(false);
    expect(isPress(single, Buffer.from([0xff, 0xfe]))).toBe(false);
    expect(isPress(button({ path: 'button.pressed', pressed: true }), bytes('{"button":{"pressed":true}}'))).toBe(true);
  });

  it('orders the next jar once a press, and nothing for a message the broker kept', () => {
    const run = developmentRun(null);
    run.pass(300);
    const fake = fakeLink();
    let nowMs = 0;
    const [subscription] = hearButtons({
      still: run.host,
      link: fake.link,
      buttons: [button({ pressed: 'ON' })],
      wake: () => undefined,
      idFor: () => `b${nowMs}`,
      nowMs: () => nowMs,
      isDoubtful: () => false,
      warn: () => undefined,
    });
    const press = (atMs: number, text: string, retained = false) => {
      nowMs = atMs;
      fake.say('floor/foot', text, retained);
      run.pass(3);
    };
    press(1000, 'ON', true);
    expect(run.jarsOf()).toHaveLength(0);
    press(10_000, 'ON');
    press(10_400, 'ON');
    press(11_000, 'OFF');
    expect(run.jarsOf()).toHaveLength(1);
    press(20_000, 'ON');
    expect(run.jarsOf().map((jar) => jar.number)).toEqual([1, 2]);
    subscription?.unsubscribe();
    press(40_000, 'ON');
    expect(run.jarsOf()).toHaveLength(2);
  });

  it.each(['start', 'resume', 'cut'])('cannot be set to order %s', (order) => {
    expect(parseDocument(buttonSchema, { topic: 'floor/foot', order }).kind).toBe('bad');
  });
});
