import type { Plant, ProfilePoint } from '../../lib/engine/types';
import { type AlcoholCourse, keptCourse } from '../report/alcohol-course';
import type { Journal } from '../store';

/** A charge this much stronger or weaker runs otherwise by itself, and is no run to follow [strength]. */
const likeAbv = 0.015;
/** So many runs of the recipe are looked at, the newest first. */
const lookedAt = 12;

/** The run that a new one is held against while it runs. */
export interface Followed {
  readonly runId: string;
  readonly profile: readonly ProfilePoint[];
}

/**
 * The run its recipe came from, where the record has it; else the last one of the recipe on this still that came to its end, with a charge like this one.
 * Only what was kept of a run when it ended is looked at: nothing is folded while a still waits to start.
 */
export function followedBy(journal: Journal, plant: Plant): Followed | null {
  const { recipe, charge, still } = plant;
  if (recipe === null || charge === null) return null;
  const source = recipe.developedFrom?.run;
  const before = journal.runs({ still: still.id, recipe: recipe.name, outcome: 'complete', limit: lookedAt });
  const newestFirst = before.kind === 'ok' ? before.value.map((entry) => entry.runId) : [];
  const names = source === undefined ? newestFirst : [source, ...newestFirst];
  for (const runId of names) {
    const found = journal.run(runId);
    if (found.kind === 'failed' || found.value.plant.still.id !== still.id) continue;
    const then = found.value.plant;
    if (then.charge === null || Math.abs(then.charge.strengthAbv - charge.strengthAbv) > likeAbv) continue;
    if ((then.recipe?.referencePressureHPa ?? 0) !== recipe.referencePressureHPa) continue;
    const course = keptCourse(journal, { runId, plant: then });
    const profile = course === null ? [] : profileOf(course);
    if (profile.length > 0) return { runId, profile };
  }
  return null;
}

/** Fine enough to be held against, and small enough to stand in the record of every run [% come over]. */
const everyPercent = 1;

function profileOf({ points }: AlcoholCourse): readonly ProfilePoint[] {
  const profile: ProfilePoint[] = [];
  for (const { sharePercent, vapourAtReferenceC } of points) {
    const last = profile[profile.length - 1];
    if (vapourAtReferenceC === null || (last !== undefined && sharePercent < last.sharePercent + everyPercent))
      continue;
    profile.push({ sharePercent: Number(sharePercent.toFixed(2)), vapourTempC: Number(vapourAtReferenceC.toFixed(2)) });
  }
  return profile;
}
