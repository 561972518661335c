import { standardPressureHPa } from '../physics';
import { pointOf } from './image';
import type { Estimate, Image, Plant } from './types';

const sampleEveryS = 10;
/** 18 samples: the last three minutes of a barometer that speaks often. */
const sampleLimit = 18;

type Pressure = Estimate['pressure'];

export const pressureNever: Pressure = { medianHPa: null, samples: [], lastSampleS: null, source: 'none' };

/**
 * The air pressure the thresholds move with: median of the barometer over some minutes; the last good median while the
 * barometer is lost; the standard atmosphere of the still's altitude only where the still asks for it and no barometer
 * was ever heard.
 */
export function followPressure(plant: Plant, before: Pressure, image: Image, now: number): Pressure {
  const point = pointOf(plant, 'air-pressure');
  const seen = point === null ? undefined : image[point.id];
  if (seen?.quality === 'good' && seen.value !== null && seen.goodAtS !== null) {
    const due = before.lastSampleS === null || seen.goodAtS - before.lastSampleS >= sampleEveryS;
    if (!due) return before.source === 'barometer' ? before : { ...before, source: 'barometer' };
    const heard = before.source === 'altitude' ? [] : before.samples;
    const samples = [...heard, seen.value].slice(-sampleLimit);
    return { medianHPa: median(samples), samples, lastSampleS: seen.goodAtS, source: 'barometer' };
  }
  if (before.medianHPa !== null && before.source !== 'altitude') {
    return before.source === 'held' ? before : { ...before, source: 'held' };
  }
  const { altitudeM, assumeAltitudePressure } = plant.still;
  if (!assumeAltitudePressure || altitudeM === undefined) return before;
  return before.source === 'altitude'
    ? before
    : { medianHPa: standardPressureHPa(altitudeM), samples: [], lastSampleS: now, source: 'altitude' };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
