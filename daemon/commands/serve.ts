import { type LoadedConfig, loadConfig, showLocated } from '../config';
import { CannotStart, type Daemon, startDaemon } from '../host/daemon';
import { createLog } from '../host/log';
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

async function serveConfig(config: LoadedConfig, json: boolean, io: Io): Promise<number> {
  const format = json ? 'json' : config.log.format;
  const log = createLog({ level: config.log.level, format }, io.terminal !== null, io.err);
  let end: (code: number) => void = () => undefined;
  const ended = new Promise<number>((resolve) => {
    end = resolve;
  });
  let daemon: Daemon;
  try {
    daemon = await startDaemon({ config, log, onLost: (why) => end(why === 'displaced' ? 75 : 70) });
  } catch (error) {
    const message = error instanceof CannotStart || isAddressInUse(error) ? (error as Error).message : null;
    if (message === null) throw error;
    log.fatal({}, message);
    return 1;
  }
  const names = daemon.stills.map(({ still }) => still.name).join(', ');
  log.info(
    { broker: daemon.brokerUrl },
    `serving ${names}; broker ${daemon.brokerUrl}; record in ${config.dataFolder}`,
  );
  if (daemon.pageUrl !== null) log.info({}, `page for the stillroom: ${daemon.pageUrl}`);
  const stop = (): void => end(0);
  process.once('SIGINT', stop);
  process.once('SIGTERM', stop);
  const code = await ended;
  log.info({}, 'ending: runs are held, heat is told off');
  await daemon.stop();
  return code;
}

function isAddressInUse(error: unknown): boolean {
  return error instanceof Error && 'code' in error && error.code === 'EADDRINUSE';
}

export const serve: Command = { help, run };
