import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { needs } from '../tools/need';
import {
  hasPackage,
  type NodeRedHost,
  type NodeRedVersion,
  readExample,
  root,
  startNodeRed,
} from '../tools/node-red-host';

const dashboard = '@flowfuse/node-red-dashboard';
const able = needs('chromium') && hasPackage(dashboard);

describe.skipIf(!able).each<NodeRedVersion>([5, 4])('the dashboard example on Node-RED %i', (version) => {
  let host: NodeRedHost;
  let browser: Browser;
  beforeAll(async () => {
    host = await startNodeRed({ version, alsoInstall: [dashboard] });
    await host.deploy(readExample('07-dashboard-of-a-run', 60));
    browser = await chromium.launch({
      executablePath: '/usr/bin/chromium',
      args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage'],
    });
  });
  afterAll(async () => {
    await browser?.close();
    await host?.stop();
  });

  it('shows a run from start to hearts, and takes orders', async () => {
    const page = await browser.newPage({ viewport: { width: 1400, height: 1000 } });
    const complaints: string[] = [];
    page.on('pageerror', (error) => complaints.push(String(error.stack)));
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    await page.goto(`${host.url}/dashboard/still`);
    await page.getByRole('button', { name: 'Start' }).click();
    await page.getByText('heat-up', { exact: true }).waitFor({ timeout: 15_000 });
    await page.getByText('hearts', { exact: true }).waitFor({ timeout: 90_000 });
    await page
      .getByText(/cut at \d+\.\d °C/)
      .first()
      .waitFor();
    await page.waitForTimeout(4000);
    mkdirSync(join(root, '.tmp', 'node-red'), { recursive: true });
    await page.screenshot({ path: join(root, '.tmp', 'node-red', `${version}-dashboard.png`) });
    await page.getByRole('button', { name: 'Hold' }).click();
    await page.getByText('hearts, held').waitFor({ timeout: 15_000 });
    expect(host.log()).not.toMatch(/missing types/i);
    expect(complaints).toEqual([]);
  });
});
