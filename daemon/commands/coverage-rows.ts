import { type Cover, coverageOf, type HazardCover, inTime } from '../../lib/still/coverage';
import type { Still } from '../../lib/still/schema';
import { english, sayName, sayReason, showDuration } from '../../lib/words';
import { table } from './table';

const coverWords: Record<Cover, string> = {
  seen: 'acts in time',
  late: 'ACTS LATE',
  calls: 'calls only',
  not: 'NOT SEEN',
};

/**
 * What can go wrong on a still, what of it its points and drives see, how soon, and what must stand beside this program:
 * a table, and under it what is to be said about single lines.
 */
export function showCoverage(still: Still): string {
  const covers = coverageOf(still);
  const rows = covers.map((one) => [hazardName(one), coverWords[one.cover], ...seenBy(still, one)]);
  const remarks = covers.flatMap((one) => remarksOn(still, one));
  return [
    `What can go wrong on ${still.name}, and what here sees it:`,
    table(['hazard', 'this program', 'within', 'first seen by'], rows, [0, 1, 3]),
    ...(remarks.length === 0 ? [] : ['', ...remarks]),
    '',
    'Whatever this table says, a wired high-limit cut-out, an open vapour path and a person on site come first.',
  ].join('\n');
}

function hazardName({ hazard }: HazardCover): string {
  return english.language.hazards[hazard]?.name ?? hazard;
}

/** How soon, and by what: the quickest that acts, else the quickest that calls. */
function seenBy(still: Still, { hazard, cover, detectors }: HazardCover): [string, string] {
  if (cover === 'seen' && hazard === 'link-lost') {
    const timesS = Object.values(still.drives).map((drive) => (drive.kind === 'heat' ? (drive.deadManS ?? 0) : 0));
    return [showDuration(Math.max(...timesS), english), 'the heat switching itself off'];
  }
  if (cover === 'seen' && hazard === 'power-cut') return ['', 'the positions drives fail to'];
  const quickest = detectors.find(({ does }) => does !== 'calls') ?? detectors[0];
  if (quickest === undefined) return ['', ''];
  const others = detectors.length > 1 ? ` and ${detectors.length - 1} more` : '';
  return [showDuration(quickest.withinS, english), `${sayName(quickest.alarm, english)}${others}`];
}

/** What is to be said of a hazard: where nothing sees it, or sees it too late, also what would, and what protects beside it. */
function remarksOn(still: Still, one: HazardCover): string[] {
  const notes = one.notes.map((note) => sayReason(note, english));
  if (one.cover === 'not' || one.cover === 'late') {
    const would = wouldShow(still, one);
    if (would.length > 0) notes.push(`a point of kind ${would.join(', or ')} would show it`);
    const beside = english.language.hazards[one.hazard]?.beside;
    if (beside !== undefined) notes.push(`beside this program: ${beside}`);
  }
  return notes.map((note) => `${hazardName(one)}: ${note}`);
}

/** Kinds of point that would see a hazard in time; where none would, the quickest. */
function wouldShow(still: Still, { hazard, missing }: HazardCover): readonly string[] {
  const quick = missing.filter(({ withinS }) => withinS <= inTime(still, hazard));
  return [...new Set((quick.length > 0 ? quick : missing.slice(0, 1)).flatMap(({ kinds }) => kinds))];
}
