import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe } from 'vitest';
import { install, packPackage, root } from './node-red-package';

export { hasPackage, packPackage, root } from './node-red-package';

export type NodeRedVersion = 4 | 5;

/** The same tests on both Node-REDs side by side, since each waits most of the time; the tests of one in their order. */
export function onBothNodeReds(name: string, tests: (version: NodeRedVersion) => void): void {
  describe.concurrent.each<NodeRedVersion>([5, 4])(`${name} on Node-RED %i`, (version) => {
    describe('one after the other', { concurrent: false }, () => tests(version));
  });
}

/** A node of a flow file. */
export type FlowNode = { id: string; type: string; z?: string; wires?: string[][]; [key: string]: unknown };

export async function freePort(): Promise<number> {
  return new Promise((found, failed) => {
    const server = createServer();
    server.once('error', failed);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() => found(typeof address === 'object' && address !== null ? address.port : 0));
    });
  });
}

/** Node-RED also finds what lies beside itself in the checkout: only what is installed on purpose is to be there. */
const besideNodeRed = ['@flowfuse/node-red-dashboard'];

const settings = (port: number, excluded: readonly string[]) => `
const { monitorEventLoopDelay } = require('node:perf_hooks');
const lag = monitorEventLoopDelay({ resolution: 5 });
lag.enable();
/* How long this process stood in the queue for a core that another program had, as Linux counts it. */
const waitedMs = () => {
  try {
    return Number(require('node:fs').readFileSync('/proc/' + process.pid + '/schedstat', 'utf8').split(' ')[1]) / 1e6;
  } catch {
    return 0;
  }
};
module.exports = {
  flowFile: 'flows.json', credentialSecret: false, uiPort: ${port}, uiHost: '127.0.0.1',
  nodesExcludes: ${JSON.stringify(excluded)},
  telemetry: { enabled: false, updateNotification: false },
  editorTheme: { tours: false, palette: { catalogues: [] }, codeEditor: { lib: 'monaco' } },
  externalModules: { palette: { allowInstall: false, allowUpdate: false, allowUpload: false } },
  functionGlobalContext: { lag, waitedMs }, logging: { console: { level: 'info', metrics: false, audit: false } },
};
`;

/** A message a debug node has shown. */
export interface Shown {
  readonly id: string;
  readonly name: string;
  readonly text: string;
  /** Parsed where it is JSON. */
  readonly value: unknown;
}

export interface NodeRedHost {
  readonly url: string;
  readonly userDir: string;
  readonly log: () => string;
  readonly shown: Shown[];
  readonly status: Readonly<Record<string, { readonly text?: string; readonly fill?: string } | undefined>>;
  deploy(flows: readonly FlowNode[], type?: 'full' | 'nodes' | 'flows'): Promise<void>;
  inject(id: string): Promise<void>;
  /** Kills the process without a word, and starts it again on the same user directory. */
  crash(): Promise<void>;
  restart(): Promise<void>;
  stop(): Promise<void>;
}

export interface HostOptions {
  readonly version: NodeRedVersion;
  /** Further packages from the checkout's node_modules, such as a dashboard. */
  readonly alsoInstall?: readonly string[];
}

export async function waitFor<T>(what: string, look: () => T | null | undefined | false, seconds = 60): Promise<T> {
  const end = Date.now() + seconds * 1000;
  for (;;) {
    const found = look();
    if (found !== null && found !== undefined && found !== false) return found;
    if (Date.now() > end) throw new Error(`waited ${seconds} s in vain for ${what}`);
    await new Promise((soon) => setTimeout(soon, 50));
  }
}

const flat = (value: unknown): string => (typeof value === 'string' ? value : JSON.stringify(value));

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return text;
  }
}

/** A real Node-RED with the packed package in an empty user directory. */
export async function startNodeRed(options: HostOptions): Promise<NodeRedHost> {
  const userDir = mkdtempSync(join(tmpdir(), `middlecut-node-red-${options.version}-`));
  install(userDir, packPackage());
  for (const name of options.alsoInstall ?? []) install(userDir, join(root, 'node_modules', name));
  const port = await freePort();
  const url = `http://127.0.0.1:${port}`;
  const excluded = besideNodeRed.filter((name) => options.alsoInstall?.includes(name) !== true);
  writeFileSync(join(userDir, 'settings.js'), settings(port, excluded));
  const main = join(root, 'node_modules', options.version === 4 ? 'node-red-4' : 'node-red', 'red.js');
  let child: ChildProcess;
  let socket: WebSocket;
  let log = '';
  const shown: Shown[] = [];
  const status: Record<string, { text?: string; fill?: string } | undefined> = {};

  function hear(data: unknown): void {
    const messages = parsed(String(data));
    for (const one of (Array.isArray(messages) ? messages : []) as { topic: string; data: Record<string, unknown> }[]) {
      if (one.topic.startsWith('status/')) status[one.topic.slice(7)] = one.data;
      if (one.topic !== 'debug') continue;
      const text = flat(one.data.msg ?? '');
      shown.push({ id: String(one.data.id), name: String(one.data.name ?? ''), text, value: parsed(text) });
    }
  }

  async function start(): Promise<void> {
    const from = log.length;
    child = spawn(process.execPath, [main, '-u', userDir, '-s', join(userDir, 'settings.js')], {
      cwd: userDir,
      env: { ...process.env, NODE_ENV: 'production', LANG: 'en_US.UTF-8' },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    child.stdout?.on('data', (chunk) => (log += String(chunk)));
    child.stderr?.on('data', (chunk) => (log += String(chunk)));
    await waitFor(
      'Node-RED to run',
      () => /Server now running|Started flows/.test(log.slice(from)) && log.slice(from).includes('Server now running'),
    );
    socket = new WebSocket(`ws://127.0.0.1:${port}/comms`);
    socket.addEventListener('message', (event) => hear(event.data));
    await new Promise<void>((open, failed) => {
      socket.addEventListener('open', () => open());
      socket.addEventListener('error', () => failed(new Error('no comms')));
    });
    for (const topic of ['debug', 'status/#']) socket.send(JSON.stringify({ subscribe: topic }));
  }

  async function end(signal: NodeJS.Signals): Promise<void> {
    socket.close();
    if (child.exitCode !== null || child.signalCode !== null) return;
    const gone = new Promise((over) => child.once('exit', over));
    child.kill(signal);
    await gone;
  }

  await start();
  return {
    url,
    userDir,
    log: () => log,
    shown,
    status,
    async deploy(flows, type = 'full') {
      const from = log.length;
      const answer = await fetch(`${url}/flows`, {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'Node-RED-Deployment-Type': type },
        body: JSON.stringify(flows),
      });
      if (!answer.ok) throw new Error(`deploy: ${answer.status} ${await answer.text()}`);
      await waitFor('the flows to start', () => /Started (modified )?(flows|nodes)/.test(log.slice(from)));
    },
    async inject(id) {
      const answer = await fetch(`${url}/inject/${id}`, { method: 'POST' });
      if (!answer.ok) throw new Error(`inject ${id}: ${answer.status}`);
    },
    async crash() {
      await end('SIGKILL');
      await start();
    },
    async restart() {
      await end('SIGTERM');
      await start();
    },
    async stop() {
      await end('SIGTERM');
      rmSync(userDir, { recursive: true, force: true });
    },
  };
}

/** An example of the package, at the speed wanted; `only` what it holds of a type. */
export function readExample(name: string, speed?: number): FlowNode[] {
  const flows = JSON.parse(readFileSync(join(root, 'flows-examples', `${name}.json`), 'utf8')) as FlowNode[];
  return flows.map((node) => (speed !== undefined && node.type === 'middlecut-still' ? { ...node, speed } : node));
}

/** The node of a flow by type and name, or by type and label. */
export function nodeNamed(flows: readonly FlowNode[], type: string, name?: string): FlowNode {
  const found = flows.find(
    (node) => node.type === type && (name === undefined || node.name === name || node.label === name),
  );
  if (found === undefined) throw new Error(`no ${type} ${name ?? ''} in this flow`);
  return found;
}
