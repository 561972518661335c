import { pointOf } from '../../lib/engine/image';
import type { Named, Plant, Point } from '../../lib/engine/types';
import { shiftBoilerTemp, shiftVapourTemp, standardPressureHPa } from '../../lib/physics';
import type { PointSummary } from '../../lib/record';
import type { PointKind } from '../../lib/still/schema';
import type { MinuteSummary } from '../store';

/** A value over a minute. */
export interface Band {
  readonly min: number;
  readonly mean: number;
  readonly max: number;
}

/** What a still showed over one minute, corrected by its calibrations. */
export interface Minute {
  readonly fromS: number;
  readonly toS: number;
  readonly vapourC: Band | null;
  readonly vapourAtReferenceC: number | null;
  readonly boilerC: Band | null;
  readonly boilerAtReferenceC: number | null;
  readonly airPressureHPa: number | null;
  readonly heatW: number | null;
}

/** The barometric formulas hold within this range [hPa]. */
const pressureRange = { least: 500, most: 1100 } as const;

/**
 * The course of a run from its minute summaries, which stay when readings are thinned.
 * @param minutes as the record keeps them, uncorrected
 * @param referenceHPa pressure the recipe's temperatures stand at
 */
export function* tellCourse(plant: Plant, minutes: Iterable<MinuteSummary>, referenceHPa: number): Generator<Minute> {
  const [vapour, boiler, air] = [
    pointOf(plant, 'vapour-temp'),
    pointOf(plant, 'boiler-temp'),
    pointOf(plant, 'air-pressure'),
  ];
  const heats = pointsOf(plant, 'heat-power');
  const { altitudeM, assumeAltitudePressure } = plant.still;
  let pressureHPa = assumeAltitudePressure && altitudeM !== undefined ? standardPressureHPa(altitudeM) : null;
  for (const { fromS, toS, points } of minutes) {
    const airPressureHPa = bandOf(air, points)?.mean ?? null;
    pressureHPa = airPressureHPa ?? pressureHPa;
    const [vapourC, boilerC] = [bandOf(vapour, points), bandOf(boiler, points)];
    const at = pressureHPa !== null && isInRange(pressureHPa) ? pressureHPa : null;
    const powers = heats.flatMap((heat) => bandOf(heat, points)?.mean ?? []);
    yield {
      fromS,
      toS,
      vapourC,
      vapourAtReferenceC: vapourC === null || at === null ? null : shiftVapourTemp(vapourC.mean, at, referenceHPa),
      boilerC,
      boilerAtReferenceC: boilerC === null || at === null ? null : shiftBoilerTemp(boilerC.mean, at, referenceHPa),
      airPressureHPa,
      heatW:
        powers.length === 0
          ? null
          : Math.max(
              0,
              powers.reduce((sum, one) => sum + one, 0),
            ),
    };
  }
}

function isInRange(pressureHPa: number): boolean {
  return pressureHPa >= pressureRange.least && pressureHPa <= pressureRange.most;
}

function pointsOf(plant: Plant, kind: PointKind): readonly Named<Point>[] {
  return Object.entries(plant.still.points).flatMap(([id, point]) => (point.kind === kind ? [{ ...point, id }] : []));
}

function bandOf(point: Named<Point> | null, points: readonly PointSummary[]): Band | null {
  const found = point === null ? undefined : points.find((one) => one.point === point.id);
  if (point === null || found === undefined || found.count === 0) return null;
  const { gain = 1, offset = 0 } = point.calibration ?? {};
  const [min, mean, max] = [found.min, found.mean, found.max].map((raw) => gain * raw + offset);
  return min === undefined || mean === undefined || max === undefined ? null : { min, mean, max };
}

/** Several minutes as one stretch, for plots of runs that are longer than the paper is wide. */
export function joinMinutes(minutes: readonly Minute[]): Minute {
  const mean = (values: readonly (number | null)[]): number | null => {
    const known = values.filter((value) => value !== null);
    return known.length === 0 ? null : known.reduce((sum, one) => sum + one, 0) / known.length;
  };
  const band = (bands: readonly (Band | null)[]): Band | null => {
    const known = bands.filter((one) => one !== null);
    const middle = mean(known.map((one) => one.mean));
    if (middle === null) return null;
    return {
      min: Math.min(...known.map((one) => one.min)),
      mean: middle,
      max: Math.max(...known.map((one) => one.max)),
    };
  };
  return {
    fromS: minutes[0]?.fromS ?? 0,
    toS: minutes.at(-1)?.toS ?? 0,
    vapourC: band(minutes.map((one) => one.vapourC)),
    vapourAtReferenceC: mean(minutes.map((one) => one.vapourAtReferenceC)),
    boilerC: band(minutes.map((one) => one.boilerC)),
    boilerAtReferenceC: mean(minutes.map((one) => one.boilerAtReferenceC)),
    airPressureHPa: mean(minutes.map((one) => one.airPressureHPa)),
    heatW: mean(minutes.map((one) => one.heatW)),
  };
}
