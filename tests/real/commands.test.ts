import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { commands } from '../../daemon/commands';
import { type Running, runMiddlecut } from '../tools/daemon-process';

const folder = mkdtempSync(join(tmpdir(), 'middlecut-commands-'));
const started: Running[] = [];
afterAll(async () => {
  for (const one of started) await one.end('SIGKILL');
  rmSync(folder, { recursive: true, force: true });
});

async function output(...args: string[]): Promise<{ code: number | null; text: string }> {
  const running = runMiddlecut(args, { cwd: folder });
  started.push(running);
  const code = await running.exited;
  return { code, text: running.text() };
}

describe('middlecut as installed', () => {
  it('lists its commands, and each says how it is used', async () => {
    const overview = await output('--help');
    expect(overview.code).toBe(0);
    for (const name of Object.keys(commands)) {
      expect(overview.text).toContain(name);
      const help = await output(name, '--help');
      expect(help.code, name).toBe(0);
      expect(help.text, name).toMatch(new RegExp(`^middlecut ${name}`));
      expect(help.text, name).toContain('--json');
    }
  });

  it('does not understand, and says what it does', async () => {
    expect((await output('distil')).code).toBe(2);
    const unknown = await output('check', '--wings');
    expect(unknown.code).toBe(2);
    expect(unknown.text).toMatch(/Options are --json, --help/);
  });

  it('simulates a run into a log and a record, and replays both to the same phase changes, twice and under another clock', async () => {
    const simulated = await output(
      'simulate',
      '--seed',
      '5',
      '--data',
      'data',
      '--log',
      'run.csv',
      '--every',
      '1',
      '--json',
    );
    expect(simulated.code, simulated.text).toBe(0);
    const { run, phases } = JSON.parse(simulated.text) as { run: string; phases: { to: string; atS: number }[] };
    expect(phases.map((phase) => phase.to)).toEqual([
      'heat-up',
      'foreshots',
      'heads',
      'hearts',
      'tails',
      'finish',
      'cool-down',
    ]);
    const first = await output('replay', '--run', run, '--data', 'data', '--json');
    expect(first.code).toBe(0);
    const told = JSON.parse(first.text) as { comparison: { kind: string }; chain: { kind: string }; phases: unknown };
    expect(told.comparison.kind).toBe('same');
    expect(told.phases).toEqual(phases);
    expect((await output('replay', '--run', run, '--data', 'data', '--json')).text).toBe(first.text);
    const fakeTime = '/usr/lib/x86_64-linux-gnu/faketime/libfaketime.so.1';
    if (existsSync(fakeTime)) {
      const env = { LD_PRELOAD: fakeTime, FAKETIME: '-9000d', FAKETIME_DONT_FAKE_MONOTONIC: '1' };
      const elsewhen = runMiddlecut(['replay', '--run', run, '--data', 'data', '--json'], { cwd: folder, env });
      expect(await elsewhen.exited).toBe(0);
      expect(elsewhen.text()).toBe(first.text);
    } else
      process.stderr.write('\nSKIPPED: the replay under another wall clock needs the Debian package libfaketime\n\n');
  });

  it('runs the demo over MQTT to the end in about a minute and leaves a record that replays', async () => {
    const { code, text } = await output('demo', '--plain', '--seed', '2', '--data', 'demo');
    expect(code, text).toBe(0);
    expect(text).toMatch(/heat-up → foreshots/);
    expect(text).toMatch(/heads → hearts {3}5\.\d % of the charge's alcohol come over, limit 5\.0 % for/);
    expect(text).toMatch(
      /hearts → tails {3}vapour 8\d\.\d °C at or above 8\d\.\d °C \(90\.2 °C at 1013 hPa; air 9\d\d hPa\)/,
    );
    expect(text).toMatch(/fraction +volume L +% vol +pure alcohol L/);
    expect(readdirSync(join(folder, 'demo')).sort()).toEqual(
      expect.arrayContaining(['middlecut.yaml', 'record.sqlite']),
    );
    expect(readFileSync(join(folder, 'demo', 'middlecut.yaml'), 'utf8')).toMatch(/feeds:/);
    const checked = await output('check', join('demo', 'middlecut.yaml'));
    expect(checked.code, checked.text).toBe(0);
    const run = text.match(/--run (\S+)/)?.[1] ?? '';
    const replayed = await output('replay', '--run', run, '--data', 'demo');
    expect(replayed.code, replayed.text).toBe(0);
    expect(replayed.text).toMatch(/All \d+ decisions .* come out the same/);
  }, 150_000);

  it('ends the demo cleanly on Ctrl-C, with the run held and the heat off', async () => {
    const demo = runMiddlecut(['demo', '--plain', '--data', 'broken-off'], { cwd: folder });
    started.push(demo);
    await demo.until(/receiver heads-jar is open/, 30_000);
    demo.child.kill('SIGINT');
    expect(await demo.exited).toBe(130);
    expect(demo.text()).toMatch(/it is held in the record, heat is off/);
  });
});
