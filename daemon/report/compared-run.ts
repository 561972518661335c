import { type ComparedRun, type Comparison, compareRuns, type FractionFigures } from '../../lib/compare';
import { referenceHPa } from '../../lib/engine/estimate';
import { pureAlcoholL } from '../../lib/proofing';
import { fractions } from '../../lib/recipe/schema';
import { engine } from '../host/restore';
import type { RunSummary } from '../host/summary';
import { type Journal, type RunDetail, rescanRun, type Stored, StoreError, valueOrThrow } from '../store';
import { readAfterRun } from './after-run';
import { type AlcoholCourse, followCourse, keepCourse, keptCourse } from './alcohol-course';

/** What of the record a comparison reads. */
export type ComparedReader = Pick<
  Journal,
  'run' | 'document' | 'saveDocument' | 'readInputs' | 'readDecisions' | 'latestCheckpoint'
>;

/**
 * Where the course of a run may come from: only from what is kept, at once; or also folded again from its readings, which takes seconds for a
 * long run.
 */
export type CourseFrom = 'kept' | 'readings';

/** A run made by hand, by the name of its jar sheet; null where there is none. */
export type HandRun = (id: string) => ComparedRun | null;

/** The volumes and strengths of a run: measured by hand where somebody did, else as the engine counted. */
export function fractionsOf(
  journal: Pick<Journal, 'document'>,
  runId: string,
  summary: RunSummary | null,
): readonly FractionFigures[] {
  const after = readAfterRun(journal, runId);
  const measured = after.kind === 'ok' ? after.value.content.measured : {};
  return fractions.flatMap((fraction): FractionFigures[] => {
    const counted = summary?.fractions.find((one) => one.fraction === fraction);
    const byHand = measured[fraction];
    const volumeL = byHand?.volumeL ?? counted?.volumeL ?? 0;
    const strengthAbv = byHand?.strengthAbv ?? counted?.strengthAbv ?? null;
    if (volumeL <= 0) return [];
    const alcoholL =
      strengthAbv === null ? (counted?.alcoholL ?? 0) : pureAlcoholL(volumeL, strengthAbv, byHand?.tempC ?? 20);
    return [{ fraction, volumeL, strengthAbv, alcoholL }];
  });
}

/**
 * A run of the record on the axis of the alcohol come over.
 *
 * @returns the run; or why it cannot be: unknown, without a charge, thinned, or not kept where only what is kept is asked for
 */
export function comparedRun(
  journal: ComparedReader,
  runId: string,
  from: CourseFrom = 'readings',
): Stored<ComparedRun> {
  try {
    const run = valueOrThrow(journal.run(runId));
    const { charge } = run.plant;
    if (charge === null) {
      const remedy = 'Give volume and strength of the charge when a run is started';
      return failed(`run ${runId} has no charge, so nobody knows its share of alcohol`, remedy);
    }
    const course = courseOf(journal, run, from);
    if (course.kind === 'failed') return course;
    return {
      kind: 'ok',
      value: {
        id: runId,
        charge,
        ...course.value,
        referenceHPa: referenceHPa(run.plant),
        fractions: fractionsOf(journal, runId, run.summary as RunSummary | null),
      },
    };
  } catch (error) {
    if (error instanceof StoreError) return { kind: 'failed', failure: error.failure };
    throw error;
  }
}

function failed(message: string, remedy: string): Stored<never> {
  return { kind: 'failed', failure: { kind: 'unknown-run', message, remedy } };
}

/** The course of a run: as it is kept, else folded again from its readings and kept where that can be written. */
function courseOf(journal: ComparedReader, run: RunDetail, from: CourseFrom): Stored<AlcoholCourse> {
  const { runId } = run;
  const kept = keptCourse(journal, run);
  if (kept !== null) return { kind: 'ok', value: kept };
  if (!run.replayable) {
    const remedy = 'Its fractions and decisions are still in middlecut report';
    return failed(`the readings of run ${runId} were thinned or lost before its course was kept`, remedy);
  }
  if (from === 'kept') {
    return failed(`the course of run ${runId} is not kept`, `Order middlecut compare or middlecut report ${runId}`);
  }
  const follower = followCourse(run.plant);
  for (const { result } of rescanRun(journal, runId, engine)) follower.note(result.run);
  if (run.outcome !== null) keepCourse(journal, run, follower.course);
  return { kind: 'ok', value: follower.course };
}

/**
 * Sees to it that the course of a run is kept, before its readings are dropped.
 *
 * @returns why it could not be; a run without a charge, or one that lost readings to a failing store, has no course to keep
 */
export function keepCourseOf(journal: ComparedReader, runId: string): Stored<null> {
  try {
    const run = valueOrThrow(journal.run(runId));
    const isHopeless = run.plant.charge === null || !run.replayable;
    if (isHopeless || keptCourse(journal, run) !== null) return { kind: 'ok', value: null };
    const course = courseOf(journal, run, 'readings');
    if (course.kind === 'failed') return course;
    return keptCourse(journal, run) === null
      ? failed(`the course of run ${runId} cannot be written`, 'Make room, or the right to write')
      : { kind: 'ok', value: null };
  } catch (error) {
    if (error instanceof StoreError) return { kind: 'failed', failure: error.failure };
    throw error;
  }
}

/** A run beside the one its recipe came from; why there is nothing to compare, in words, where there is not. */
export type Beside =
  | {
      readonly kind: 'compared';
      readonly comparison: Comparison;
      readonly run: ComparedRun;
      readonly reference: ComparedRun;
    }
  | { readonly kind: 'none' }
  | { readonly kind: 'failed'; readonly message: string; readonly remedy: string };

/**
 * Compares a run with the one its recipe was developed from.
 *
 * @returns none where the recipe names no run, or where it is that run itself
 */
export function compareWithOrigin(
  journal: ComparedReader,
  run: RunDetail,
  from: CourseFrom,
  handRun: HandRun = () => null,
): Beside {
  const origin = run.plant.recipe?.developedFrom?.run;
  if (origin === undefined || origin === run.runId) return { kind: 'none' };
  const byHand = handRun(origin);
  const reference = byHand === null ? comparedRun(journal, origin, from) : ({ kind: 'ok', value: byHand } as const);
  const other = comparedRun(journal, run.runId, from);
  for (const one of [reference, other]) {
    if (one.kind === 'failed') return { kind: 'failed', message: one.failure.message, remedy: one.failure.remedy };
  }
  if (reference.kind !== 'ok' || other.kind !== 'ok') return { kind: 'none' };
  const comparison = compareRuns(reference.value, other.value, { isPot: run.plant.still.kind === 'pot' });
  return { kind: 'compared', comparison, run: other.value, reference: reference.value };
}
