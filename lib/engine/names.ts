import type { Drive, PointKind, Still } from '../still/schema';

interface Names {
  readonly points: Map<PointKind, readonly string[]>;
  readonly drives: Map<Drive['kind'], readonly string[]>;
}

const namesOf = new WeakMap<Still, Names>();

function names(still: Still): Names {
  let known = namesOf.get(still);
  if (known === undefined) {
    known = { points: new Map(), drives: new Map() };
    namesOf.set(still, known);
  }
  return known;
}

/** Names of the points of a kind, in the order of the still; looked up once a still. */
export function pointNames(still: Still, kind: PointKind): readonly string[] {
  const { points } = names(still);
  let found = points.get(kind);
  if (found === undefined) {
    found = Object.keys(still.points).filter((id) => still.points[id]?.kind === kind);
    points.set(kind, found);
  }
  return found;
}

/** Names of the drives of a kind, in the order of the still; looked up once a still. */
export function driveNames(still: Still, kind: Drive['kind']): readonly string[] {
  const { drives } = names(still);
  let found = drives.get(kind);
  if (found === undefined) {
    found = Object.keys(still.drives).filter((id) => still.drives[id]?.kind === kind);
    drives.set(kind, found);
  }
  return found;
}
