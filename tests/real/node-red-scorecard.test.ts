import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { hasPackage, packPackage, root } from '../tools/node-red-host';

/** The scorecard asks the registry for the versions of Node-RED and of the dependencies. */
function reachesRegistry(): boolean {
  const asked = spawnSync('npm', ['view', 'node-red', 'version', '--fetch-retries=0', '--fetch-timeout=10000'], {
    cwd: root,
  });
  if (asked.status !== 0) process.stderr.write('\nSKIPPED: the scorecard of Node-RED needs a package registry\n\n');
  return asked.status === 0;
}

const able = hasPackage('node-red-dev') && reachesRegistry();

describe.skipIf(!able)("Node-RED's scorecard", () => {
  it('is passed in full', () => {
    const tool = join(root, 'node_modules/node-red-dev/package.json');
    const report = join(mkdtempSync(join(tmpdir(), 'middlecut-scorecard-')), 'scorecard.json');
    const said = execFileSync(
      process.execPath,
      [
        '--require',
        join(root, 'tests/tools/node-red-catalogue-stub.cjs'),
        join(root, 'node_modules/node-red-dev/bin/run'),
        'validate',
        '--path',
        packPackage(),
        '--output',
        report,
      ],
      { encoding: 'utf8', env: { ...process.env, SCORECARD_TOOL: tool }, timeout: 110_000 },
    );
    const { package: _, ...tests } = JSON.parse(readFileSync(report, 'utf8')) as Record<string, { test: boolean }>;
    rmSync(dirname(report), { recursive: true });
    const failed = Object.entries(tests).filter(([, one]) => !one.test);
    expect(failed, said).toEqual([]);
    expect(Object.keys(tests)).toEqual(
      expect.arrayContaining(['P01', 'P03', 'P04', 'P05', 'P06', 'P07', 'N01', 'N02', 'D01', 'D02', 'D03']),
    );
  });
});
