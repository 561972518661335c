import type { Line } from './types';

/** Time constant of the weights [s]: half the weight lies in the last 42 s, nearly all in the last 120 s. */
const memoryS = 60;
/** Residual below which a reading is never a spike [K]. */
const spikeFloor = 0.75;
const asideLimit = 3;

export interface LineValue {
  readonly value: number;
  readonly slopePerS: number;
}

function startLine(readings: readonly { readonly atS: number; readonly value: number }[]): Line {
  const first = readings[0]!;
  let line: Line = {
    atS: first.atS,
    s0: 1,
    s1: 0,
    s2: 0,
    t0: first.value,
    t1: 0,
    count: 1,
    sinceS: first.atS,
    aside: [],
    scatter: 0.1,
  };
  for (const reading of readings.slice(1)) line = extend(line, reading.atS, reading.value, memoryS);
  return line;
}

/** Lets the sums grow older by the gap and takes the new reading in at age 0. */
function extend(line: Line, atS: number, value: number, timeConstantS: number): Line {
  const gapS = atS - line.atS;
  const fade = Math.exp(-gapS / timeConstantS);
  return {
    ...line,
    atS,
    s2: fade * (line.s2 + 2 * gapS * line.s1 + gapS * gapS * line.s0),
    s1: fade * (line.s1 + gapS * line.s0),
    s0: fade * line.s0 + 1,
    t1: fade * (line.t1 + gapS * line.t0),
    t0: fade * line.t0 + value,
    count: line.count + 1,
  };
}

/**
 * Takes a reading into an exponentially weighted local line through a temperature: constant memory, no lag on a ramp.
 * A reading far off the line is set aside; three in a row on the same side are a real change and restart the line.
 *
 * @param line the line so far, or undefined before the first reading
 * @param atS arrival [s, not before the last]
 * @param value reading [°C]
 * @param spacingS usual spacing of the readings [s]; sparse feeds get a longer memory of six spacings
 * @param resolution step of the probe [K]
 */
export function follow(
  line: Line | undefined,
  atS: number,
  value: number,
  spacingS: number | null,
  resolution: number,
): Line {
  if (line === undefined) return startLine([{ atS, value }]);
  if (atS <= line.atS) return line;
  const timeConstantS = Math.max(memoryS, 6 * (spacingS ?? 0));
  if (atS - line.atS > 4 * timeConstantS) return startLine([{ atS, value }]);
  const residual = value - valueAt(line, atS).value;
  const limit = Math.max(spikeFloor, 6 * line.scatter, 6 * resolution);
  if (line.count >= 3 && Math.abs(residual) > limit) return setAside(line, atS, value, residual);
  const scatter = line.scatter + (Math.abs(residual) - line.scatter) * Math.min(0.05, 1 / line.count);
  return { ...extend(line, atS, value, timeConstantS), aside: [], scatter };
}

function setAside(line: Line, atS: number, value: number, residual: number): Line {
  const last = line.aside[line.aside.length - 1];
  const sameSide = last !== undefined && Math.sign(last.value - valueAt(line, last.atS).value) === Math.sign(residual);
  const aside = sameSide ? [...line.aside, { atS, value }] : [{ atS, value }];
  return aside.length >= asideLimit ? startLine(aside) : { ...line, aside };
}

/** Value and slope of the line at a time [s]; a line of one reading is level. */
export function valueAt(line: Line, now: number): LineValue {
  const determinant = line.s0 * line.s2 - line.s1 * line.s1;
  if (line.count < 2 || determinant <= 1e-9 * line.s0 * line.s0) return { value: line.t0 / line.s0, slopePerS: 0 };
  const level = (line.s2 * line.t0 - line.s1 * line.t1) / determinant;
  const slopePerS = -(line.s0 * line.t1 - line.s1 * line.t0) / determinant;
  return { value: level + slopePerS * Math.max(0, now - line.atS), slopePerS };
}

/** Whether the line has seen enough to decide by: five readings over ten seconds, or twelve. */
export function isSettled(line: Line, now: number): boolean {
  return line.count >= 12 || (line.count >= 5 && now - line.sinceS >= 10);
}
