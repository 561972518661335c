import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

function ip(...args: readonly string[]): string | null {
  const run = spawnSync('ip', args, { encoding: 'utf8' });
  return run.status === 0 ? null : `ip ${args.join(' ')}: ${run.stderr}`;
}

function mustIp(...args: readonly string[]): void {
  const trouble = ip(...args);
  if (trouble !== null) throw new Error(trouble);
}

let isAllowed: boolean | null = null;

/** Whether network namespaces can be made here; says loudly when not: it takes root and iproute2. */
export function canCutNetworks(): boolean {
  if (isAllowed !== null) return isAllowed;
  const name = `mc-try-${process.pid}`;
  isAllowed = ip('netns', 'add', name) === null;
  if (isAllowed) ip('netns', 'del', name);
  else
    process.stderr.write(
      '\nSKIPPED: a test of a cut network needs iproute2 and the right to make network namespaces (run it as root)\n\n',
    );
  return isAllowed;
}

/**
 * A network of two hosts with a switch between them, each in a namespace of its own but ours: the cable behind the switch can be pulled
 * without either side noticing by itself.
 */
export interface TestNetwork {
  /** Addresses of the far host, and of ours. */
  readonly farHost: string;
  readonly nearHost: string;
  /** Command line that runs something on the far host. */
  readonly onFar: (command: string, ...args: readonly string[]) => readonly [string, readonly string[]];
  readonly cut: () => void;
  readonly mend: () => void;
  readonly remove: () => void;
}

let networks = 0;

export function makeNetwork(): TestNetwork {
  networks += 1;
  const tag = `${process.pid % 10000}${networks}`;
  const [far, middle] = [`mc-far-${tag}`, `mc-sw-${tag}`];
  const net = `10.${80 + (networks % 100)}.${process.pid % 250}`;
  mustIp('netns', 'add', far);
  mustIp('netns', 'add', middle);
  mustIp('link', 'add', `mcn${tag}`, 'type', 'veth', 'peer', 'name', 'near', 'netns', middle);
  mustIp('-n', middle, 'link', 'add', 'far', 'type', 'veth', 'peer', 'name', 'eth0', 'netns', far);
  mustIp('-n', middle, 'link', 'add', 'switch', 'type', 'bridge');
  for (const port of ['near', 'far']) mustIp('-n', middle, 'link', 'set', port, 'master', 'switch', 'up');
  mustIp('-n', middle, 'link', 'set', 'switch', 'up');
  mustIp('addr', 'add', `${net}.1/24`, 'dev', `mcn${tag}`);
  mustIp('link', 'set', `mcn${tag}`, 'up');
  mustIp('-n', far, 'addr', 'add', `${net}.2/24`, 'dev', 'eth0');
  mustIp('-n', far, 'link', 'set', 'eth0', 'up');
  mustIp('-n', far, 'link', 'set', 'lo', 'up');
  return {
    farHost: `${net}.2`,
    nearHost: `${net}.1`,
    onFar: (command, ...args) => ['ip', ['netns', 'exec', far, command, ...args]],
    // Taken out of the switch, not down: a link that goes down is seen at its other end.
    cut: () => mustIp('-n', middle, 'link', 'set', 'near', 'nomaster'),
    mend: () => mustIp('-n', middle, 'link', 'set', 'near', 'master', 'switch'),
    remove: () => {
      ip('link', 'del', `mcn${tag}`);
      ip('netns', 'del', far);
      ip('netns', 'del', middle);
    },
  };
}

export interface FarBroker {
  readonly port: number;
  readonly stop: () => Promise<void>;
}

function isOpen(host: string, port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect({ host, port });
    socket.once('connect', () => {
      socket.destroy();
      resolve(true);
    });
    socket.once('error', () => resolve(false));
  });
}

/** Mosquitto on the far host. */
export async function startFarMosquitto(
  network: TestNetwork,
  listenerLines: readonly string[] = [],
): Promise<FarBroker> {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-far-'));
  const port = 1883;
  const lines = [
    'user root',
    `listener ${port} 0.0.0.0`,
    ...listenerLines,
    'allow_anonymous true',
    'set_tcp_nodelay true',
    '',
  ];
  writeFileSync(join(folder, 'mosquitto.conf'), lines.join('\n'));
  const [command, args] = network.onFar('mosquitto', '-c', join(folder, 'mosquitto.conf'));
  const child: ChildProcess = spawn(command, args, { stdio: 'ignore' });
  const untilMs = Date.now() + 5000;
  while (!(await isOpen(network.farHost, port))) {
    if (Date.now() > untilMs) throw new Error('mosquitto on the far host does not answer');
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  return {
    port,
    stop: async () => {
      const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
      child.kill('SIGTERM');
      await gone;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
