import { readFileSync } from 'node:fs';
import { type Checked, type Problem, problem, showProblem } from '../../lib/problems';
import { checkRecipe } from '../../lib/recipe/check';
import { parseLog } from '../../lib/replay/log';
import { phaseChanges, type Replayed, replayLog } from '../../lib/replay/replay';
import { checkStill } from '../../lib/still/check';
import { english, sayName } from '../../lib/words';
import { readDocumentFile } from '../config';
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
import { plain, showChanges } from './phase-rows';
import { replayRecord } from './replay-record';

const help = `middlecut replay --recipe RECIPE --log LOG.csv [OPTIONS]
middlecut replay --run ID [--data FOLDER]

Runs the engine over a recorded log and prints every phase change: when, at what reading, the threshold here and at the
reference pressure, the air pressure, and why. With --run, does it from the record and compares every decision.

The log is CSV with a header: timeS, vapourTempC, and where there are such points boilerTempC, airPressureHPa,
collectedVolumeL, productFlowLPerH, heatPowerW, … Empty cells are no reading. The first row starts the run; cuts that are
asked are accepted and marked.

  --recipe FILE      recipe (JSON or YAML)
  --variant NAME     variant of the recipe
  --still FILE       still document, for calibrations, ranges and receivers
  --log FILE         log, - for standard input
  --pressure HPA     air pressure at the still, where the log has none (not reduced to sea level)
  --altitude M       or the height above sea level
  --charge-l L       volume of the charge, for cuts by share of alcohol
  --charge-percent P its strength, % vol
  --run ID           replay a run from the record
  --data FOLDER      where the record lies (middlecut-data)
  --json             phase changes as one JSON array
`;

const spec = {
  recipe: { type: 'string' },
  variant: { type: 'string' },
  still: { type: 'string' },
  log: { type: 'string' },
  pressure: { type: 'string' },
  altitude: { type: 'string' },
  'charge-l': { type: 'string' },
  'charge-percent': { type: 'string' },
  run: { type: 'string' },
  data: { type: 'string' },
} as const;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'replay', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const runId = textOf(options, 'run');
  if (runId !== undefined) return replayRecord(runId, textOf(options, 'data') ?? 'middlecut-data', json, io);
  const replayed = fromOptions(options);
  if (replayed.kind === 'bad') return fail(io, replayed.problems, json);
  for (const one of replayed.warnings) io.err(`${showProblem(one)}\n`);
  const changes = phaseChanges(replayed.value.events);
  if (json) io.out(`${JSON.stringify(changes.map(plain), null, 2)}\n`);
  else {
    const ends = sayName(replayed.value.run.phase, english);
    io.out(`${showChanges(changes)}\n${changes.length} phase changes; the log ends in ${ends}.\n`);
  }
  return 0;
}

function fromOptions(options: Options): Checked<Replayed> {
  const problems: Problem[] = [];
  const recipeFile = textOf(options, 'recipe');
  const logFile = textOf(options, 'log');
  if (recipeFile === undefined) problems.push(problem('--recipe', undefined, 'is missing', 'Name the recipe file'));
  if (logFile === undefined) problems.push(problem('--log', undefined, 'is missing', 'Name the log file'));
  const pressureHPa = numberOf(options, 'pressure', problems, [500, 1100]);
  const altitudeM = numberOf(options, 'altitude', problems, [-400, 5500]);
  const volumeL = numberOf(options, 'charge-l', problems, [0.1, 1e6]);
  const percent = numberOf(options, 'charge-percent', problems, [0.1, 100]);
  if ((volumeL === null) !== (percent === null)) {
    problems.push(
      problem('--charge-l', undefined, 'goes with --charge-percent', 'Give both volume and strength of the charge'),
    );
  }
  const recipe = take(recipeFile, checkRecipe, problems);
  const stillFile = textOf(options, 'still');
  const still = stillFile === undefined ? null : take(stillFile, checkStill, problems);
  const text = logFile === undefined ? null : readText(logFile, problems);
  const log = text === null ? null : parseLog(text, still === null ? [] : Object.keys(still.points));
  if (log?.kind === 'bad')
    problems.push(...log.problems.map((one) => ({ ...one, path: `${logFile} ${one.path}`.trim() })));
  if (problems.some((one) => one.severity === 'error') || recipe === null || log === null || log.kind === 'bad') {
    return { kind: 'bad', problems };
  }
  const charge = volumeL === null || percent === null ? null : { volumeL, strengthAbv: percent / 100 };
  const replayed = replayLog({
    recipe,
    variant: textOf(options, 'variant') ?? null,
    still,
    charge,
    log: log.value,
    pressureHPa,
    altitudeM,
  });
  return replayed.kind === 'bad'
    ? replayed
    : { ...replayed, warnings: [...problems, ...log.warnings, ...replayed.warnings] };
}

function readText(file: string, problems: Problem[]): string | null {
  try {
    return readFileSync(file === '-' ? 0 : file, 'utf8');
  } catch (error) {
    const why = (error as NodeJS.ErrnoException).code === 'ENOENT' ? 'is not there' : 'cannot be read';
    problems.push(problem('--log', file, why, 'Name a CSV file'));
    return null;
  }
}

function take<T>(file: string | undefined, check: (document: unknown) => Checked<T>, problems: Problem[]): T | null {
  if (file === undefined) return null;
  const read = readDocumentFile(file);
  if (read.kind === 'bad') {
    problems.push(...read.problems);
    return null;
  }
  const checked = check(read.document);
  const found = checked.kind === 'ok' ? checked.warnings : checked.problems;
  problems.push(...found.map((one) => ({ ...one, path: `${file} ${one.path}`.trim() })));
  return checked.kind === 'ok' ? checked.value : null;
}

export const replay: Command = { help, run };
