// The fault campaign: runs stills into trouble in virtual time, thousands of times, and checks that they are safe throughout and can be
// brought to an end afterwards. From the root: npm run faults -- [--runs 1000] [--hours 60] [--workers 2] [--minutes 0] [--table FILE]
// One run again, told line by line: npm run faults -- --case "coolant lost" --seed 12
import { fork } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { parseArgs } from 'node:util';
import { type Canary, canaryHazards, canaryMadnesses, isSinging } from './canary';
import { type DetectorAlone, detectorTasks } from './detectors';
import { caseNamed, caseOfSeed, drawTrial } from './draw';
import type { Quiet } from './quiet';
import { replayCommand, report } from './report';
import { type Outcome, runTrial } from './run-trial';
import { type Done, serve, type Task } from './worker';

const { values } = parseArgs({
  options: {
    runs: { type: 'string', default: '1000' },
    from: { type: 'string', default: '0' },
    hours: { type: 'string', default: '60' },
    workers: { type: 'string', default: String(Math.min(2, availableParallelism())) },
    minutes: { type: 'string', default: '0' },
    table: { type: 'string' },
    case: { type: 'string' },
    seed: { type: 'string' },
    worker: { type: 'boolean', default: false },
  },
});

/** Seeds that one process takes at once. */
const batchSize = 8;
/** Hours that an undisturbed run lasts, about. */
const hoursEach = 4;

function tasks(): Task[] {
  const from = Number(values.from);
  const seeds = Array.from({ length: Number(values.runs) }, (_, index) => from + index);
  const name = values.case ?? null;
  const trials: Task[] = [];
  for (let index = 0; index < seeds.length; index += batchSize)
    trials.push({ kind: 'trials', name, seeds: seeds.slice(index, index + batchSize) });
  const quiets = Math.ceil(Number(values.hours) / hoursEach);
  const quiet = Array.from({ length: quiets }, (_, index): Task => ({ kind: 'quiet', seed: from + index }));
  const canaries = [...canaryHazards, ...canaryMadnesses].map((what): Task => ({ kind: 'canary', what }));
  const detectors = detectorTasks.map((one): Task => ({ kind: 'detector', ...one }));
  return [...(name === null ? [...canaries, ...detectors] : []), ...quiet, ...trials];
}

interface Collected {
  readonly outcomes: Outcome[];
  readonly quiets: Quiet[];
  readonly canaries: Canary[];
  readonly detectors: DetectorAlone[];
}

/** What failed is said at once, with the command that shows it again. */
function tell(fresh: readonly Outcome[], count: number): void {
  for (const one of fresh) {
    if (one.failures.length > 0) console.error(`${replayCommand(one)}\n  ${one.failures.join('; ')}`);
  }
  if (count % 250 < fresh.length) console.error(`${count} runs`);
}

/** Deals the tasks out to processes and gathers what they bring. */
async function runAll(waiting: Task[], endsAtMs: number): Promise<Collected> {
  const collected: Collected = { outcomes: [], quiets: [], canaries: [], detectors: [] };
  const keep = (done: Done): void => {
    if (done.kind === 'trials') {
      collected.outcomes.push(...done.outcomes);
      tell(done.outcomes, collected.outcomes.length);
    }
    if (done.kind === 'quiet') {
      collected.quiets.push(done.quiet);
      for (const trip of done.quiet.trips)
        console.error(`undisturbed ${done.quiet.type}, seed ${done.quiet.seed}: ${trip}`);
    }
    if (done.kind === 'detector') collected.detectors.push(done.detector);
    if (done.kind === 'canary') collected.canaries.push(done.canary);
  };
  const lane = (): Promise<void> =>
    new Promise((resolve, reject) => {
      const worker = fork(process.argv[1]!, ['--worker']);
      const next = (): void => {
        const task = performance.now() < endsAtMs ? waiting.shift() : undefined;
        if (task === undefined) worker.disconnect();
        else worker.send(task);
      };
      worker.on('message', (done: Done) => {
        keep(done);
        next();
      });
      worker.on('exit', (code) =>
        code === 0 ? resolve() : reject(new Error(`a process of the campaign ended with ${code}`)),
      );
      next();
    });
  await Promise.all(Array.from({ length: Number(values.workers) }, lane));
  collected.outcomes.sort((a, b) => a.seed - b.seed);
  collected.quiets.sort((a, b) => a.seed - b.seed);
  return collected;
}

function replay(seed: number): void {
  const trial = drawTrial(values.case === undefined ? caseOfSeed(seed) : caseNamed(values.case), seed);
  const { type, moment, fromS } = trial;
  console.log(
    `${trial.one.name} on the ${type} still in ${moment.phase}; times from the trouble's beginning at ${fromS} s`,
  );
  for (const plan of trial.plans) console.log('  ', JSON.stringify(plan));
  for (const act of trial.acts) console.log('  ', JSON.stringify(act));
  const outcome = runTrial(trial, { tell: (line) => console.log(line) });
  console.log(outcome);
  process.exitCode = outcome.failures.length > 0 ? 1 : 0;
}

async function main(): Promise<void> {
  const startMs = performance.now();
  const minutes = Number(values.minutes);
  const all = await runAll(tasks(), minutes > 0 ? startMs + minutes * 60_000 : Number.POSITIVE_INFINITY);
  const tookS = (performance.now() - startMs) / 1000;
  const lines = report(all, { tookS, workers: Number(values.workers) });
  console.log(lines.join('\n'));
  if (values.table !== undefined) writeFileSync(values.table, `${lines.join('\n')}\n`);
  const isWell =
    all.outcomes.every(({ failures }) => failures.length === 0) &&
    all.quiets.every(({ trips, end }) => trips.length === 0 && end === 'finished') &&
    all.canaries.every(isSinging);
  process.exitCode = isWell ? 0 : 1;
}

if (values.worker) serve();
else if (values.seed !== undefined) replay(Number(values.seed));
else void main();
