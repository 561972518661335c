import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { TestContext } from 'vitest';
import { engine } from '../../daemon/host/restore';
import { type Journal, openJournal, replayRun, valueOrThrow } from '../../daemon/store';
import { type Running, runMiddlecut } from './daemon-process';
import { startMosquitto } from './mosquitto';
import { openStillroom, type Stillroom, type StillroomOptions, writeStillroom } from './stillroom';

/** A daemon with a stillroom around it, for tests that take away what it stands on. */
export interface LiveRun {
  readonly room: Stillroom;
  readonly folder: string;
  readonly configFile: string;
  /** The daemon that was started last. */
  readonly daemon: () => Running;
  readonly start: (options?: { env?: NodeJS.ProcessEnv }) => Running;
  /** A run in heads, heated. */
  readonly heat: () => Promise<void>;
  /** Ends the daemon if it lives, and looks into its record. */
  readonly record: <T>(look: (journal: Journal, runId: string) => T) => Promise<T>;
  readonly remove: () => Promise<void>;
}

export interface LiveRunOptions extends Partial<Omit<StillroomOptions, 'folder'>> {
  /** Where the devices find the broker. */
  readonly url: string;
  readonly folder?: string;
  /** Runs the command line of the daemon elsewhere than here. */
  readonly runs?: typeof runMiddlecut;
  readonly login?: { readonly username: string; readonly password: string };
}

export const wait = (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms));

export async function openLiveRun(options: LiveRunOptions): Promise<LiveRun> {
  const { url, speed = 1, deadManS = 30, id = 'test-pot', login } = options;
  const folder = options.folder ?? mkdtempSync(join(tmpdir(), 'middlecut-live-'));
  const brokerUrl = options.brokerUrl === undefined ? url : options.brokerUrl;
  const configFile = writeStillroom({ ...options, brokerUrl, folder });
  const room = await openStillroom({
    url,
    id,
    deadManMs: (deadManS * 1000) / speed,
    ...(login === undefined ? {} : { login }),
  });
  room.probes.airHPa = 961;
  const daemons: Running[] = [];
  const current = () => {
    const last = daemons.at(-1);
    if (last === undefined) throw new Error('no daemon was started');
    return last;
  };
  const end = () => Promise.all(daemons.map((daemon) => daemon.end('SIGKILL')));
  return {
    room,
    folder,
    configFile,
    daemon: current,
    start: (more = {}) => {
      const daemon = (options.runs ?? runMiddlecut)(['serve', '--config', configFile], more);
      daemons.push(daemon);
      return daemon;
    },
    async heat() {
      await room.until('the still is there', () => room.state() !== null, 20_000);
      room.probes.vapourC = 78.5;
      await room.until('the probe is heard', () => room.heard.some(({ text }) => text.includes('"value":78.')));
      await room.attend();
      const started = await room.order({ order: 'start', chargeL: 50, chargeVolPercent: 29 });
      if (!started.accepted) throw new Error(`not started: ${started.why.join('; ')}`);
      await room.until('heat-up', () => room.state()?.phase === 'heat-up');
      const cut = await room.order({ order: 'cut' });
      if (!cut.accepted) throw new Error(`not cut: ${cut.why.join('; ')}`);
      await room.until('heads, heated', () => room.state()?.phase === 'heads' && room.heater.isOn, 20_000);
      await room.until('the receiver is open', () => room.state()?.receiver === 'heads', 20_000);
    },
    async record(look) {
      await end();
      const journal = valueOrThrow(
        openJournal(join(folder, 'data', 'record.sqlite'), { readOnly: true, check: 'full' }),
      );
      try {
        const [run] = valueOrThrow(journal.runs());
        return look(journal, run?.runId ?? '');
      } finally {
        journal.close();
      }
    },
    async remove() {
      await end();
      await room.close();
      if (options.folder === undefined) rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** What is said of a record that is whole and comes out the same. */
export const sameAgain = (journal: Journal, runId: string) => ({
  replay: valueOrThrow(replayRun(journal, runId, engine)).kind,
  chain: valueOrThrow(journal.verify(runId)).kind,
});

/** Brokers and daemons of one test, taken down after it: for tests that wait more than they work and so run side by side. */
export function bench({ onTestFinished }: TestContext) {
  const cleanUp: (() => unknown)[] = [];
  onTestFinished(async () => {
    for (const clean of cleanUp.splice(0).reverse()) await clean();
  });
  const broker = async () => {
    const started = await startMosquitto({ lines: ['log_type none'] });
    cleanUp.push(started.remove);
    return { ...started, url: `mqtt://127.0.0.1:${started.port}` };
  };
  const live = async (options: LiveRunOptions): Promise<LiveRun> => {
    const run = await openLiveRun(options);
    cleanUp.push(run.remove);
    return run;
  };
  return {
    cleanUp,
    broker,
    live,
    /** A broker of its own, and a daemon on it with a run in heads, heated. */
    async heated(options: Omit<LiveRunOptions, 'url'>) {
      const { url } = await broker();
      const run = await live({ ...options, url });
      run.start();
      await run.heat();
      return { ...run, url };
    },
  };
}
