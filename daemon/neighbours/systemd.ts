import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import type { Environment } from '../config/environment';

/**
 * Tells systemd how the daemon stands, where it was started by it; else it does nothing. Source: sd_notify(3), systemd.service(5).
 *
 * Node has no datagram sockets of the local kind: a child process carries the words, socat while the daemon lives, or systemd-notify each time.
 */
export interface Systemd {
  ready(): void;
  /** One line for `systemctl status`. */
  status(line: string): void;
  /** Stills that have just been scanned. The watchdog is fed only once all of them have been, and not more often than it needs. */
  scanned(stills: readonly string[]): void;
  stopping(line: string): void;
  close(): void;
}

const silent: Systemd = {
  ready: () => undefined,
  status: () => undefined,
  scanned: () => undefined,
  stopping: () => undefined,
  close: () => undefined,
};

/** How often the watchdog wants to be fed [ms]; null where there is none or it is not for us. Fed at a quarter of it: half is too late when one is lost. */
export function feedEveryMs(environment: Environment, pid: number): number | null {
  const { WATCHDOG_USEC: micros, WATCHDOG_PID: whose } = environment;
  if (micros === undefined || !/^\d+$/.test(micros) || Number(micros) === 0) return null;
  return whose !== undefined && whose !== String(pid) ? null : Number(micros) / 1000 / 4;
}

/** How words reach the socket of systemd: a path, or a name in the abstract space, written with @. */
interface Carrier {
  readonly send: (words: string) => void;
  readonly close: () => void;
}

function hasProgram(name: string): boolean {
  return spawnSync('/bin/sh', ['-c', `command -v ${name}`], { stdio: 'ignore' }).status === 0;
}

/** One child for as long as the daemon lives; each write is a datagram of its own, or several lines in one, which is as good. */
function bySocat(socket: string): Carrier {
  const address = socket.startsWith('@') ? `ABSTRACT-SENDTO:${socket.slice(1)}` : `UNIX-SENDTO:${socket}`;
  let child: ChildProcess | null = null;
  const start = (): ChildProcess => {
    const started = spawn('socat', ['-u', '-', address], { stdio: ['pipe', 'ignore', 'ignore'] });
    const gone = () => {
      if (child === started) child = null;
    };
    started.once('exit', gone);
    started.once('error', gone);
    started.stdin?.on('error', gone);
    started.unref();
    return started;
  };
  return {
    send: (words) => {
      child ??= start();
      child.stdin?.write(words);
    },
    close: () => {
      child?.stdin?.end();
    },
  };
}

function bySystemdNotify(environment: Environment): Carrier {
  return {
    send: (words) => {
      const child = spawn('systemd-notify', words.trimEnd().split('\n'), {
        stdio: 'ignore',
        env: { PATH: environment.PATH, NOTIFY_SOCKET: environment.NOTIFY_SOCKET },
      });
      child.once('error', () => undefined);
      child.unref();
    },
    close: () => undefined,
  };
}

function carrierFor(environment: Environment, socket: string, complain: (message: string) => void): Carrier | null {
  // Commas and colons would be read as options of socat.
  if (hasProgram('socat') && !/[,:!\s]/.test(socket)) return bySocat(socket);
  if (hasProgram('systemd-notify')) return bySystemdNotify(environment);
  complain('systemd waits for word of us, but neither socat nor systemd-notify is there to carry it: install socat');
  return null;
}

const oneLine = (text: string): string => text.replaceAll(/\s+/g, ' ').slice(0, 200);

export interface SystemdOptions {
  readonly environment: Environment;
  readonly pid: number;
  readonly stills: readonly string[];
  readonly nowMs: () => number;
  readonly complain: (message: string) => void;
}

export function openSystemd({ environment, pid, stills, nowMs, complain }: SystemdOptions): Systemd {
  const socket = environment.NOTIFY_SOCKET;
  const carrier = socket === undefined || socket === '' ? null : carrierFor(environment, socket, complain);
  if (carrier === null) return silent;
  const everyMs = feedEveryMs(environment, pid);
  const due = new Set(stills);
  let fedMs = Number.NEGATIVE_INFINITY;
  let line = '';
  return {
    ready: () => carrier.send(`READY=1\nMAINPID=${pid}\n`),
    status(next) {
      if (next === line) return;
      line = next;
      carrier.send(`STATUS=${oneLine(next)}\n`);
    },
    scanned(scanned) {
      for (const still of scanned) due.delete(still);
      if (everyMs === null || due.size > 0 || nowMs() - fedMs < everyMs) return;
      fedMs = nowMs();
      for (const still of stills) due.add(still);
      carrier.send('WATCHDOG=1\n');
    },
    stopping: (last) => carrier.send(`STOPPING=1\nSTATUS=${oneLine(last)}\n`),
    close: carrier.close,
  };
}
