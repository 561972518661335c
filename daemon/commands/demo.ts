import { mkdirSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { stringify } from 'yaml';
import { type Problem, problem } from '../../lib/problems';
import { english } from '../../lib/words';
import { loadConfig, showLocated } from '../config';
import { type Daemon, startDaemon } from '../host/daemon';
import { createLog } from '../host/log';
import type { StillHost } from '../host/still-host';
import { summarise } from '../host/summary';
import { type Command, fail, flagOf, type Io, misunderstood, numberOf, readOptions, textOf } from './command';
import { drawView, showDecision, showSummary } from './demo-view';
import { type Described, describeStillhouse, type Stillhouse, sayOrder, startStillhouse } from './stillhouse';

const help = `middlecut demo [OPTIONS]

Runs the orchard still on a simulated charge: an embedded broker, a simulated stillhouse as a process of its own that is
reached over MQTT alone, a recipe, the record. Ctrl-C ends it cleanly.

  --scenario NAME   demo (usual), pot-spirit, column-spirit, pot-stripping; the last three want --speed 60 or less
  --variant NAME    variant of the recipe
  --speed N         times as fast as life (90)
  --seed N          weather, noise and all other chance (1)
  --port N          port of the broker on loopback (any that is free)
  --data FOLDER     where the record goes (middlecut-data/demo-…)
  --plain           no live view: decisions line by line
  --json            at the end the result as JSON
`;

const spec = {
  scenario: { type: 'string' },
  variant: { type: 'string' },
  speed: { type: 'string' },
  seed: { type: 'string' },
  port: { type: 'string' },
  data: { type: 'string' },
  plain: { type: 'boolean' },
} as const;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'demo', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const problems: Problem[] = [];
  const speed = numberOf(options, 'speed', problems, [1, 1000]) ?? 90;
  const seed = numberOf(options, 'seed', problems, [0, 1e9]) ?? 1;
  const port = numberOf(options, 'port', problems, [0, 65535]) ?? 0;
  if (problems.length > 0) return fail(io, problems, json);
  const scenario = textOf(options, 'scenario') ?? 'demo';
  const described = describeStillhouse(scenario);
  if (described === null) {
    return fail(
      io,
      [problem('--scenario', scenario, 'is no scenario', 'Use demo, pot-spirit, column-spirit or pot-stripping')],
      json,
    );
  }
  const folder = resolve(textOf(options, 'data') ?? join('middlecut-data', `demo-${stamp(new Date())}`));
  const file = writeDemo(folder, described, port, speed);
  const loaded = loadConfig(file, {});
  if (loaded.kind === 'bad') {
    for (const one of loaded.problems) io.err(`${showLocated(one)}\n`);
    return 1;
  }
  const view = io.terminal !== null && !flagOf(options, 'plain') && !json ? io.terminal : null;
  const decisions: string[] = [];
  const log = createLog({ level: 'error', format: 'human' }, true, (text) => {
    if (view === null) io.err(text);
    else decisions.push(text.trimEnd());
  });
  let lost: (code: number) => void = () => undefined;
  const ended = new Promise<number>((done) => {
    lost = done;
  });
  let brokerUrl = '';
  let isOver = false;
  const daemon = await startDaemon({
    config: loaded.value,
    log,
    onLost: () => lost(70),
    onEvent: (still, event) => {
      if (isOver) return;
      if (event.kind === 'cut-asked') void sayOrder(brokerUrl, still.still.id, { order: 'cut' });
      if (event.kind === 'state' && event.to === 'held') setTimeout(() => void resume(brokerUrl, still.still.id), 2000);
      const line = showDecision(event, still.run, english);
      if (line === null) return;
      decisions.push(line);
      if (view === null && !json) io.out(`${line}\n`);
    },
  });
  brokerUrl = daemon.brokerUrl;
  const stillhouse = await startStillhouse(scenario, daemon.brokerUrl, speed, seed);
  if (!json) {
    io.out(`Broker ${daemon.brokerUrl}, loopback only; record and documents in ${folder}\n`);
    if (daemon.pageUrl !== null) io.out(`Page for the stillroom: ${daemon.pageUrl}\n`);
    io.out(`Listen along: mosquitto_sub -p ${new URL(daemon.brokerUrl).port} -v -t 'middlecut/#'\n\n`);
  }
  const variant = textOf(options, 'variant') ?? described.variant;
  const code = await carryThrough(daemon, { variant, described, view, decisions, speed, io, ended });
  // What the devices say on their way out is no part of the run.
  isOver = true;
  const truth = await stillhouse.end();
  await finish(daemon, code, truth, folder, json, io);
  return code;
}

interface Carrying {
  readonly variant: string | null;
  readonly described: Described;
  readonly view: NonNullable<Io['terminal']> | null;
  readonly decisions: readonly string[];
  readonly speed: number;
  readonly io: Io;
  readonly ended: Promise<number>;
}

/** Starts the run once the probes are heard, shows it, and ends when nothing more flows or somebody presses Ctrl-C. */
async function carryThrough(daemon: Daemon, carrying: Carrying): Promise<number> {
  const still = daemon.stills[0]!;
  const { io, view } = carrying;
  const order = {
    order: 'start',
    chargeL: carrying.described.charge.volumeL,
    chargeVolPercent: Number((carrying.described.charge.strengthAbv * 100).toFixed(3)),
    ...(carrying.variant === null ? {} : { variant: carrying.variant }),
  };
  let timer: NodeJS.Timeout | undefined;
  let isStarted = false;
  const over = new Promise<number>((done) => {
    process.once('SIGINT', () => done(130));
    process.once('SIGTERM', () => done(143));
    timer = setInterval(() => {
      if (!isStarted && isHeard(still)) {
        isStarted = true;
        void say(daemon, still, order).then((answer) => {
          if (answer === null || answer.accepted) return;
          io.err(`The run was not started: ${answer.why.join('; ')}\n`);
          done(1);
        });
      }
      if (view !== null) draw(daemon, still, carrying);
      if (isStarted && still.run.phase === 'cool-down') done(0);
    }, 100);
  });
  if (view !== null) io.out('\u001b[?25l');
  const code = await Promise.race([over, carrying.ended]);
  clearInterval(timer);
  if (view !== null) {
    draw(daemon, still, carrying);
    io.out('\u001b[?25h\n');
  }
  return code;
}

/** The operator of the demo looks, acknowledges and goes on, as often as it takes. */
async function resume(brokerUrl: string, still: string): Promise<void> {
  await sayOrder(brokerUrl, still, { order: 'acknowledge' });
  const answer = await sayOrder(brokerUrl, still, { order: 'resume' });
  if (answer?.accepted === false) setTimeout(() => void resume(brokerUrl, still), 2000).unref();
}

function isHeard(still: StillHost): boolean {
  const points = Object.entries(still.still.points);
  return points.every(([id, point]) => point.kind === 'attendance' || still.run.image[id]?.quality === 'good');
}

function draw(daemon: Daemon, still: StillHost, { view, decisions, speed, io }: Carrying): void {
  if (view === null) return;
  const columns = process.stdout.columns || view.columns;
  const rows = process.stdout.rows || view.rows;
  const ownAlarms = daemon.ownAlarms.views().map(({ id, text }) => `${id}: ${text}`);
  const shown = { plant: still.plant, run: still.run, runId: still.runId, speed, decisions, ownAlarms };
  const lines = drawView(shown, daemon.saying, columns, rows);
  io.out(`\u001b[H\u001b[2J${lines.join('\n')}`);
}

function say(daemon: Daemon, still: StillHost, order: object) {
  return sayOrder(daemon.brokerUrl, still.still.id, order);
}

async function finish(
  daemon: Daemon,
  code: number,
  truth: Awaited<ReturnType<Stillhouse['end']>>,
  folder: string,
  json: boolean,
  io: Io,
): Promise<void> {
  const still = daemon.stills[0]!;
  const runId = still.runId;
  const summary = summarise(still.plant, still.run);
  daemon.host.flush();
  still.conclude();
  await daemon.stop();
  if (json) {
    io.out(`${JSON.stringify({ run: runId, record: folder, summary, simulated: truth }, null, 2)}\n`);
    return;
  }
  if (code !== 0) io.out('Ended before the run was over: it is held in the record, heat is off.\n');
  io.out(
    `\nWhat came over, ${summary.volumeFrom === 'heat' ? 'estimated from the heat and the vapour' : 'by the meters'}:\n\n${showSummary(summary)}\n`,
  );
  if (truth !== null) io.out(`\nWhat the simulated receivers really hold: ${truth}\n`);
  io.out(`\nRun ${runId ?? '(none)'} is in ${join(folder, 'record.sqlite')}.\n`);
  if (runId !== null) io.out(`See every decision again: npx middlecut replay --run ${runId} --data ${folder}\n`);
}

/** Writes the documents of the demo as a user would write them, so that they can be read and used again. */
function writeDemo(folder: string, described: Described, port: number, speed: number): string {
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'still.yaml'), stringify(described.still));
  writeFileSync(join(folder, 'recipe.yaml'), stringify(described.recipe));
  const config = {
    config: 1,
    data: '.',
    broker: { embedded: { port } },
    page: { port: 0 },
    stills: [{ still: 'still.yaml', recipes: ['recipe.yaml'], ...described.wiring, speed }],
  };
  const file = join(folder, 'middlecut.yaml');
  writeFileSync(file, stringify(config));
  return file;
}

function stamp(date: Date): string {
  return date.toISOString().slice(0, 19).replace(/[-:]/g, '').replace('T', '-');
}

export const demo: Command = { help, run };
