import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { parseLog } from '../../lib/replay/log';
import { phaseChanges, replayLog } from '../../lib/replay/replay';
import { pearSpirit } from '../../simulators/scenarios';
import { root } from '../tools/node-red-host';
import { charge, makeLog, playLog, recipe, still } from '../tools/node-red-log';
import { good } from '../tools/plants';
import { smallPot } from '../tools/small-still';

describe('the run node and `middlecut replay`', () => {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-replay-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('decide the same, event for event, and change phase at the same moments for the same figures', () => {
    const csv = makeLog(12_000);
    const files = { 'log.csv': csv, 'still.json': JSON.stringify(smallPot), 'recipe.json': JSON.stringify(pearSpirit) };
    for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
    const given = ['--recipe', 'recipe.json', '--variant', 'white', '--still', 'still.json', '--log', 'log.csv'];
    const answer = execFileSync(
      process.execPath,
      [join(root, 'dist/daemon/main.js'), 'replay', ...given, '--charge-l', '18', '--charge-percent', '29', '--json'],
      { cwd: folder, encoding: 'utf8' },
    );
    const printed = JSON.parse(answer) as Record<string, unknown>[];
    const log = good(parseLog(csv, Object.keys(still.points)));
    const { plant, events } = good(
      replayLog({ recipe, variant: 'white', still, charge, log, pressureHPa: null, altitudeM: null }),
    );
    const said = playLog(log, plant.still);
    expect(said.length).toBeGreaterThan(15);
    expect(said).toEqual(events);
    const node = phaseChanges(said).map(({ atS, from, to, figures }) => ({
      atS,
      from,
      to,
      ...figures,
    }));
    expect(node.length).toBeGreaterThan(5);
    const figures = printed.map(({ reason: _reason, asked: _asked, ...rest }) => rest);
    expect(figures).toEqual(JSON.parse(JSON.stringify(node)));
  });
});
