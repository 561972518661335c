import { type Problem, problem } from '../../lib/problems';
import { keepCourseOf, oneLine } from '../report';
import type { Journal, RunEntry, Stored } from '../store';
import { type Command, fail, flagOf, type Io, misunderstood, type Options, readOptions, textOf } from './command';
import { dateOption, failStore, whoOf, withRecord } from './record-options';
import { table } from './table';

const help = `middlecut thin --before DATE [--still ID] [--yes]
middlecut thin --run ID [--yes]

Drops the readings of old runs, to make room. Decisions, alarms, orders, fractions and the summaries of each minute
stay, and the course over the share of alcohol is kept first, so listing, report and comparison work as before; the
hash chain stays whole and says who thinned what. A thinned run can never be replayed again: export it first
(middlecut export ID --what run) if that may be wanted. Runs that are open, and records that are broken, are left
alone.

  --before DATE   runs that started before that day, 2026-05-12, local time
  --still ID      of that still only
  --run ID        that run only
  --yes           do it; without it the runs are only listed
  --by NAME       who does it; the user who is logged in if left out
  --data FOLDER   where the record lies (middlecut-data)
  --json          what was dropped, or would be, as JSON

Exit codes: 0 done, or nothing to do; 1 not done: --yes is missing, or something is wrong.
`;

const spec = {
  before: { type: 'string' },
  still: { type: 'string' },
  run: { type: 'string' },
  yes: { type: 'boolean' },
  by: { type: 'string' },
  data: { type: 'string' },
} as const;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'thin', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const problems: Problem[] = [];
  const [before, runId] = [textOf(options, 'before'), textOf(options, 'run')];
  if ((before === undefined) === (runId === undefined) || options.positionals.length > 0) {
    return misunderstood(io, 'thin', 'say which runs: --before DATE, or --run ID.');
  }
  const untilMs = dateOption(options, 'before', 'start', problems);
  if (problems.length > 0) return fail(io, problems, json);
  const isMeant = flagOf(options, 'yes');
  return withRecord(options, isMeant ? 'write' : 'read', io, json, (journal) => {
    const chosen = choose(journal, runId ?? null, untilMs, textOf(options, 'still') ?? null);
    if (chosen.kind === 'failed') return failStore(io, chosen.failure, json);
    return isMeant ? thinAll(journal, chosen.value, options, io) : propose(chosen.value, json, io);
  });
}

/** Ended runs whose readings are still there, oldest first. */
function choose(
  journal: Journal,
  runId: string | null,
  untilMs: number | null,
  still: string | null,
): Stored<readonly RunEntry[]> {
  const found =
    runId === null
      ? journal.runs({ open: false, ...(untilMs === null ? {} : { untilMs }), ...(still === null ? {} : { still }) })
      : one(journal, runId);
  if (found.kind === 'failed') return found;
  return { kind: 'ok', value: found.value.filter(({ thinned, outcome }) => !thinned && outcome !== null).toReversed() };
}

function one(journal: Journal, runId: string): Stored<readonly RunEntry[]> {
  const found = journal.run(runId);
  if (found.kind === 'failed') return found;
  if (found.value.outcome !== null) return { kind: 'ok', value: [found.value] };
  const failure = { kind: 'conflict', message: `the run ${runId} is still open`, remedy: 'End it first' } as const;
  return { kind: 'failed', failure };
}

const counted = ({ length }: readonly unknown[]): string => `${length} ${length === 1 ? 'run' : 'runs'}`;

const plainOf = ({ runId, still, startedAtMs, readings }: RunEntry) => ({
  run: runId,
  still,
  startedAt: new Date(startedAtMs).toISOString(),
  readings,
});

function propose(runs: readonly RunEntry[], json: boolean, io: Io): number {
  const readings = runs.reduce((sum, entry) => sum + entry.readings, 0);
  if (json) io.out(`${JSON.stringify({ thinned: false, readings, runs: runs.map(plainOf) }, null, 2)}\n`);
  else if (runs.length === 0) io.out('No run has readings to drop.\n');
  else {
    const rows = runs.map((entry) => [
      oneLine(entry.runId),
      new Date(entry.startedAtMs).toISOString().slice(0, 10),
      entry.still,
      oneLine(entry.recipe ?? ''),
      String(entry.readings),
    ]);
    io.out(`${table(['run', 'started', 'still', 'recipe', 'readings'], rows, [0, 1, 2, 3])}\n`);
    io.err(
      `Nothing was dropped. ${counted(runs)} would lose ${readings} readings for good, and could never be replayed again; say --yes to do it.\n`,
    );
  }
  return runs.length === 0 ? 0 : 1;
}

function thinAll(journal: Journal, runs: readonly RunEntry[], options: Options, io: Io): number {
  const json = flagOf(options, 'json');
  const by = whoOf(options, io);
  const done: { run: string; readings: number; bytes: number }[] = [];
  const problems: Problem[] = [];
  for (const { runId } of runs) {
    const hindrance = brokenOf(journal, runId) ?? uncomparableOf(journal, runId);
    if (hindrance !== null) {
      problems.push(hindrance);
      continue;
    }
    const thinned = journal.thin(runId, by);
    if (thinned.kind === 'ok') done.push({ run: runId, ...thinned.value });
    else problems.push(problem(runId, undefined, thinned.failure.message, thinned.failure.remedy));
  }
  const [readings, bytes] = [sumOf(done, 'readings'), sumOf(done, 'bytes')];
  if (json) io.out(`${JSON.stringify({ thinned: true, by, readings, bytes, runs: done, problems }, null, 2)}\n`);
  else {
    io.out(`${counted(done)} thinned: ${readings} readings dropped, ${(bytes / 1e6).toFixed(1)} MB freed.\n`);
    if (problems.length > 0) return fail(io, problems, false);
  }
  return problems.length === 0 ? 0 : 1;
}

/** With its readings a broken record would lose what shows that it is broken: it is left alone. */
function brokenOf(journal: Journal, runId: string): Problem | null {
  const verified = journal.verify(runId);
  if (verified.kind === 'failed') return problem(runId, undefined, verified.failure.message, verified.failure.remedy);
  if (verified.value.kind === 'whole') return null;
  const remedy = 'Look into it first: middlecut runs ID --verify';
  return problem(runId, undefined, `its record is broken (${verified.value.message}) and is left as it is`, remedy);
}

/** The course over the share of alcohol is folded from the readings: kept before they go, or they stay. */
function uncomparableOf(journal: Journal, runId: string): Problem | null {
  const kept = keepCourseOf(journal, runId);
  return kept.kind === 'ok' ? null : problem(runId, undefined, kept.failure.message, kept.failure.remedy);
}

function sumOf(done: readonly { readings: number; bytes: number }[], field: 'readings' | 'bytes'): number {
  return done.reduce((sum, one) => sum + one[field], 0);
}

export const thin: Command = { help, run };
