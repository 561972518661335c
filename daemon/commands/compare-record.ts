import type { ComparedRun, FractionFigures, ProfilePoint } from '../../lib/compare';
import { alcoholSharePercent } from '../../lib/cuts/alcohol-share';
import { referenceHPa } from '../../lib/engine/estimate';
import { heatNow } from '../../lib/engine/produced';
import type { Plant, Run } from '../../lib/engine/types';
import { shiftBoilerTemp, shiftVapourTemp } from '../../lib/physics';
import { pureAlcoholL } from '../../lib/proofing';
import { fractions } from '../../lib/recipe/schema';
import { contentHash } from '../../lib/record';
import { engine } from '../host/restore';
import type { RunSummary } from '../host/summary';
import { readAfterRun } from '../report';
import { type Journal, type RunDetail, rescanRun, type Stored, StoreError, valueOrThrow } from '../store';

/** A point of the profile each time so much more of the charge's alcohol has come over [%]. */
const everySharePercent = 0.5;

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
 * A run of the record on the axis of the alcohol come over, folded again from its readings.
 *
 * @returns the run; or why it cannot be: unknown, without a charge, thinned
 */
export function comparedRun(journal: Journal, runId: string): Stored<ComparedRun> {
  try {
    const run = valueOrThrow(journal.run(runId));
    const { charge } = run.plant;
    if (charge === null) {
      const remedy = 'Give volume and strength of the charge when a run is started';
      return failed(`run ${runId} has no charge, so nobody knows its share of alcohol`, remedy);
    }
    const kept = keptCourse(journal, run);
    if (kept === null && !run.replayable) {
      const remedy = 'Its fractions and decisions are still in middlecut report';
      return failed(`the readings of run ${runId} were thinned before it was ever compared`, remedy);
    }
    const course = kept ?? courseOf(journal, runId, run.plant);
    if (kept === null && run.outcome !== null) keepCourse(journal, run, course);
    return {
      kind: 'ok',
      value: {
        id: runId,
        charge,
        heaterW: course.heaterW,
        strengthBy: course.strengthBy,
        referenceHPa: referenceHPa(run.plant),
        points: course.points,
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

/** What of a run is compared, besides its fractions. */
type Course = Pick<ComparedRun, 'points' | 'heaterW' | 'strengthBy'>;

/** The course of a run that is over never changes: folded once, it is kept beside the run, even when its readings are thinned later. */
const courseKind = 'course';

function keptCourse(journal: Journal, run: RunDetail): Course | null {
  const found = journal.document(courseKind, run.runId);
  if (found.kind === 'failed' || found.value === null) return null;
  const { plantHash, course } = found.value.body as { readonly plantHash: string; readonly course: Course };
  return plantHash === contentHash(run.plant) ? course : null;
}

/** Kept where the record can be written; where it can't, it is folded again next time. */
function keepCourse(journal: Journal, run: RunDetail, course: Course): void {
  journal.saveDocument(courseKind, run.runId, { plantHash: contentHash(run.plant), course }, { by: 'middlecut' });
}

function courseOf(journal: Journal, runId: string, plant: Plant): Course {
  const points: ProfilePoint[] = [];
  let heatJ = 0;
  let collectingS = 0;
  let lastS: number | null = null;
  let strengthBy: ComparedRun['strengthBy'] = null;
  for (const { result } of rescanRun(journal, runId, engine)) {
    const { run } = result;
    const isCollecting = run.state === 'running' && (fractions as readonly string[]).includes(run.phase);
    const gapS = lastS === null ? 0 : run.now - lastS;
    lastS = run.now;
    if (!isCollecting) continue;
    heatJ += heatNow(plant, run, run.image) * gapS;
    collectingS += gapS;
    strengthBy = run.estimate.strengthBy ?? strengthBy;
    const point = pointOf(plant, run);
    const last = points[points.length - 1];
    if (point !== null && point.sharePercent >= (last?.sharePercent ?? -1) + everySharePercent) points.push(point);
  }
  return { points, strengthBy, heaterW: collectingS > 0 ? heatJ / collectingS : null };
}

function pointOf(plant: Plant, run: Run): ProfilePoint | null {
  const { estimate } = run;
  const sharePercent = alcoholSharePercent(plant.charge, estimate.produced.alcoholL);
  if (sharePercent === null || sharePercent <= 0) return null;
  const stationHPa = estimate.pressure.medianHPa;
  const at = (tempC: number | null, shift: typeof shiftVapourTemp) => {
    if (tempC === null || stationHPa === null) return null;
    const movedC = shift(tempC, stationHPa, referenceHPa(plant));
    return Number.isFinite(movedC) ? movedC : null;
  };
  const rate = estimate.produced.rateLPerH;
  return {
    sharePercent: rounded(sharePercent),
    vapourAtReferenceC: rounded(at(estimate.vapourTempC, shiftVapourTemp)),
    boilerAtReferenceC: rounded(at(estimate.boilerTempC, shiftBoilerTemp)),
    strengthAbv: rounded(estimate.strengthAbv),
    rateLPerH: rate > 0 ? rounded(rate) : null,
    timeS: Math.round(run.now - (run.startedAtS ?? 0)),
  };
}

function rounded(value: number): number;
function rounded(value: number | null): number | null;
function rounded(value: number | null): number | null {
  return value === null ? null : Number(value.toFixed(4));
}
