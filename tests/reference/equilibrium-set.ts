import { bubblePressureHPa, vapourAtTemp } from '../../lib/physics';

/** A published set: isobaric (pressure above, temperature a point) or isothermal (temperature above, pressure a point). */
export interface EquilibriumSet {
  readonly citation: string;
  readonly status: string;
  readonly usedInFit: boolean;
  readonly tempK?: number;
  readonly pressureKPa?: number;
  readonly points: readonly {
    readonly tempK?: number;
    readonly pressureKPa?: number;
    readonly x: number;
    readonly y: number;
  }[];
}

/** Model less measurement at one point. */
export interface Residual {
  readonly x: number;
  readonly tempK: number;
  readonly y: number;
}

/** How far the model is from a set. */
export interface Deviation {
  readonly points: number;
  readonly tempRmseK: number;
  readonly tempMaxK: number;
  readonly yRmse: number;
  readonly yMax: number;
}

/** Boiling temperature by plain bisection: slow, independent of the solvers in lib, and not bound to their pressure range. */
export function slowBubbleTempC(x: number, pressureHPa: number): number {
  let low = 0;
  let high = 200;
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (bubblePressureHPa(x, middle) < pressureHPa) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

export function residualsOf(set: EquilibriumSet): readonly Residual[] {
  return set.points.map((point) => {
    const measuredC = (point.tempK ?? set.tempK ?? Number.NaN) - 273.15;
    const pressureHPa = 10 * (point.pressureKPa ?? set.pressureKPa ?? Number.NaN);
    const modelC = slowBubbleTempC(point.x, pressureHPa);
    return { x: point.x, tempK: modelC - measuredC, y: vapourAtTemp(point.x, modelC) - point.y };
  });
}

function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}

export function deviationOf(set: EquilibriumSet): Deviation {
  const residuals = residualsOf(set);
  const temps = residuals.map((residual) => residual.tempK);
  const vapours = residuals.map((residual) => residual.y);
  return {
    points: residuals.length,
    tempRmseK: rootMeanSquare(temps),
    tempMaxK: Math.max(...temps.map(Math.abs)),
    yRmse: rootMeanSquare(vapours),
    yMax: Math.max(...vapours.map(Math.abs)),
  };
}
