import type { Problem } from '../../lib/problems';
import { type AfterRun, oneLine, readAllAfterRuns, summaryOf } from '../report';
import {
  type Journal,
  type RunEntry,
  type RunFilter,
  type Stored,
  StoreError,
  type StoreFailure,
  type Verified,
} from '../store';
import { flagOf, numberOf, type Options, textOf } from './command';
import { dateOption } from './record-options';
import { table } from './table';

export interface Listing {
  readonly filter: RunFilter;
  readonly text: string | null;
  readonly limit: number;
}

/** The filter the options ask for. */
export function listingOf(options: Options, problems: Problem[]): Listing {
  const sinceMs = dateOption(options, 'since', 'start', problems);
  const untilMs = dateOption(options, 'until', 'end', problems);
  const limit = numberOf(options, 'limit', problems, [1, 1e6]) ?? Number.POSITIVE_INFINITY;
  const named = ['still', 'recipe', 'kind', 'outcome'] as const;
  const filter: RunFilter = {
    ...Object.fromEntries(
      named.flatMap((name) => (textOf(options, name) === undefined ? [] : [[name, textOf(options, name)]])),
    ),
    ...(flagOf(options, 'open') ? { open: true } : {}),
    ...(sinceMs === null ? {} : { sinceMs }),
    ...(untilMs === null ? {} : { untilMs }),
  };
  return { filter, text: textOf(options, 'text') ?? null, limit };
}

export interface ListedRuns {
  readonly runs: readonly ListedRun[];
  /** Why nothing is shown of what was entered after the runs; null where it is. */
  readonly damage: StoreFailure | null;
}

export interface ListedRun {
  readonly entry: RunEntry;
  readonly after: AfterRun | null;
  readonly verified: Verified | null;
}

/** Runs that fit, latest first. A text is looked for in what the run says and in what was entered after it. */
export function listRuns(journal: Journal, { filter, text, limit }: Listing, verify: boolean): Stored<ListedRuns> {
  const found = journal.runs(filter);
  if (found.kind === 'failed') return found;
  const entered = readAllAfterRuns(journal);
  // What was entered beside the runs may be damaged; the runs are still there.
  const after = entered.kind === 'ok' ? entered.value : new Map<string, AfterRun>();
  const inRun = text === null ? null : journal.runs({ ...filter, text });
  if (inRun?.kind === 'failed') return inRun;
  const fits = inRun === null ? null : new Set(inRun.value.map(({ runId }) => runId));
  const runs = found.value
    .filter(({ runId, still }) => fits === null || fits.has(runId) || saysText(still, after.get(runId), text ?? ''))
    .slice(0, limit)
    .map((entry) => ({
      entry,
      after: after.get(entry.runId) ?? null,
      verified: verify ? verifiedOf(journal, entry) : null,
    }));
  return { kind: 'ok', value: { runs, damage: entered.kind === 'failed' ? entered.failure : null } };
}

function saysText(still: string, after: AfterRun | undefined, text: string): boolean {
  const said = [
    still,
    ...(after?.notes ?? []).flatMap((note) => [note.text, note.by]),
    ...(after?.feints ?? []).map((kept) => kept.where ?? ''),
  ];
  return said.some((one) => one.toLowerCase().includes(text.toLowerCase()));
}

function verifiedOf(journal: Journal, { runId }: RunEntry): Verified {
  const verified = journal.verify(runId);
  if (verified.kind === 'failed') throw new StoreError(verified.failure);
  return verified.value;
}

interface Hearts {
  readonly volumeL: number | null;
  readonly strengthAbv: number | null;
}

/** Hearts as measured by hand, else as metered or estimated. */
function heartsOf({ entry, after }: ListedRun): Hearts {
  const during = summaryOf(entry.summary)?.fractions.find(({ fraction }) => fraction === 'hearts');
  const measured = after?.measured.hearts;
  const volumeL = measured?.volumeL ?? during?.volumeL ?? null;
  return { volumeL: volumeL === 0 ? null : volumeL, strengthAbv: measured?.strengthAbv ?? during?.strengthAbv ?? null };
}

/** A run of the list, for JSON. */
export function plainListed(one: ListedRun) {
  const { entry, after, verified } = one;
  const { runId, startedAtMs, endedAtMs, summary, ...rest } = entry;
  const { volumeL, strengthAbv } = heartsOf(one);
  return {
    run: runId,
    ...rest,
    startedAt: new Date(startedAtMs).toISOString(),
    endedAt: endedAtMs === null ? null : new Date(endedAtMs).toISOString(),
    hearts: volumeL === null ? null : { volumeL, strengthAbv, measured: after?.measured.hearts !== undefined },
    notes: after?.notes.length ?? 0,
    ...(verified === null ? {} : { verified }),
  };
}

const dash = '–';

function remarksOf({ entry, after, verified }: ListedRun): string {
  const { hearts } = after?.measured ?? {};
  return [
    hearts === undefined ? '' : 'measured',
    entry.thinned ? 'thinned' : '',
    entry.lost ? 'readings lost' : '',
    entry.damaged ? 'SUMMARY DAMAGED' : '',
    verified === null ? '' : verified.kind === 'whole' ? 'record whole' : `RECORD BROKEN at link ${verified.link}`,
  ]
    .filter((remark) => remark !== '')
    .join(', ');
}

/** The list as a table. */
export function showListed(runs: readonly ListedRun[]): string {
  if (runs.length === 0) return 'No run in the record fits.\n';
  const rows = runs.map((one) => {
    const { entry } = one;
    const { volumeL, strengthAbv } = heartsOf(one);
    return [
      oneLine(entry.runId),
      new Date(entry.startedAtMs).toISOString().slice(0, 16).replace('T', ' '),
      entry.still,
      oneLine(`${entry.recipe ?? dash}${entry.variant === null ? '' : ` (${entry.variant})`}`),
      oneLine(entry.outcome ?? 'open'),
      volumeL === null ? dash : volumeL.toFixed(2),
      strengthAbv === null || volumeL === null ? dash : (100 * strengthAbv).toFixed(1),
      remarksOf(one),
    ];
  });
  const head = ['run', 'started (UTC)', 'still', 'recipe', 'outcome', 'hearts L', '% vol', ''];
  return `${table(head, rows, [0, 1, 2, 3, 4, 7])}\n${runs.length} ${runs.length === 1 ? 'run' : 'runs'}\n`;
}

/** Feints that wait for a later charge, over all runs. */
export function keptFeints(all: ReadonlyMap<string, AfterRun>) {
  return Array.from(all, ([run, { feints }]) => feints.map((kept, index) => ({ run, number: index + 1, ...kept })))
    .flat()
    .filter(({ usedIn }) => usedIn === undefined)
    .map((kept) => ({ ...kept, alcoholL: kept.volumeL * kept.strengthAbv }));
}

export function showFeints(feints: ReturnType<typeof keptFeints>): string {
  if (feints.length === 0) return 'No feints are kept for a later charge.\n';
  const rows = feints.map(({ run, number, fractions, volumeL, strengthAbv, alcoholL, where }) => [
    oneLine(run),
    String(number),
    fractions.join(', '),
    volumeL.toFixed(2),
    (100 * strengthAbv).toFixed(1),
    alcoholL.toFixed(2),
    oneLine(where ?? ''),
  ]);
  const together = feints.reduce((sum, { alcoholL }) => sum + alcoholL, 0);
  rows.push(['together', '', '', '', '', together.toFixed(2), '']);
  return `${table(['run', 'no.', 'fractions', 'volume L', '% vol', 'pure alcohol L', 'where'], rows, [0, 2, 6])}\n`;
}
