import { join } from 'node:path';
import type { Event } from '../../lib/engine/types';
import type { Comparison } from '../../lib/record';
import { phaseChanges } from '../../lib/replay/replay';
import { english, sayReason } from '../../lib/words';
import { journalFile } from '../host/daemon';
import { engine } from '../host/restore';
import { openJournal, replayRun, rescanRun, type StoreFailure } from '../store';
import type { Io } from './command';
import { plain } from './phase-rows';
import { clock } from './table';

/** Replays a run from its record, read-only, and compares every decision with what was written down. */
export function replayRecord(runId: string, folder: string, json: boolean, io: Io): number {
  const opened = openJournal(join(folder, journalFile), { readOnly: true });
  if (opened.kind === 'failed') return failed(io, opened.failure, json);
  const journal = opened.value;
  try {
    const compared = replayRun(journal, runId, engine);
    if (compared.kind === 'failed') return failed(io, compared.failure, json);
    const chain = journal.verify(runId);
    const events: Event[] = [];
    for (const { result } of rescanRun(journal, runId, engine)) {
      for (const event of result.events) if (event.kind === 'phase') events.push(event);
    }
    const comparison = compared.value;
    if (json) {
      io.out(
        `${JSON.stringify({ run: runId, comparison, chain, phases: phaseChanges(events).map(plain) }, null, 2)}\n`,
      );
    } else io.out(show(runId, comparison, events));
    return comparison.kind === 'same' ? 0 : 1;
  } finally {
    journal.close();
  }
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
