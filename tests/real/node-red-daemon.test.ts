import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import {
  freePort,
  type NodeRedHost,
  nodeNamed,
  onBothNodeReds,
  readExample,
  root,
  startNodeRed,
  waitFor,
} from '../tools/node-red-host';

onBothNodeReds('the example of a running daemon', (version) => {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-daemon-'));
  const flows = readExample('09-a-running-daemon');
  let daemon: ChildProcess;
  let host: NodeRedHost;
  let said = '';
  const shownBy = (name: string) => {
    const { id } = nodeNamed(flows, 'debug', name);
    return host.shown.filter((one) => one.id === id).map((one) => one.text);
  };
  const press = (label: string) => host.inject(nodeNamed(flows, 'inject', label).id);

  beforeAll(async () => {
    const port = await freePort();
    daemon = spawn(
      process.execPath,
      [join(root, 'dist/daemon/main.js'), 'demo', '--plain', '--speed', '40', '--port', String(port), '--data', folder],
      { cwd: folder, stdio: ['ignore', 'pipe', 'pipe'] },
    );
    daemon.stdout?.on('data', (chunk) => (said += String(chunk)));
    daemon.stderr?.on('data', (chunk) => (said += String(chunk)));
    nodeNamed(flows, 'mqtt-broker').port = String(port);
    host = await startNodeRed({ version });
    await host.deploy(flows);
  });
  afterAll(async () => {
    await host?.stop();
    daemon?.kill('SIGKILL');
    rmSync(folder, { recursive: true, force: true });
  });

  it('shows the state and the decisions of a run, orders it, and hears the answer', async () => {
    await waitFor('the phase', () => shownBy('phase').includes('heat-up'), 60).catch((error: Error) => {
      throw new Error(`${error.message}\n${said.slice(-1500)}\n${host.log().slice(-800)}`);
    });
    await waitFor('a decision', () => shownBy('decisions').length > 0, 30);
    await press('a note');
    await waitFor('the answer to the note', () => shownBy('answers to orders').length > 0, 15);
    await press('hold');
    await waitFor('the hold', () => shownBy('decisions').some((text) => /held by Node-RED/.test(text)), 15);
    expect(host.log()).not.toMatch(/\[error\]/);
  });
});
