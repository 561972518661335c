import { at, boiling, placeOfX } from './boiling';
import type { Boiler } from './charge';
import type { Flow } from './flow';

/** What stands between boiler and spout, as far as the strength goes. */
export type Head =
  /** A pot: the head condenses a share of the vapour, which runs back in balance with what leaves. */
  | { readonly kind: 'pot'; readonly refluxShare: number }
  /** A column: the top holds its strength while its plates hold alcohol. */
  | {
      readonly kind: 'column';
      readonly place: number;
      /** Share of the boiled vapour that is taken off; null where the heat is not known. */
      readonly takenShare: number | null;
      /** Alcohol on the plates [mol]. */
      readonly heldMol: number;
    };

/** What lies ahead of the run, if all goes on as it does: each list begins now. */
export interface Ahead {
  readonly timeS: readonly number[];
  readonly volumeL: readonly number[];
  readonly alcoholL: readonly number[];
  /** At 1013.25 hPa, as the model has them. */
  readonly boilerC: readonly number[];
  readonly vapourC: readonly number[];
  readonly strengthAbv: readonly number[];
  /** Column: share of what its plates held that has been drawn. */
  readonly drawnShare: readonly number[];
}

const stepsAtMost = 72;
const placesAStep = 1.2;
/** Heat to boil a mole, and to warm a mole of what stays a kelvin [J]. */
const boilJPerMol = 39_500;
const warmJPerMolK = 78;

/** The reflux of a head that makes the vapour it does of the boiler's: y(boiler) = (1 − r) y(head) + r x(head). */
export function refluxOf(boilerPlace: number, headPlace: number): number {
  const { x, y } = boiling();
  const [fromY, headX, headY] = [at(y, boilerPlace), at(x, headPlace), at(y, headPlace)];
  const span = headY - headX;
  return span < 0.01 ? 0 : Math.min(0.85, Math.max(-0.6, (headY - fromY) / span));
}

/** Place of the head over a boiler: looked for downwards from where it was, for a boiler only gets weaker. */
function headPlaceOf(refluxShare: number, boilerY: number, before: number): number {
  const { x, y } = boiling();
  const made = (i: number) => (1 - refluxShare) * y[i]! + refluxShare * x[i]!;
  let low = Math.min(y.length - 2, Math.floor(before));
  while (low > 0 && made(low) > boilerY) low -= 1;
  const from = made(low);
  const span = made(low + 1) - from;
  return low + (span <= 0 ? 0 : Math.min(1, Math.max(0, (boilerY - from) / span)));
}

/**
 * Marches through the rest of a run: the boiler loses what leaves the head, at the pace the heat allows.
 *
 * dln n = dx / (yd − x); dt = (39.5 kJ/mol × dn/(1 − r) + 78 J/(mol K) × n dT) / heat, the heat such that the rate now is the flow.
 *
 * @param boiler what it holds now
 * @param flow at which distillate comes now
 * @returns up to 72 steps, until next to no alcohol is left
 * Source: Lord Rayleigh, Phil. Mag. 4 (1902) 521; partial condensation as one balance stage.
 */
export function lookAhead(boiler: Boiler, head: Head, flow: Flow): Ahead {
  const table = boiling();
  const ahead = {
    timeS: [] as number[],
    volumeL: [] as number[],
    alcoholL: [] as number[],
    boilerC: [] as number[],
    vapourC: [] as number[],
    strengthAbv: [] as number[],
    drawnShare: [] as number[],
  };
  let place = placeOfX(boiler.x);
  let top = table.x.length - 1;
  let leftMol = boiler.ethanolMol + boiler.waterMol;
  let [timeS, volumeL, alcoholL, drawnMol] = [0, 0, 0, 0];
  let heatW = 0;
  for (let i = 0; i < stepsAtMost && place > 12; i++) {
    const boilerY = at(table.y, place);
    top = head.kind === 'pot' ? headPlaceOf(head.refluxShare, boilerY, top) : head.place;
    ahead.timeS.push(timeS);
    ahead.volumeL.push(volumeL);
    ahead.alcoholL.push(alcoholL);
    ahead.boilerC.push(at(table.tempC, place));
    ahead.vapourC.push(at(table.tempC, top));
    ahead.strengthAbv.push(at(table.abvOfY, top));
    ahead.drawnShare.push(head.kind === 'pot' ? 0 : drawnMol / Math.max(1e-3, head.heldMol));
    const next = place - placesAStep;
    const [x, nextX] = [at(table.x, place), at(table.x, next)];
    const leavingY = at(table.y, top);
    const supply = head.kind === 'pot' ? leavingY : supplied(head, leavingY, boilerY, x);
    const gap = Math.max(0.01 * x, supply - (x + nextX) / 2);
    const goneMol = leftMol * (1 - Math.exp((nextX - x) / gap));
    const warmJ = leftMol * warmJPerMolK * (at(table.tempC, next) - at(table.tempC, place));
    const boilShare = head.kind === 'pot' ? Math.max(0.2, 1 - head.refluxShare) : (head.takenShare ?? 0.2);
    const needJ = (goneMol * boilJPerMol) / boilShare + warmJ;
    if (i === 0) heatW = (needJ / goneMol) * (flow.litresPerS / at(table.litresPerMol, top));
    const stepL = goneMol * at(table.litresPerMol, top);
    timeS += needJ / heatW;
    volumeL += stepL;
    alcoholL += stepL * at(table.abvOfY, top);
    drawnMol += goneMol * Math.max(0, leavingY - supply);
    leftMol -= goneMol;
    place = next;
  }
  return ahead;
}

/** Alcohol that the boiler sends up a mole of distillate: all that is taken, until the operating line meets the equilibrium. */
function supplied(head: Extract<Head, { kind: 'column' }>, leavingY: number, boilerY: number, boilerX: number): number {
  if (head.takenShare === null || head.takenShare <= 0) return leavingY;
  const most = (boilerY - (1 - head.takenShare) * boilerX) / head.takenShare;
  return Math.min(leavingY, Math.max(boilerX, most));
}

/** Where a list of the march passes a value, as a time [s]; null beyond its end. Rising lists; a falling one is given with `sign` −1. */
export function whenPassed(ahead: Ahead, list: readonly number[], wanted: number, sign: 1 | -1 = 1): number | null {
  const { timeS } = ahead;
  if (list.length === 0) return null;
  if (sign * list[0]! >= sign * wanted) return 0;
  for (let i = 1; i < list.length; i++) {
    if (sign * list[i]! < sign * wanted) continue;
    const span = list[i]! - list[i - 1]!;
    const place = span === 0 ? 1 : (wanted - list[i - 1]!) / span;
    return timeS[i - 1]! + place * (timeS[i]! - timeS[i - 1]!);
  }
  return null;
}

/** How fast a list moves at a time of the march [1/s]. */
export function paceAt(ahead: Ahead, list: readonly number[], timeS: number): number {
  const after = ahead.timeS.findIndex((one) => one > timeS);
  const i = after < 1 ? list.length - 1 : after;
  if (i < 1) return 0;
  return (list[i]! - list[i - 1]!) / Math.max(1e-6, ahead.timeS[i]! - ahead.timeS[i - 1]!);
}
