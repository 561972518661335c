import type { ComparedRun, ProfilePoint } from '../../lib/compare';
import { alcoholSharePercent } from '../../lib/cuts/alcohol-share';
import { referenceHPa } from '../../lib/engine/estimate';
import { heatNow } from '../../lib/engine/produced';
import type { Plant, Run } from '../../lib/engine/types';
import { shiftBoilerTemp, shiftVapourTemp } from '../../lib/physics';
import { fractions } from '../../lib/recipe/schema';
import { contentHash } from '../../lib/record';
import type { Journal, Stored } from '../store';

/** What of a run is compared, besides its fractions: its course over the share of the charge's alcohol come over. */
export type AlcoholCourse = Pick<ComparedRun, 'points' | 'heaterW' | 'strengthBy'>;

/** A point of the course each time so much more of the charge's alcohol has come over [%]. */
const everySharePercent = 0.5;

/** Follows a run scan by scan. */
export interface CourseFollower {
  note(run: Run): void;
  readonly course: AlcoholCourse;
}

/** Follows a run from its first scan on: as it happens, or folded again from its readings, to the same course. */
export function followCourse(plant: Plant): CourseFollower {
  const points: ProfilePoint[] = [];
  let heatJ = 0;
  let collectingS = 0;
  let lastS: number | null = null;
  let strengthBy: AlcoholCourse['strengthBy'] = null;
  return {
    note(run) {
      const isCollecting = run.state === 'running' && (fractions as readonly string[]).includes(run.phase);
      const gapS = lastS === null ? 0 : run.now - lastS;
      lastS = run.now;
      if (!isCollecting) return;
      heatJ += heatNow(plant, run, run.image) * gapS;
      collectingS += gapS;
      strengthBy = run.estimate.strengthBy ?? strengthBy;
      const sharePercent = alcoholSharePercent(plant.charge, run.estimate.produced.alcoholL);
      const isDue = (sharePercent ?? 0) > 0 && sharePercent! >= (points.at(-1)?.sharePercent ?? -1) + everySharePercent;
      if (isDue) points.push(pointOf(plant, run, sharePercent!));
    },
    get course() {
      return { points: [...points], strengthBy, heaterW: collectingS > 0 ? heatJ / collectingS : null };
    },
  };
}

function pointOf(plant: Plant, run: Run, sharePercent: number): ProfilePoint {
  const { estimate } = run;
  const stationHPa = estimate.pressure.medianHPa;
  const at = (tempC: number | null, shift: typeof shiftVapourTemp) => {
    if (tempC === null || stationHPa === null) return null;
    const movedC = shift(tempC, stationHPa, referenceHPa(plant));
    return Number.isFinite(movedC) ? movedC : null;
  };
  const rate = estimate.produced.rateLPerH;
  return {
    sharePercent: rounded(sharePercent),
    vapourAtReferenceC: known(at(estimate.vapourTempC, shiftVapourTemp)),
    boilerAtReferenceC: known(at(estimate.boilerTempC, shiftBoilerTemp)),
    strengthAbv: known(estimate.strengthAbv),
    rateLPerH: rate > 0 ? rounded(rate) : null,
    timeS: Math.round(run.now - (run.startedAtS ?? 0)),
  };
}

const rounded = (value: number): number => Number(value.toFixed(4));
const known = (value: number | null): number | null => (value === null ? null : rounded(value));

/** The course of a run that is over never changes: it is kept beside the run, even when its readings are thinned later. */
const courseKind = 'course';

interface KeptCourse {
  readonly plantHash: string;
  readonly course: AlcoholCourse;
}

/** The course kept beside a run; null where none is, or one of another plant. */
export function keptCourse(
  journal: Pick<Journal, 'document'>,
  run: { readonly runId: string; readonly plant: Plant },
): AlcoholCourse | null {
  const found = journal.document(courseKind, run.runId);
  if (found.kind === 'failed' || found.value === null) return null;
  const { plantHash, course } = found.value.body as Partial<KeptCourse>;
  return course !== undefined && plantHash === contentHash(run.plant) ? course : null;
}

/** Keeps the course of a run that is over. */
export function keepCourse(
  journal: Pick<Journal, 'saveDocument'>,
  run: { readonly runId: string; readonly plant: Plant },
  course: AlcoholCourse,
): Stored<unknown> {
  const kept: KeptCourse = { plantHash: contentHash(run.plant), course };
  return journal.saveDocument(courseKind, run.runId, kept, { by: 'middlecut' });
}
