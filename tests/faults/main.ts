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
/** Somebody pressed Ctrl-C: what is begun is ended, and the table written of what there is. */
let isInterrupted = false;

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
  /** Work whose process ended over it. */
  readonly lost: string[];
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
  const collected: Collected = { outcomes: [], quiets: [], canaries: [], detectors: [], lost: [] };
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
  const all = waiting.length;
  const startMs = performance.now();
  let nextTellMs = startMs + 20_000;
  const tellTime = (): void => {
    const nowMs = performance.now();
    const done = all - waiting.length;
    if (nowMs < nextTellMs) return;
    nextTellMs = nowMs + 60_000;
    const leftMin = ((nowMs - startMs) / done / 60_000) * waiting.length;
    console.error(`${done} of ${all} pieces dealt out, ${Math.ceil(leftMin)} min left`);
  };
  const lane = (): Promise<void> =>
    new Promise((resolve) => {
      const worker = fork(process.argv[1]!, ['--worker']);
      let doing: Task | undefined;
      const next = (): void => {
        doing = performance.now() < endsAtMs && !isInterrupted ? waiting.shift() : undefined;
        tellTime();
        if (doing === undefined) worker.disconnect();
        else worker.send(doing);
      };
      worker.on('message', (done: Done) => {
        keep(done);
        next();
      });
      worker.on('exit', (code) => {
        if (doing === undefined) return resolve();
        // What it was at is lost and said; the rest goes to a new process.
        collected.lost.push(`${JSON.stringify(doing)}: the process ended with ${code}`);
        console.error(collected.lost.at(-1));
        void lane().then(resolve);
      });
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
  const waiting = tasks();
  // Not once: a launcher such as npm passes the signal on, so that it comes twice.
  process.on('SIGINT', () => {
    isInterrupted = true;
  });
  const all = await runAll(waiting, minutes > 0 ? startMs + minutes * 60_000 : Number.POSITIVE_INFINITY);
  const tookS = (performance.now() - startMs) / 1000;
  const lines = [...report(all, { tookS, workers: Number(values.workers) })];
  if (waiting.length > 0) lines.push('', `Ended early: ${waiting.length} pieces of work were not begun.`);
  if (all.lost.length > 0) lines.push('', 'Lost with their process:', '', ...all.lost.map((line) => `- ${line}`));
  console.log(lines.join('\n'));
  if (values.table !== undefined) writeFileSync(values.table, `${lines.join('\n')}\n`);
  const isWell =
    all.lost.length === 0 &&
    all.outcomes.every(({ failures }) => failures.length === 0) &&
    all.quiets.every(({ trips, end }) => trips.length === 0 && end === 'finished') &&
    all.canaries.every(isSinging);
  process.exitCode = isWell ? 0 : 1;
}

if (values.worker) {
  // A terminal's Ctrl-C comes to every process of the campaign: a worker ends with its parent, not by it.
  process.on('SIGINT', () => {});
  serve();
} else if (values.seed !== undefined) replay(Number(values.seed));
else void main();
