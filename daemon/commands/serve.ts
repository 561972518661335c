import { type LoadedConfig, loadConfig, showLocated } from '../config';
import { CannotStart, type Daemon, startDaemon } from '../host/daemon';
import { createLog } from '../host/log';
import { openSystemd } from '../neighbours/systemd';
import { type Command, flagOf, type Io, misunderstood, readOptions, textOf } from './command';

const help = `middlecut serve --config FILE

Runs the stills of a configuration: hears their feeds, applies the recipe, tells their drives, keeps the record. Ends
cleanly on Ctrl-C or SIGTERM: runs are held, heat is told off, everything is written down.

  --config FILE   configuration (YAML), or MIDDLECUT_CONFIG
  --json          log as JSON lines

Exit codes: 0 ended on request, 1 cannot start, 70 a fault of the
program (heat is told off first), 75 another daemon has taken over.
`;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readOptions(args, { config: { type: 'string' } });
  if (read.kind === 'bad') return misunderstood(io, 'serve', read.message);
  const file = textOf(read.options, 'config') ?? io.environment.MIDDLECUT_CONFIG ?? read.options.positionals[0];
  if (file === undefined) return misunderstood(io, 'serve', 'name the configuration with --config.');
  const loaded = loadConfig(file, io.environment);
  const found = loaded.kind === 'ok' ? loaded.warnings : loaded.problems;
  for (const one of found) io.err(`${showLocated(one)}\n`);
  if (loaded.kind === 'bad') return 1;
  return serveConfig(loaded.value, flagOf(read.options, 'json'), io);
}

/** One line for the system's own status: each still with its state and phase, and the broker where it is away. */
function statusOf(daemon: Daemon): string {
  const stills = daemon.stills.map(({ still, run }) => `${still.name}: ${run.state}, ${run.phase}`);
  const link = daemon.linkStatus() === 'online' ? [] : [`broker ${daemon.linkStatus()}`];
  const alarms = daemon.ownAlarms.standing.length === 0 ? [] : [`alarms: ${daemon.ownAlarms.standing.join(', ')}`];
  return [...stills, ...link, ...alarms].join('; ');
}

async function serveConfig(config: LoadedConfig, json: boolean, io: Io): Promise<number> {
  const format = json ? 'json' : config.log.format;
  const log = createLog({ level: config.log.level, format }, io.terminal !== null, io.err);
  let end: (code: number) => void = () => undefined;
  const ended = new Promise<number>((resolve) => {
    end = resolve;
  });
  const systemd = openSystemd({
    environment: io.environment,
    pid: process.pid,
    stills: config.stills.map(({ still }) => still.id),
    nowMs: () => performance.now(),
    complain: (message) => log.warn({}, message),
  });
  let daemon: Daemon | null = null;
  try {
    daemon = await startDaemon({
      config,
      log,
      onLost: (why) => end(why === 'displaced' ? 75 : 70),
      afterTurn: (scanned) => {
        systemd.scanned(scanned.map(({ still }) => still.id));
        if (daemon !== null) systemd.status(statusOf(daemon));
      },
    });
  } catch (error) {
    if (!(error instanceof CannotStart)) throw error;
    log.fatal({}, error.message);
    systemd.close();
    return 1;
  }
  const names = daemon.stills.map(({ still }) => still.name).join(', ');
  log.info(
    { broker: daemon.brokerUrl },
    `serving ${names}; broker ${daemon.brokerUrl}; record in ${config.dataFolder}`,
  );
  if (daemon.pageUrl !== null) log.info({}, `page for the stillroom: ${daemon.pageUrl}`);
  const { fault } = daemon;
  const forget = endOn(() => end(0), fault);
  systemd.ready();
  const code = await ended;
  systemd.stopping(code === 75 ? 'another daemon has taken over' : 'runs are held, heat is told off');
  if (code !== 75) log.info({}, 'ending: runs are held, heat is told off');
  await daemon.stop();
  systemd.close();
  forget();
  return code;
}

/** What ends us: a request, a terminal that is closed, or an error nobody caught, which must not leave the heat on. */
function endOn(request: () => void, fault: (error: unknown) => void): () => void {
  const requests = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;
  const faults = ['uncaughtException', 'unhandledRejection'] as const;
  for (const signal of requests) process.on(signal, request);
  for (const kind of faults) process.on(kind, fault);
  // Nobody reads the log any more: that is no reason to let go of a still.
  for (const output of [process.stdout, process.stderr]) output.on('error', () => undefined);
  return () => {
    for (const signal of requests) process.off(signal, request);
    for (const kind of faults) process.off(kind, fault);
  };
}

export const serve: Command = { help, run };
