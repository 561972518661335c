import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { freshRun } from '../../lib/engine/fresh';
import { scan } from '../../lib/engine/scan';
import type { Event, Input, Plant, Run } from '../../lib/engine/types';
import { type Problem, problem } from '../../lib/problems';
import { phaseChanges } from '../../lib/replay/replay';
import { english, sayReason } from '../../lib/words';
import { readDocumentFile } from '../config';
import { journalFile } from '../host/daemon';
import { summarise } from '../host/summary';
import { openJournal, type StoreFailure } from '../store';
import {
  type Command,
  fail,
  flagOf,
  type Io,
  misunderstood,
  numberOf,
  type Options,
  readOptions,
  textOf,
} from './command';
import { showSummary } from './demo-view';
import { plain } from './phase-rows';
import { type Simulated, simulateInStillhouse } from './stillhouse';
import { clock } from './table';

const help = `middlecut simulate [OPTIONS]

Simulates a whole run in virtual time with the real engine: a still, a recipe and a charge in; a log as CSV and a record
out. The log can be replayed (middlecut replay --log), the record too (--run). Minor compounds are predictions.

  --scenario NAME    demo, pot-spirit (usual), column-spirit, pot-stripping
  --still FILE       still document instead of the scenario's
  --recipe FILE      recipe instead of the scenario's
  --variant NAME     variant of the recipe
  --charge-l L       volume of the charge
  --charge-percent P its strength, % vol
  --altitude M       height of the site
  --seed N           weather, noise and all other chance (1)
  --log FILE         where the log goes (simulated.csv), - for standard output
  --data FOLDER      where the record goes (middlecut-data)
  --every S          seconds between the rows of the log (5)
  --json             the result as JSON
`;

/** What is to be simulated, the same for simulate and rehearse. */
export const siteOptions = {
  scenario: { type: 'string' },
  still: { type: 'string' },
  recipe: { type: 'string' },
  variant: { type: 'string' },
  'charge-l': { type: 'string' },
  'charge-percent': { type: 'string' },
  altitude: { type: 'string' },
  seed: { type: 'string' },
} as const;

const spec = {
  ...siteOptions,
  log: { type: 'string' },
  data: { type: 'string' },
  every: { type: 'string' },
} as const;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'simulate', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const problems: Problem[] = [];
  const request = requestOf(options, problems);
  if (problems.length > 0) return fail(io, problems, json);
  const folder = textOf(options, 'data') ?? 'middlecut-data';
  const record = openRecord(folder);
  if (record.kind === 'failed') return fail(io, [recordProblem(record.failure)], json);
  const journal = record.value;
  try {
    const recorder = recorderFor(journal);
    const simulated = await simulateInStillhouse(request, recorder.hear);
    if ('problems' in simulated) return fail(io, simulated.problems, json);
    const kept = recorder.end();
    if (kept.kind === 'failed') return fail(io, [recordProblem(kept.failure)], json);
    const log = textOf(options, 'log') ?? 'simulated.csv';
    if (log === '-') io.out(simulated.csv);
    else writeFileSync(log, simulated.csv);
    tell({ simulated, kept, log, folder, json, io });
    return 0;
  } finally {
    journal.close();
  }
}

/** The request to the simulated stillhouse that the options make. */
export function requestOf(options: Options, problems: Problem[]): object {
  const volumeL = numberOf(options, 'charge-l', problems, [0.1, 1e6]);
  const percent = numberOf(options, 'charge-percent', problems, [0.1, 97]);
  const altitudeM = numberOf(options, 'altitude', problems, [-400, 5500]);
  const document = (name: string) => {
    const file = textOf(options, name);
    if (file === undefined) return {};
    const read = readDocumentFile(file);
    if (read.kind === 'ok') return { [name]: read.document };
    problems.push(...read.problems);
    return {};
  };
  const variant = textOf(options, 'variant');
  return {
    scenario: textOf(options, 'scenario') ?? 'pot-spirit',
    ...document('still'),
    ...document('recipe'),
    ...(variant === undefined ? {} : { variant }),
    seed: numberOf(options, 'seed', problems, [0, 1e9]) ?? 1,
    charge: {
      ...(volumeL === null ? {} : { volumeL }),
      ...(percent === null ? {} : { strengthAbv: percent / 100 }),
    },
    ...(altitudeM === null ? {} : { altitudeM }),
    logEveryS: numberOf(options, 'every', problems, [1, 3600]) ?? 5,
    inputs: true,
  };
}

function openRecord(folder: string): ReturnType<typeof openJournal> {
  mkdirSync(folder, { recursive: true });
  return openJournal(join(folder, journalFile));
}

function recordProblem(failure: StoreFailure): Problem {
  return problem('--data', undefined, failure.message, failure.remedy);
}

type Journal = Extract<ReturnType<typeof openJournal>, { kind: 'ok' }>['value'];
type Kept =
  | {
      readonly kind: 'ok';
      readonly runId: string;
      readonly plant: Plant;
      readonly run: Run;
      readonly events: readonly Event[];
    }
  | { readonly kind: 'failed'; readonly failure: StoreFailure };

/** Folds the inputs as they come and writes them down as a run of their own. */
function recorderFor(journal: Journal): {
  hear(line: { readonly plant?: Plant; readonly input?: Input }): void;
  end(): Kept;
} {
  const events: Event[] = [];
  let plant: Plant | null = null;
  let current: Run = freshRun(0);
  let runId = '';
  let failure: StoreFailure | null = null;
  return {
    hear(line) {
      if (line.plant !== undefined) {
        plant = line.plant;
        const startedAtMs = Date.now();
        runId = `${plant.still.id}-simulated-${startedAtMs.toString(36)}`;
        const begun = journal.beginRun({ runId, plant, initial: current, startedAtMs, about: { simulated: true } });
        if (begun.kind === 'failed') failure = begun.failure;
      }
      if (line.input === undefined || plant === null || failure !== null) return;
      const result = scan(plant, current, line.input);
      current = result.run;
      events.push(...result.events);
      journal.append(runId, line.input, result);
      // Nothing waits for these decisions: written down in portions, not one by one.
      if (journal.waiting().scans > 2000) journal.flush();
    },
    end() {
      if (failure !== null || plant === null) {
        return {
          kind: 'failed',
          failure: failure ?? { kind: 'io', message: 'nothing was simulated', remedy: 'Try again' },
        };
      }
      const ended = journal.endRun(
        runId,
        current.state === 'running' ? 'complete' : current.state,
        summarise(plant, current),
      );
      return ended.kind === 'ok'
        ? { kind: 'ok', runId, plant, run: current, events }
        : { kind: 'failed', failure: ended.failure };
    },
  };
}

interface Telling {
  readonly simulated: Simulated;
  readonly kept: Extract<Kept, { kind: 'ok' }>;
  readonly log: string;
  readonly folder: string;
  readonly json: boolean;
  readonly io: Io;
}

function tell({ simulated, kept, log, folder, json, io }: Telling): void {
  const { runId, plant, run: last, events } = kept;
  const phases = phaseChanges(events);
  const say = log === '-' && !json ? io.err : io.out;
  if (json) {
    const summary = summarise(plant, last);
    const { fractions, truth, balance } = simulated;
    io.out(
      `${JSON.stringify({ run: runId, record: folder, log, summary, simulated: { fractions, truth, balance }, phases: phases.map(plain) }, null, 2)}\n`,
    );
    return;
  }
  for (const change of phases)
    say(`${clock(change.atS)}  ${change.from} → ${change.to}   ${sayReason(change.reason, english)}\n`);
  say(
    `\nAs the engine estimates it:\n\n${showSummary(summarise(plant, last))}\n\nLog ${log}, run ${runId} in ${join(folder, journalFile)}\n`,
  );
}

export const simulate: Command = { help, run };
