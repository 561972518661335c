import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { until } from './mosquitto';

/** Two serial ports joined by a cable: what goes into one comes out of the other. Needs socat. */
export interface PtyPair {
  /** The device's end. */
  readonly device: string;
  /** The computer's end. */
  readonly port: string;
  /** Pulls the plug: both ends vanish. */
  readonly unplug: () => Promise<void>;
  readonly plugIn: () => Promise<void>;
  readonly remove: () => Promise<void>;
}

export async function joinPtys(): Promise<PtyPair> {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-pty-'));
  const [device, port] = [join(folder, 'device'), join(folder, 'port')];
  let socat: ChildProcess | null = null;
  const plugIn = async () => {
    socat = spawn('socat', [`PTY,link=${device},raw,echo=0`, `PTY,link=${port},raw,echo=0`], { stdio: 'ignore' });
    await until('the ports', () => existsSync(device) && existsSync(port));
  };
  const unplug = async () => {
    const running = socat;
    socat = null;
    if (running === null) return;
    const gone = new Promise<void>((resolve) => running.once('exit', () => resolve()));
    running.kill('SIGTERM');
    await gone;
  };
  await plugIn();
  return {
    device,
    port,
    plugIn,
    unplug,
    remove: async () => {
      await unplug();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
