import type { CutFigures, Event } from '../../lib/engine/types';
import { shiftVapourTemp } from '../../lib/physics';
import type { Kept } from '../store';
import type { ChangeoverView } from './record-views';

/** A jar as the run filled it. */
export interface FilledJar {
  readonly number: number;
  readonly start: ChangeoverView | null;
  readonly end: ChangeoverView | null;
  readonly countedL: number | null;
}

const overPhases: readonly string[] = ['finish', 'cool-down', 'idle'];

/** The jars of a run from its decisions: a change of jars ends one and begins the next; the end of collecting ends the last. */
export function jarsOfRun(kept: Iterable<Kept>, referenceHPa: number): readonly FilledJar[] {
  const jars: FilledJar[] = [];
  let startedS: number | null = null;
  for (const one of kept) {
    if (one.kind !== 'decision' || one.decision.kind !== 'event') continue;
    const { event } = one.decision;
    if (event.kind === 'state' && event.to === 'running') startedS ??= event.atS;
    const last = jars[jars.length - 1];
    if (event.kind === 'jar') {
      const here = changeoverOf(event, startedS, referenceHPa);
      if (last !== undefined) jars[jars.length - 1] = { ...last, end: here, countedL: event.volumeL };
      jars.push({ number: event.number, start: here, end: null, countedL: null });
    }
    if (event.kind === 'phase' && overPhases.includes(event.to) && last !== undefined && last.end === null) {
      jars[jars.length - 1] = { ...last, end: changeoverOf(event, startedS, referenceHPa) };
    }
  }
  return jars;
}

type WithFigures = Extract<Event, { readonly figures: CutFigures }>;

function changeoverOf(event: WithFigures, startedS: number | null, referenceHPa: number): ChangeoverView {
  return changeover(
    event.figures.vapourTempC,
    event.figures.airPressureHPa,
    referenceHPa,
    event.atS - (startedS ?? event.atS),
  );
}

/** A reading at a changeover, with its vapour temperature at the reference pressure. */
export function changeover(
  vapourTempC: number | null,
  airPressureHPa: number | null,
  referenceHPa: number,
  timeS: number | null,
): ChangeoverView {
  const known = vapourTempC !== null && airPressureHPa !== null;
  return {
    ...(vapourTempC === null ? {} : { vapourTempC }),
    ...(airPressureHPa === null ? {} : { airPressureHPa }),
    ...(timeS === null ? {} : { timeS }),
    vapourAtReferenceC: known ? shiftVapourTemp(vapourTempC, airPressureHPa, referenceHPa) : null,
  };
}
