import { join } from 'node:path';
import { rebuilt } from '../../lib/engine/fresh';
import { scan } from '../../lib/engine/scan';
import type { Event } from '../../lib/engine/types';
import { type Comparison, compareDecisions, type Decision, decisionsOf } from '../../lib/record';
import { phaseChanges } from '../../lib/replay/replay';
import { english, sayReason } from '../../lib/words';
import { type Kept, openJournal, StoreError, type StoreFailure } from '../store';
import type { Io } from './command';
import { clock, plain } from './replay';

export const journalFile = 'record.sqlite';

/** Replays a run from its record, read-only, and compares every decision with what was written down. */
export function replayRecord(runId: string, folder: string, json: boolean, io: Io): number {
  const opened = openJournal(join(folder, journalFile), { readOnly: true });
  if (opened.kind === 'failed') return failed(io, opened.failure, json);
  const journal = opened.value;
  try {
    const found = journal.run(runId);
    if (found.kind === 'failed') return failed(io, found.failure, json);
    const { plant, initial } = found.value;
    const restarts = restartsOf(journal.readDecisions(runId));
    const replayed: Decision[] = [];
    const events: Event[] = [];
    let run = initial;
    let scans = 0;
    for (const input of journal.readInputs(runId)) {
      if (restarts.has(scans)) run = rebuilt(plant, run);
      const result = scan(plant, run, input);
      run = result.run;
      scans += 1;
      replayed.push(...decisionsOf(input, result));
      events.push(...result.events);
    }
    const comparison = compareDecisions(recordedDecisions(journal.readDecisions(runId)), replayed);
    const chain = journal.verify(runId);
    if (json) {
      io.out(
        `${JSON.stringify({ run: runId, comparison, chain, phases: phaseChanges(events).map(plain) }, null, 2)}\n`,
      );
    } else io.out(show(runId, comparison, events));
    return comparison.kind === 'same' ? 0 : 1;
  } catch (error) {
    if (error instanceof StoreError) return failed(io, error.failure, json);
    throw error;
  } finally {
    journal.close();
  }
}

function* recordedDecisions(kept: Iterable<Kept>): Generator<Decision> {
  for (const one of kept) if (one.kind === 'decision') yield one.decision;
}

/** Numbers of the scans before which the daemon was restarted: there the run was rebuilt. */
function restartsOf(kept: Iterable<Kept>): Set<number> {
  const restarts = new Set<number>();
  for (const one of kept) if (one.kind === 'mark' && one.mark.mark === 'continued') restarts.add(one.scan);
  return restarts;
}

function failed(io: Io, failure: StoreFailure, json: boolean): number {
  if (json) io.out(`${JSON.stringify({ failure }, null, 2)}\n`);
  else io.err(`${failure.message}. ${failure.remedy}.\n`);
  return 1;
}

function show(runId: string, comparison: Comparison, events: readonly Event[]): string {
  const phases = phaseChanges(events).map(
    (change) => `  ${clock(change.atS)}  ${change.from} → ${change.to}: ${sayReason(change.reason, english)}`,
  );
  const verdict =
    comparison.kind === 'same'
      ? `All ${comparison.decisions} decisions of run ${runId} come out the same.`
      : `Decision ${comparison.at} of run ${runId} differs.\n  recorded: ${JSON.stringify(comparison.recorded)}\n  replayed: ${JSON.stringify(comparison.replayed)}`;
  return `${phases.join('\n')}\n${verdict}\n`;
}
