import { type ComparedRun, type Comparison, compareRuns, controlChart, sayComparison } from '../../lib/compare';
import { type Problem, problem } from '../../lib/problems';
import { english, sayName } from '../../lib/words';
import type { RunSummary } from '../host/summary';
import { comparedSheet } from '../page';
import { comparedRun, fractionsOf } from '../report';
import type { Journal, Stored } from '../store';
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
import { failStore, withRecord } from './record-options';
import { table } from './table';

const help = `middlecut compare REFERENCE RUN [GOOD-RUN…] [--data FOLDER]
middlecut compare --trend --recipe NAME [--still ID] [--baseline N]

Compares a run with the run its recipe came from, on the axis of the charge's alcohol come over and not of time: where
it leaves the envelope, how the fractions differ a litre of alcohol charged, and the likely reasons. Further good runs
widen the envelope. What was measured by hand after a run (middlecut runs) goes before what the engine counted. The course of
a run is kept when it ends, so it can be compared even when its readings are thinned; where the daemon was restarted
within the run it is folded from the readings the first time, which takes some seconds. A run made by hand is named by its
jar sheet (middlecut jars import).

With --trend it draws the hearts of all finished runs of a recipe, volume and strength, as control charts: limits from
the moving range, signals by the Western Electric rules. A signal says look, not what.

  --trend         many runs of one recipe, the oldest first
  --recipe NAME   its name
  --still ID      of one still only
  --baseline N    limits from the first N runs; all unless given
  --data FOLDER   where the record lies (middlecut-data)
  --json          the result as JSON
`;

const spec = {
  trend: { type: 'boolean' },
  recipe: { type: 'string' },
  still: { type: 'string' },
  baseline: { type: 'string' },
  data: { type: 'string' },
} as const;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'compare', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  if (flagOf(options, 'trend')) return trend(options, json, io);
  const [reference, other, ...others] = options.positionals;
  if (reference === undefined || other === undefined)
    return misunderstood(io, 'compare', 'name two runs, or --trend with --recipe; middlecut runs lists them.');
  return withRecord(options, 'write', io, json, (journal) => {
    const found: ComparedRun[] = [];
    for (const id of [reference, other, ...others]) {
      const byHand = comparedSheet(journal, id);
      const one = byHand === null ? comparedRun(journal, id) : ({ kind: 'ok', value: byHand } as const);
      if (one.kind === 'failed') return failStore(io, one.failure, json);
      found.push(one.value);
    }
    const isPot = potOf(journal, reference) || potOf(journal, other);
    const [first, second, ...rest] = found;
    const comparison = compareRuns(first!, second!, { others: rest, isPot });
    io.out(json ? `${JSON.stringify(plain(comparison), null, 2)}\n` : show(comparison));
    return 0;
  });
}

function potOf(journal: Journal, runId: string): boolean {
  const detail = journal.run(runId);
  return detail.kind === 'ok' && detail.value.plant.still.kind === 'pot';
}

function plain({ reference, run: other, departures, fractions, causes, findings }: Comparison): object {
  return { reference, run: other, departures, fractions, causes, said: findings.map((one) => sayComparison(one)) };
}

function show({ reference, run: other, fractions, findings }: Comparison): string {
  const rows = fractions.map((one) => [
    sayName(one.fraction, english),
    one.reference === null ? '–' : one.reference.volumeL.toFixed(2),
    one.run === null ? '–' : one.run.volumeL.toFixed(2),
    percentOf(one.volumeByPercent),
    strengthOf(one.reference?.strengthAbv ?? null),
    strengthOf(one.run?.strengthAbv ?? null),
    one.shareOfChargePercent === null ? '–' : one.shareOfChargePercent.reference.toFixed(1),
    one.shareOfChargePercent === null ? '–' : one.shareOfChargePercent.run.toFixed(1),
  ]);
  const head = [
    'fraction',
    'L then',
    'L now',
    'a litre charged',
    '% vol then',
    '% vol now',
    'share % then',
    'share % now',
  ];
  const said = findings.map((one) => sayComparison(one));
  return `${other} beside ${reference}\n\n${table(head, rows)}\n\n${said.join('\n')}\n`;
}

function percentOf(value: number | null): string {
  return value === null ? '–' : `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(1)} %`;
}

function strengthOf(strengthAbv: number | null): string {
  return strengthAbv === null ? '–' : (100 * strengthAbv).toFixed(1);
}

/** Hearts of one finished run. */
interface TrendRun {
  readonly run: string;
  readonly startedAt: string;
  readonly volumePerAlcohol: number;
  readonly strengthVolPercent: number;
}

function trend(options: Options, json: boolean, io: Io): number {
  const problems: Problem[] = [];
  const recipe = textOf(options, 'recipe');
  if (recipe === undefined) problems.push(problem('--recipe', undefined, 'is missing', 'Name the recipe'));
  const baseline = numberOf(options, 'baseline', problems, [2, 10_000]);
  if (problems.length > 0 || recipe === undefined) return fail(io, problems, json);
  return withRecord(options, 'read', io, json, (journal) => {
    const found = trendRuns(journal, recipe, textOf(options, 'still'));
    if (found.kind === 'failed') return failStore(io, found.failure, json);
    const runs = found.value;
    const charts = {
      volumePerAlcohol: controlChart(
        runs.map((one) => one.volumePerAlcohol),
        baseline ?? runs.length,
      ),
      strengthVolPercent: controlChart(
        runs.map((one) => one.strengthVolPercent),
        baseline ?? runs.length,
      ),
    };
    if (charts.volumePerAlcohol === null || charts.strengthVolPercent === null) {
      const message = `has ${runs.length} finished runs with hearts and a charge`;
      return fail(io, [problem('--recipe', recipe, message, 'A trend needs two at least')], json);
    }
    if (json) io.out(`${JSON.stringify({ recipe, runs, charts }, null, 2)}\n`);
    else io.out(showTrend(recipe, runs, [charts.volumePerAlcohol, charts.strengthVolPercent]));
    return 0;
  });
}

/** Most runs of a trend: twenty years of weekly runs. */
const mostRuns = 1040;

/** Finished runs of a recipe, the oldest first; from the list of runs and what was measured, without a reading touched. */
function trendRuns(journal: Journal, recipe: string, still: string | undefined): Stored<readonly TrendRun[]> {
  const listed = journal.runs({ recipe, open: false, limit: mostRuns, ...(still === undefined ? {} : { still }) });
  if (listed.kind === 'failed') return listed;
  const runs = listed.value.flatMap((entry): TrendRun[] => {
    const summary = entry.summary as RunSummary | null;
    const chargeAlcoholL = summary?.chargeAlcoholL ?? null;
    const hearts = fractionsOf(journal, entry.runId, summary).find((one) => one.fraction === 'hearts');
    if (chargeAlcoholL === null || !(chargeAlcoholL > 0) || hearts === undefined || hearts.strengthAbv === null)
      return [];
    return [
      {
        run: entry.runId,
        startedAt: new Date(entry.startedAtMs).toISOString(),
        volumePerAlcohol: hearts.volumeL / chargeAlcoholL,
        strengthVolPercent: 100 * hearts.strengthAbv,
      },
    ];
  });
  return { kind: 'ok', value: runs.sort((a, b) => a.startedAt.localeCompare(b.startedAt)) };
}

type Chart = NonNullable<ReturnType<typeof controlChart>>;

function showTrend(recipe: string, runs: readonly TrendRun[], [volume, strength]: readonly [Chart, Chart]): string {
  const rows = runs.map((one, index) => [
    one.run,
    one.startedAt.slice(0, 10),
    one.volumePerAlcohol.toFixed(3),
    strip(volume, index),
    one.strengthVolPercent.toFixed(2),
    strip(strength, index),
    [...volume.points[index]!.signals, ...strength.points[index]!.signals.map((one) => `strength ${one}`)]
      .map((signal) => signal.replaceAll('-', ' '))
      .join('; '),
  ]);
  const limits = (name: string, chart: Chart, places: number) =>
    `${name}: ${chart.centre.toFixed(places)}, limits ${chart.lower.toFixed(places)} to ${chart.upper.toFixed(places)} from ${chart.baseline} runs${chart.provisional ? ' (provisional)' : ''}${chart.stable ? '' : '; look at the signals'}`;
  return [
    `Hearts of ${runs.length} runs of ${recipe}`,
    '',
    table(['run', 'day', 'L a litre', 'lower · upper', '% vol', 'lower · upper', 'signals'], rows, [0, 1, 3, 5, 6]),
    '',
    limits('litres of hearts a litre of alcohol charged', volume, 3),
    limits('strength of hearts, % vol', strength, 2),
    '',
  ].join('\n');
}

const stripWidth = 21;

/** Where a value stands between the limits, as a strip of text; beyond them at its end. */
function strip(chart: Chart, index: number): string {
  const { value } = chart.points[index]!;
  const width = chart.upper - chart.lower;
  const place = width > 0 ? (value - chart.lower) / width : 0.5;
  const at = Math.max(0, Math.min(stripWidth - 1, Math.round(place * (stripWidth - 1))));
  const cells = new Array<string>(stripWidth).fill(' ');
  cells[(stripWidth - 1) / 2] = '│';
  cells[at] = place < 0 || place > 1 ? '×' : '•';
  return `│${cells.join('')}│`;
}

export const compare: Command = { help, run };
