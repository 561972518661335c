// Ten years of weekly runs in one journal: 500 runs, 100 million readings. Run by hand, it takes some minutes:
//   npx node tests/bench/ten-years.mjs [runs] [seconds a run] [directory]
// Prints the size of the file by table, and how long it takes to open it, list the runs, report and compare two that the
// simulated still made among them, read one, verify one and thin some.
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import '../tools/typescript-hooks.mjs';

const { openJournal, valueOrThrow } = await import('../../daemon/store/index.ts');
const { decided, header, nothing } = await import('../tools/store-samples.ts');
const { recordRun } = await import('../unit/report-record.ts');
const { comparedRun, keepCourseOf, makeReport } = await import('../../daemon/report/index.ts');
const { compareRuns } = await import('../../lib/compare/index.ts');
const { english } = await import('../../lib/words/index.ts');
const { stillroomInputs } = await import('./stillroom.ts');

const [runs = 500, seconds = 40_000] = process.argv.slice(2, 4).map(Number);
const directory = process.argv[4] ?? mkdtempSync(join(tmpdir(), 'middlecut-ten-years-'));
const path = join(directory, 'journal.db');
const week = 7 * 86_400_000;

const say = (what, figure) => console.log(`${what.padEnd(58)} ${figure}`);
const show = (bytes) => `${(bytes / 1e6).toFixed(1)} MB`;
function time(what, work) {
  const before = performance.now();
  const value = work();
  say(what, `${(performance.now() - before).toFixed(1)} ms${typeof value === 'string' ? `  (${value})` : ''}`);
  return value;
}
const size = () => statSync(path).size;
/** Looks along all of an iterable without keeping it. */
function count(items) {
  let number = 0;
  for (const _item of items) number += 1;
  return number;
}

/** A decision every eight minutes, as in a run with its cuts, receivers and alarms. */
function writeRun(journal, number) {
  const runId = `perry-${String(number).padStart(4, '0')}`;
  valueOrThrow(journal.beginRun({ ...header(runId), startedAtMs: 1_400_000_000_000 + number * week }));
  let scan = 0;
  let readings = 0;
  for (const input of stillroomInputs(seconds, number + 1, { clockS: 0.001, together: false })) {
    journal.append(runId, input, ++scan % 2400 === 0 ? decided(input.now) : nothing);
    readings += input.readings.length;
    const committed = journal.commit();
    if (committed.kind === 'failed') throw new Error(committed.failure.message);
  }
  journal.endRun(runId, 'complete', {
    heartsL: 7.2,
    heartsAbv: 0.68,
    note: 'perry low wines, Williams and Conference',
  });
  return readings;
}

let journal = valueOrThrow(openJournal(path));
const began = performance.now();
let readings = 0;
for (let number = 0; number < runs; number++) readings += writeRun(journal, number);
recordRun(journal, { runId: 'origin' });
recordRun(journal, { runId: 'latest', seed: 3, recipe: { developedFrom: { run: 'origin' } } });
const took = (performance.now() - began) / 1000;
journal.close();
say(
  'readings written',
  `${(readings / 1e6).toFixed(2)} million in ${took.toFixed(0)} s, ${Math.round(readings / took)} a second`,
);
say('size of the file', `${show(size())}, ${(size() / readings).toFixed(2)} bytes a reading`);
const file = new DatabaseSync(path, { readOnly: true });
for (const { name, bytes } of file
  .prepare('SELECT name, sum(pgsize) AS bytes FROM dbstat GROUP BY name ORDER BY bytes DESC LIMIT 5')
  .all()) {
  say(`  ${name}`, show(bytes));
}
file.close();

journal = time('open, with a quick check of every page', () => valueOrThrow(openJournal(path)));
journal.close();
journal = time('open for reading, without', () => valueOrThrow(openJournal(path, { readOnly: true, check: 'none' })));
journal.close();
journal = valueOrThrow(openJournal(path));
const runId = `perry-${String(Math.floor(runs / 2)).padStart(4, '0')}`;
time('list all runs', () => `${valueOrThrow(journal.runs()).length} runs`);
time(
  'find runs by a word in their summary',
  () => `${valueOrThrow(journal.runs({ text: 'conference', limit: 20 })).length} runs`,
);
// As the daemon does when a run ends.
for (const one of ['origin', 'latest']) {
  time(`fold the course of ${one}`, () => `${valueOrThrow(keepCourseOf(journal, one)) ?? 'kept'}`);
}
time('compare a run with the one its recipe came from', () => {
  const [origin, latest] = ['origin', 'latest'].map((one) => valueOrThrow(comparedRun(journal, one)));
  return `${compareRuns(origin, latest).findings.length} findings`;
});
for (const one of ['latest', runId]) {
  const report = { saying: english, madeAtMs: 0 };
  time(`report of ${one}, its chain verified`, () => show(valueOrThrow(makeReport(journal, one, report)).length));
}
time('one run: header, decisions and minute summaries (a report)', () => {
  valueOrThrow(journal.run(runId));
  return `${count(journal.readDecisions(runId))} decisions, ${count(journal.summaries(runId))} minutes`;
});
time('one run: all its readings', () => `${count(journal.readInputs(runId))} scans`);
time(
  'one run: its last ten minutes',
  () => `${count(journal.readInputs(runId, valueOrThrow(journal.run(runId)).scans - 3000))} scans`,
);
time('one run: verify the chain', () => valueOrThrow(journal.verify(runId)).kind);
time('thin one run', () => show(valueOrThrow(journal.thin(runId, 'by hand')).bytes));
time('verify it again', () => JSON.stringify(valueOrThrow(journal.verify(runId)).thinned));
const half = valueOrThrow(journal.runs({ untilMs: 1_400_000_000_000 + (runs / 2) * week }));
time(`thin the older half, ${half.length} runs`, () => {
  for (const run of half) valueOrThrow(journal.thin(run.runId, 'by hand'));
});
journal.close();
say('size of the file then', show(size()));
if (process.argv[4] === undefined) rmSync(directory, { recursive: true, force: true });
