import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { journalFile } from '../../daemon/host/record';
import { summarise } from '../../daemon/host/summary';
import { type AfterRun, nothingAfter, saveAfterRun } from '../../daemon/report/after-run';
import { openJournal, valueOrThrow } from '../../daemon/store';
import { freshRun } from '../../lib/engine/fresh';
import { scan } from '../../lib/engine/scan';
import type { Input, Plant, Run } from '../../lib/engine/types';
import { checkSheet, writeCsv } from '../../lib/jars';
import { simulate } from '../../simulators/simulate';
import { runLine } from './commands-run';
import { inventSheet } from './jars-sheet';

const folder = mkdtempSync(join(tmpdir(), 'middlecut-compare-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Simulated runs of one recipe, written as the daemon writes them; of the trend only the summaries are looked at. */
beforeAll(() => {
  const journal = valueOrThrow(openJournal(join(folder, journalFile)));
  const runs = [
    { runId: 'first', request: {} },
    { runId: 'again', request: { seaLevelOffsetHPa: 14, seed: 2 } },
    { runId: 'third', request: { seed: 4 } },
    { runId: 'stronger', request: { charge: { strengthAbv: 0.31 }, seed: 3 } },
  ];
  for (const [index, { runId, request }] of runs.entries()) {
    let plant: Plant | null = null;
    let run: Run = freshRun(0);
    const tell = (line: { readonly plant?: Plant; readonly input?: Input }) => {
      if (line.plant !== undefined) {
        plant = line.plant;
        const startedAtMs = Date.UTC(2026, 9, 1 + index);
        valueOrThrow(journal.beginRun({ runId, plant, initial: run, startedAtMs }));
      }
      if (line.input === undefined || plant === null) return;
      const result = scan(plant, run, line.input);
      run = result.run;
      journal.append(runId, line.input, result);
      if (journal.waiting().scans > 2000) journal.flush();
    };
    const result = simulate({ scenario: 'pot-spirit', inputs: true, ...request }, tell as never);
    expect(result.kind).toBe('ok');
    journal.flush();
    expect(journal.endRun(runId, 'complete', summarise(plant!, run)).kind).toBe('ok');
  }
  journal.close();
}, 120_000);

const compared = (line: string) => runLine(`compare ${line} --data ${folder}`);

interface Compared {
  readonly fractions: readonly { readonly fraction: string; readonly volumeByPercent: number | null }[];
  readonly departures: readonly unknown[];
  readonly said: readonly string[];
}

describe('compare', () => {
  it('finds a run alike that repeats another in other weather: temperatures are moved to the reference pressure', async () => {
    const ran = await compared('first again --json');
    const { departures, fractions } = JSON.parse(ran.out) as Compared;
    expect(departures).toEqual([]);
    const hearts = fractions.find((one) => one.fraction === 'hearts');
    expect(Math.abs(hearts!.volumeByPercent!)).toBeLessThan(2);
  });

  it('says that the charge was stronger, and how the hearts differ', async () => {
    const { out, code } = await compared('first stronger');
    expect(code).toBe(0);
    expect(out).toMatch(/the charge was 2\.0 % vol stronger, as the record says/);
    expect(out).toMatch(/^hearts .*%/m);
  });

  it('takes what was measured by hand before what the engine counted', async () => {
    const hearts = async () => {
      const { fractions } = JSON.parse((await compared('first again --json')).out) as Compared;
      return fractions.find((one) => one.fraction === 'hearts')!.volumeByPercent!;
    };
    const before = await hearts();
    const journal = valueOrThrow(openJournal(join(folder, journalFile)));
    const byHand = { volumeL: 20, strengthAbv: 0.7, tempC: 20, by: 'Anna', atMs: 0 };
    const content: AfterRun = { afterRun: 1, measured: { hearts: byHand }, feints: [], notes: [] };
    valueOrThrow(saveAfterRun(journal, 'again', nothingAfter, content, 'Anna'));
    journal.close();
    expect(await hearts()).toBeGreaterThan(before + 20);
  });

  it('still compares a run whose readings were thinned after it was compared once, and says so of one that never was', async () => {
    const before = await compared('first again --json');
    const journal = valueOrThrow(openJournal(join(folder, journalFile)));
    for (const runId of ['again', 'third']) valueOrThrow(journal.thin(runId, 'Anna'));
    journal.close();
    expect((await compared('first again --json')).out).toBe(before.out);
    const never = await compared('first third');
    expect(never.code).toBe(1);
    expect(never.err).toMatch(/thinned or lost before its course was kept/);
  });

  it('takes a run made by hand, once its jar sheet is in the record: derived from and compared with by its name', async () => {
    const file = join(folder, 'by-hand.csv');
    const checked = checkSheet(inventSheet({ pressureHPa: 963, over: { probe: { offsetK: 0.3, accuracyK: 0.1 } } }));
    if (checked.kind === 'bad') throw new Error(JSON.stringify(checked.problems));
    writeFileSync(file, writeCsv(checked.value));
    const figures = async (line: string) => JSON.parse((await runLine(`${line} --json`)).out);
    const { sheet, jars } = await figures(`jars import ${file} --data ${folder} --by-whom Anna`);
    expect(jars).toBe(checked.value.jars.length);
    const [fromFile, fromRecord] = [
      await figures(`jars derive ${file}`),
      await figures(`jars derive --sheet ${sheet} --data ${folder}`),
    ];
    const cutsOf = (derived: typeof fromFile) =>
      derived.variants.map(({ cuts }: typeof fromFile) => [
        cuts.heads.vapourAtReferenceC,
        cuts.heads.sharePercent,
        cuts.tails.vapourAtReferenceC,
        cuts.tails.sharePercent,
      ]);
    for (const [index, cuts] of cutsOf(fromRecord).entries())
      for (const [at, value] of cuts.entries()) expect(value).toBeCloseTo(cutsOf(fromFile)[index][at], 6);
    expect(fromRecord.recipe.developedFrom.run).toBe(sheet);
    const { departures, fractions } = JSON.parse((await compared(`${sheet} first --json`)).out) as Compared;
    expect(fractions.map((one) => one.fraction)).toContain('hearts');
    // The invented still has less reflux than the simulated one: its vapour runs otherwise, and that is seen.
    expect(departures.length).toBeGreaterThan(0);
    expect((await runLine(`jars history ${sheet} --data ${folder}`)).out).toMatch(/Anna +jar 3 +1 /);
  });

  it('says why two runs cannot be compared', async () => {
    const unknown = await compared('first nowhere');
    expect(unknown.code).toBe(1);
    expect(unknown.err).toMatch(/nowhere/);
    expect((await compared('first')).code).toBe(2);
  });

  it('draws the trend of a recipe, the oldest first, and refuses one without runs', async () => {
    interface Trend {
      readonly runs: readonly { readonly run: string; readonly volumePerAlcohol: number }[];
      readonly charts: { readonly volumePerAlcohol: { readonly centre: number } };
    }
    const { runs, charts } = JSON.parse((await compared('--trend --recipe "Pear spirit" --json')).out) as Trend;
    expect(runs.map((one) => one.run)).toEqual(['first', 'again', 'third', 'stronger']);
    const mean = runs.reduce((sum, one) => sum + one.volumePerAlcohol, 0) / runs.length;
    expect(charts.volumePerAlcohol.centre).toBeCloseTo(mean, 9);
    expect((await compared('--trend --recipe "Pear spirit"')).out).toMatch(/provisional/);
    const none = await compared('--trend --recipe Plum');
    expect(none.code).toBe(1);
    expect(none.err).toMatch(/0 finished runs/);
  });
});
