import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readStory } from '../../daemon/report';
import { logColumns, logLines } from '../../daemon/report/log-export';
import type { RunDetail } from '../../daemon/store';
import { checkRecipe, checkStill, freshRun, type Input, type Plant } from '../../lib';
import { parseLog } from '../../lib/replay/log';
import { phaseChanges, replayLog } from '../../lib/replay/replay';
import { scenarios } from '../../simulators/scenarios';
import { plantOf, good as sound } from '../tools/plants';
import { runLine } from './commands-run';
import { dataFolder, good, recordRun, shortRun } from './report-record';

const record = dataFolder();
const out = join(record.folder, 'out');

beforeAll(() => {
  record.use((journal) => {
    recordRun(journal, { runId: 'short', scenario: shortRun });
    recordRun(journal, { runId: 'column', scenario: scenarios['column-spirit'], seed: 4 });
    recordRun(journal, {
      runId: 'held',
      scenario: shortRun,
      mostS: 2000,
      orders: [
        { atS: 1500, kind: 'hold', by: 'Ada' },
        { atS: 1560, kind: 'resume', by: 'Ada' },
      ],
    });
  });
}, 120_000);
afterAll(record.remove);

const told = (runId: string) => record.use((journal) => good(readStory(journal, runId)), true);

interface Exported {
  readonly files: readonly { readonly what: string; readonly file: string; readonly bytes: number }[];
}

async function exportAll(runId: string): Promise<Readonly<Record<string, string>>> {
  const ran = await runLine(`export ${runId} --data ${record.folder} --to ${out} --json`);
  expect(ran.code, ran.err).toBe(0);
  const { files } = JSON.parse(ran.out) as Exported;
  return Object.fromEntries(files.map(({ what, file }) => [what, file]));
}

/** Replays an exported log over the exported recipe and still, as `replay --log` does. */
function replayed(log: string, recipe: string, still: string, plant: Plant) {
  const stillRead = sound(checkStill(JSON.parse(readFileSync(still, 'utf8'))));
  const played = sound(
    replayLog({
      recipe: sound(checkRecipe(JSON.parse(readFileSync(recipe, 'utf8')))),
      variant: plant.variant,
      still: stillRead,
      charge: plant.charge,
      log: sound(parseLog(log, Object.keys(stillRead.points))),
      pressureHPa: null,
      altitudeM: null,
    }),
  );
  return phaseChanges(played.events);
}

describe('an exported log', () => {
  it.each(['short', 'column'])('of run %s replays to the same changes of phase, within seconds', async (runId) => {
    const files = await exportAll(runId);
    const story = told(runId);
    const changes = replayed(
      readFileSync(files.log ?? '', 'utf8'),
      files.recipe ?? '',
      files.still ?? '',
      story.run.plant,
    );
    const kept = story.told.phases;
    expect(kept.length).toBeGreaterThanOrEqual(6);
    expect(changes.map(({ from, to }) => `${from} > ${to}`)).toEqual(kept.map(({ from, to }) => `${from} > ${to}`));
    for (const [index, change] of changes.entries()) {
      expect(Math.abs(change.atS - story.intoS(kept[index]!.atS))).toBeLessThanOrEqual(1);
      expect(change.figures.thresholdAtReferenceC).toBe(kept[index]!.figures.thresholdAtReferenceC);
    }
  });

  it('at ten seconds a row still makes the same cuts, at most some rows later', async () => {
    const files = await exportAll('short');
    const ran = await runLine(`export short --data ${record.folder} --every 10`);
    const story = told('short');
    expect(ran.code).toBe(0);
    const times = ran.out
      .split('\n')
      .slice(1, -1)
      .map((row) => Number(row.split(',')[0]));
    expect(times.every((time, index) => time % 10 === 0 && (index === 0 || time > times[index - 1]!))).toBe(true);
    const changes = replayed(ran.out, files.recipe ?? '', files.still ?? '', story.run.plant);
    const kept = story.told.phases;
    expect(changes.map(({ to }) => to)).toEqual(kept.map(({ to }) => to));
    for (const [index, change] of changes.entries()) {
      expect(Math.abs(change.atS - story.intoS(kept[index]!.atS))).toBeLessThanOrEqual(60);
    }
  });

  it('says that it holds no orders where somebody held and resumed the run', async () => {
    const ran = await runLine(`export held --data ${record.folder}`);
    expect(ran.code).toBe(0);
    expect(ran.err).toContain('The log holds no orders, and this run had some (hold, resume)');
    expect((await runLine(`export short --data ${record.folder}`)).err).toBe('');
  });

  it('of measurements only parses without a still where every point is the first of its kind', async () => {
    const ran = await runLine(`export short --data ${record.folder} --measured-only`);
    const parsed = parseLog(ran.out);
    expect(parsed).toMatchObject({ kind: 'ok', warnings: [] });
  });
});

describe('the lines of a log', () => {
  const points = {
    vapour: { kind: 'vapour-temp' as const, calibration: { gain: 1.01, offset: -0.5 } },
    'vapour-2': { kind: 'vapour-temp' as const },
    air: { kind: 'air-pressure' as const },
    state: { kind: 'drive-state' as const },
  };
  const plant = { ...plantOf(), still: { ...plantOf().still, points } } as unknown as Plant;
  const run = (initial = freshRun(0)) => ({ runId: 'r', plant, initial }) as unknown as RunDetail;
  const reading = (now: number, values: Readonly<Record<string, number | null>>, fault?: 'checksum'): Input => ({
    now,
    readings: Object.entries(values).map(([point, value]) => ({
      point,
      value,
      atS: now - 0.3,
      ...(fault === undefined ? {} : { fault }),
    })),
    orders: [],
  });
  const lines = (inputs: readonly Input[], everyS = 0, startS = 100, initial = freshRun(0)) =>
    [...logLines(run(initial), inputs, { columns: logColumns(plant.still, true), startS, everyS })].map((line) =>
      line.trimEnd(),
    );

  it('have a column a kind, and further points of a kind and drives by their name', () => {
    const measured = ['vapourTempC', 'vapour-2', 'airPressureHPa'];
    expect(logColumns(plant.still, true).map(({ header }) => header)).toEqual(measured);
    expect(logColumns(plant.still).map(({ header }) => header)).toEqual([...measured, 'state']);
  });

  it('begin with what the points showed when the run started, and end where its record ends', () => {
    const inputs = [
      reading(90, { vapour: 20, air: 960 }),
      reading(100, { vapour: 21 }),
      reading(101, { vapour: 22 }),
      reading(102, {}),
      reading(103.5, { 'vapour-2': 23 }),
      reading(104, {}),
    ];
    expect(lines(inputs)).toEqual([
      'timeS,vapourTempC,vapour-2,airPressureHPa',
      '0,21,,960',
      '1,22,,',
      '3.5,,23,',
      '4,,,',
    ]);
  });

  it('hold no reading that was none', () => {
    const inputs = [
      reading(100, {}),
      reading(101, { vapour: null }),
      reading(102, { vapour: 85 }, 'checksum'),
      reading(103, { vapour: Number.NaN, unknown: 4 }),
      reading(104, { vapour: 80.0625 }),
    ];
    expect(lines(inputs)).toEqual(['timeS,vapourTempC,vapour-2,airPressureHPa', '0,,,', '4,80.0625,,']);
  });

  it('take readings together at a chosen spacing, the last of each point', () => {
    const inputs = [100, 101, 104, 105, 106, 112].map((now) => reading(now, { vapour: now }));
    expect(lines(inputs, 5).slice(1)).toEqual(['0,100,,', '5,105,,', '10,106,,', '15,112,,']);
  });

  it('give back what a point showed before the first scan as it was read, without its calibration', () => {
    const before = freshRun(0);
    const seen = { quality: 'good', value: 1.01 * 80.0625 - 0.5 } as never;
    const bad = { quality: 'stale', value: 950 } as never;
    const initial = { ...before, image: { vapour: seen, air: bad } };
    expect(lines([reading(100, {}), reading(101, {})], 0, 100, initial)).toContain('0,80.0625,,');
  });

  it('are only a header and the start for a run that never got under way', () => {
    expect(lines([])).toEqual(['timeS,vapourTempC,vapour-2,airPressureHPa', '0,,,']);
  });
});

describe('the other exports', () => {
  it('decisions are JSON lines, one for each in the record, with words and moments', async () => {
    const files = await exportAll('short');
    const rows = readFileSync(files.decisions ?? '', 'utf8')
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>);
    const { decisions } = record.use((journal) => good(journal.run('short')), true);
    expect(rows).toHaveLength(decisions);
    expect(rows.map(({ seq }) => seq)).toEqual(rows.map((_row, index) => index));
    const start = rows.find(({ said }) => said === 'idle → heat-up: started by Ada');
    expect(start).toMatchObject({ kind: 'event', intoS: 0, at: '2026-05-12T08:00:01.000Z' });
    expect(rows.at(-1)).toMatchObject({ kind: 'mark', mark: 'ended' });
    expect(rows.every(({ said, kind }) => kind === 'order' || (said !== '' && said !== undefined))).toBe(true);
  });

  it('the whole run is one JSON with every reading of the record', async () => {
    const files = await exportAll('short');
    const whole = JSON.parse(readFileSync(files.run ?? '', 'utf8')) as {
      middlecutRun: number;
      head: string;
      run: { recipeDocument: object; stillDocument: object; run: string; readings: number; scans: number };
      decisions: unknown[];
      minutes: unknown[];
      inputs: Input[];
    };
    const detail = record.use((journal) => good(journal.run('short')), true);
    expect(whole).toMatchObject({ middlecutRun: 1, head: detail.head, run: { run: 'short' } });
    expect(whole.run.recipeDocument).toEqual(detail.plant.recipe);
    expect(whole.inputs).toHaveLength(detail.scans);
    expect(whole.inputs.reduce((sum, { readings }) => sum + readings.length, 0)).toBe(detail.readings);
    expect(whole.decisions).toHaveLength(detail.decisions);
    expect(whole.minutes.length).toBeGreaterThan(100);
    const kept = record.use((journal) => [...journal.readInputs('short')], true);
    expect(whole.inputs[500]).toEqual(kept[500]);
  });

  it('recipe and still are those of the run, and sound', async () => {
    const files = await exportAll('column');
    const { plant } = told('column').run;
    expect(JSON.parse(readFileSync(files.recipe ?? '', 'utf8'))).toEqual(plant.recipe);
    expect(JSON.parse(readFileSync(files.still ?? '', 'utf8'))).toEqual(plant.still);
  });

  it('a name that would lead out of the folder does not', async () => {
    record.use((journal) => recordRun(journal, { runId: '../../up', scenario: shortRun, mostS: 60 }));
    const ran = await runLine(`export ../../up --data ${record.folder} --to ${out}`);
    expect(ran.code).toBe(0);
    const names = ran.out.split('\n').flatMap((line) => /^(.*): \d+ bytes$/.exec(line)?.[1] ?? []);
    expect(names).toHaveLength(5);
    for (const name of names) expect(name.startsWith(`${out}/_`)).toBe(true);
  });

  it('tells what is wrong with what was asked, all at once', async () => {
    const ran = await runLine(`export short --what all --every x --to ${out} --data ${record.folder}`);
    expect(ran.code).toBe(1);
    expect(ran.err).toMatch(/--what.*\n.*--to.*\n.*--every/);
    expect((await runLine('export')).code).toBe(2);
    expect((await runLine('export short --json')).code).toBe(2);
    const unknown = await runLine(`export nobody --data ${record.folder}`);
    expect(unknown).toMatchObject({ code: 1, err: expect.stringContaining('there is no run nobody') });
    const nowhere = await runLine(`export short --data ${record.folder} --out ${record.folder}/none/x.csv`);
    expect(nowhere).toMatchObject({ code: 1, err: expect.stringContaining('could not be written') });
  });
});
