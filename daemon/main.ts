#!/usr/bin/env node
import { commands } from './commands';
import type { Io } from './commands/command';

const oldest: readonly [number, number] = [22, 13];

function tooOld(version: string): boolean {
  const [major = 0, minor = 0] = version.replace('v', '').split('.').map(Number);
  return major < oldest[0] || (major === oldest[0] && minor < oldest[1]);
}

function overview(): string {
  const width = Math.max(...Object.keys(commands).map((name) => name.length));
  const lines = Object.entries(commands).map(([name, { summary }]) => `  ${name.padEnd(width)}  ${summary}`);
  return [
    'Middlecut repeats a distiller’s cuts: heads, hearts and tails parted where they were tasted.',
    'Monitoring and basic control. Not a safety system.',
    '',
    'Use: middlecut COMMAND [OPTIONS]; each has --help and --json',
    '',
    ...lines,
    '',
  ].join('\n');
}

const io: Io = {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  terminal: process.stdout.isTTY ? { columns: process.stdout.columns, rows: process.stdout.rows } : null,
  environment: process.env,
};

async function main(args: readonly string[]): Promise<number> {
  if (tooOld(process.version)) {
    io.err(`Middlecut needs Node ${oldest.join('.')} or newer for its record; this is ${process.version}.\n`);
    io.err('In a checkout, npm ci installs Node 24 for the npm scripts.\n');
    return 1;
  }
  const [name, ...rest] = args;
  if (name === undefined || name === '--help' || name === '-h' || name === 'help') {
    io.out(overview());
    return name === undefined ? 2 : 0;
  }
  const entry = commands[name];
  if (entry === undefined) {
    io.err(`middlecut: there is no command "${name}".\n\n${overview()}`);
    return 2;
  }
  const command = await entry.load();
  if (rest.includes('--help') || rest.includes('-h')) {
    io.out(command.help);
    return 0;
  }
  return command.run(rest, io);
}

// A reader that goes away (head, less) is no error of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

main(process.argv.slice(2)).then(
  (code) => {
    process.exitCode = code;
  },
  (error: unknown) => {
    io.err(`middlecut: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`);
    process.exitCode = 70;
  },
);
