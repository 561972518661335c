import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** What systemd would hear: a datagram socket of our own. Needs socat. */
export interface NotifySocket {
  readonly path: string;
  readonly heard: () => readonly { readonly atMs: number; readonly line: string }[];
  readonly close: () => void;
}

export async function openNotifySocket(): Promise<NotifySocket> {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-notify-'));
  const path = join(folder, 'notify.sock');
  const child: ChildProcess = spawn('socat', ['-u', `UNIX-RECV:${path}`, '-'], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const heard: { atMs: number; line: string }[] = [];
  let rest = '';
  child.stdout?.on('data', (chunk: Buffer) => {
    const lines = (rest + chunk.toString()).split('\n');
    rest = lines.pop() ?? '';
    heard.push(...lines.map((line) => ({ atMs: performance.now(), line })));
  });
  while (!existsSync(path)) await new Promise((resolve) => setTimeout(resolve, 10));
  return {
    path,
    heard: () => heard,
    close: () => {
      child.kill('SIGKILL');
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
