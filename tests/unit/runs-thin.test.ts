import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runLine } from './commands-run';
import { dataFolder, good, recordRun, shortRun, startedAtMs } from './report-record';

const record = dataFolder();
const data = `--data ${record.folder}`;
const file = (name: string) => join(record.folder, name);
const week = 7 * 86_400_000;

beforeAll(() => {
  record.use((journal) => {
    for (const number of [1, 2, 3]) {
      recordRun(journal, {
        runId: `perry-${number}`,
        scenario: shortRun,
        mostS: 1500,
        startedAtMs: startedAtMs + (number - 1) * week,
        leaveOpen: number === 2,
      });
    }
  });
}, 120_000);
afterAll(record.remove);

const run = (runId: string) => record.use((journal) => good(journal.run(runId)), true);

describe('thin', () => {
  it('asks for --yes, and drops nothing without it', async () => {
    const ran = await runLine(`thin --before 2026-05-30 ${data}`);
    expect(ran.code).toBe(1);
    expect(ran.out).toMatch(/perry-1[\s\S]*perry-3/);
    expect(ran.out).not.toContain('perry-2');
    expect(ran.err).toMatch(/^Nothing was dropped\. 2 runs would lose \d+ readings for good.*say --yes/);
    expect(run('perry-1').thinned).toBe(false);
  });

  it('wants to know which runs, and a date that is one', async () => {
    expect((await runLine(`thin ${data}`)).code).toBe(2);
    expect((await runLine(`thin --before 2026-05-30 --run perry-1 ${data}`)).code).toBe(2);
    expect((await runLine(`thin --before may ${data} --yes`)).err).toContain('is no date');
    expect((await runLine(`thin --run perry-2 ${data} --yes`)).err).toContain('still open');
    expect((await runLine(`thin --before 2020-01-01 ${data}`)).out).toBe('No run has readings to drop.\n');
  });

  it('drops readings and nothing else: decisions, report and chain stay, and the run says what it has lost', async () => {
    const before = run('perry-1');
    const decisions = record.use((journal) => [...journal.readDecisions('perry-1')], true);
    await runLine(`report perry-1 --out ${file('before.html')} ${data}`);
    const ran = await runLine(`thin --before 2026-05-13 --yes --by Ada --json ${data}`);
    expect(JSON.parse(ran.out)).toMatchObject({
      thinned: true,
      by: 'Ada',
      readings: before.readings,
      runs: [{ run: 'perry-1', readings: before.readings }],
    });
    const after = run('perry-1');
    expect(after).toMatchObject({
      thinned: true,
      replayable: false,
      summary: before.summary,
      readings: before.readings,
    });
    expect(record.use((journal) => [...journal.readDecisions('perry-1')], true).slice(0, -1)).toEqual(decisions);
    expect(record.use((journal) => good(journal.verify('perry-1')), true)).toMatchObject({
      kind: 'whole',
      thinned: true,
    });

    expect((await runLine(`report perry-1 --out ${file('after.html')} ${data}`)).code).toBe(0);
    const [was, is] = ['before.html', 'after.html'].map((name) => readFileSync(file(name), 'utf8'));
    const courseOf = (html = '') => /<svg class="course"[\s\S]*?<\/svg>/.exec(html)?.[0];
    expect(courseOf(is)).toBe(courseOf(was));
    expect(is).toContain('it can no longer be replayed');
    expect(is).toMatch(/readings thinned by Ada, /);
    expect(was).not.toContain('can no longer be replayed');
  });

  it('keeps the course over the share of alcohol first, so that a thinned run is still compared', async () => {
    const compared = await runLine(`compare perry-1 perry-3 ${data}`);
    expect(compared).toMatchObject({ code: 0, err: '' });
    expect(compared.out).toMatch(/^perry-3 beside perry-1/);
  });

  it('leaves a run that replay and the log refuse with a reason, and everything else can still be exported', async () => {
    for (const line of [`replay --run perry-1 ${data}`, `export perry-1 ${data}`]) {
      const refused = await runLine(line);
      expect(refused).toMatchObject({ code: 1, out: '' });
      expect(refused.err).toMatch(/thinned or lost|were dropped/);
    }
    const all = await runLine(`export perry-1 --to ${file('out')} ${data}`);
    expect(all.code).toBe(0);
    expect(existsSync(file('out/perry-1.log.csv'))).toBe(false);
    expect(JSON.parse(readFileSync(file('out/perry-1.run.json'), 'utf8'))).toMatchObject({ inputs: null });
    expect((await runLine(`runs ${data}`)).out).toMatch(/perry-1 .*thinned/);
    expect((await runLine(`runs perry-1 --verify ${data}`)).out).toContain('readings were thinned on purpose');
  });

  it('has nothing more to drop from a run that was thinned', async () => {
    expect((await runLine(`thin --run perry-1 --yes ${data}`)).out).toMatch(/^0 runs thinned/);
  });
});
